"""Hours, storage, people's time and money, drawn once more by numpy and scipy from the rows that the outlook rests on.

The model is the one the costing crate documents; the code here shares nothing with it. Means and ends of intervals must
agree within four standard errors of the two simulations.
"""

import csv
import json
import math

import numpy as np
import pytest
from scipy import stats

DRAWS = 40_000
LEVEL = 0.9
TRIANGLES = {
    "money.labour": (28, 34, 45),
    "money.machine": (2, 4, 9),
    "money.storage": (0.02, 0.03, 0.06),
    "money.specialist": (20, 60, 200),
    "money.transport": (400, 900, 2000),
    "money.oncost": (20, 25, 30),
    "money.contingency": (5, 10, 20),
}
# What the catalogue has where nobody says otherwise; the test asks the program for it and compares.
TIMES = {
    "time.setup_reel": (10, 15, 20),
    "time.setup_cassette": (5, 7.5, 10),
    "time.metadata": (10, 15, 20),
    "time.repair": (2, 10, 30),
    "part.attention_reel": (1, 1, 1),
    "part.attention_cassette": (0.25, 0.35, 0.5),
    "part.checking": (0.05, 0.1, 0.15),
    "part.outside": (0.5, 1, 1.5),
}
REPAIRED = {"first", "with_care"}
SPECIALIST = {"keep_away", "call_now", "leave_still", "first"}


def assumptions():
    values = {
        key: dict(zip(("low", "likely", "high"), ends), source="invented", date="2031") for key, ends in TRIANGLES.items()
    }
    return {"format": "quarterlight-assumptions-1", "name": "A test", "currency": "EUR", "values": values}


@pytest.fixture(scope="module")
def outlook(quarterlight, practised, tmp_path_factory):
    folder = tmp_path_factory.mktemp("outlook")
    (folder / "set.json").write_text(json.dumps(assumptions()))
    done = quarterlight(
        "outlook", practised, "--assumptions", folder / "set.json", "--rows", folder / "rows.csv",
        "--draws", DRAWS, "--seed", "independent", "--json",
    )
    assert done.returncode == 0, done.stderr
    with (folder / "rows.csv").open(newline="") as file:
        return json.loads(done.stdout), list(csv.DictReader(file))


def triangular(rng, ends, size):
    low, likely, high = ends
    return np.full(size, float(likely)) if low == high else rng.triangular(low, likely, high, size)


def stepped(u, ends):
    low, likely, high = ends
    return np.where(u < 0.25, low, np.where(u < 0.75, likely, high))


def ends(row, name):
    return tuple(float(row[f"{name}_{end}"]) for end in ("low", "likely", "high"))


def mean_of_steps(e):
    return (e[0] + 2 * e[1] + e[2]) / 4


class Box:
    def __init__(self, rows):
        self.n_items = float(rows[0]["items_in_box"]) if rows[0]["items_in_box"] else None
        self.read = [row for row in rows if row["class"]]
        self.each = (self.n_items or 0) / max(len(self.read), 1)
        self.judged = rows[0]["judged"] == "1"


def strata_of(rows):
    strata = {}
    for row in rows:
        of = strata.setdefault(row["stratum"], {"N": float(row["boxes"]), "boxes": {}})
        of["boxes"].setdefault(int(row["box"]), []).append(row)
    for of in strata.values():
        of["boxes"] = [Box(rows) for _, rows in sorted(of["boxes"].items())]
    return strata


def expected_hours(row):
    return sum(ends(row, "own")) / 3 * mean_of_steps(ends(row, "slower")) * mean_of_steps(ends(row, "passes"))


def spreads(strata, n_groups):
    """The root of the part of a group's squared weight that is not the sample's own doing."""
    made = []
    for group in range(n_groups):
        weight, variance, least = 0.0, 0.0, 1.0
        for of in strata.values():
            n, big_n = len(of["boxes"]), of["N"]
            x = np.array([
                b.each * sum(expected_hours(r) for r in b.read if r["group"] == str(group)) for b in of["boxes"]
            ])
            if x.sum() <= 0:
                continue
            weight += big_n / n * x.sum()
            least = min(least, n / big_n)
            variance += big_n**2 * (1 - n / big_n) * (x.var(ddof=1) if n > 1 else (x**2).sum()) / n
        made.append(math.sqrt(max(1 - variance / weight**2, least)) if weight else 1.0)
    return made


def resampled(rng, n, by):
    """Rescaling bootstrap: n - 1 of n with replacement."""
    if n < 2 or by <= 0:
        return np.ones((DRAWS, n))
    times = rng.multinomial(n - 1, [1 / n] * n, size=DRAWS)
    return 1 + by * (times * n / (n - 1) - 1)


def simulate(rows):
    rng = np.random.default_rng(20310502)
    strata = strata_of(rows)
    n_groups = 1 + max(int(row["group"]) for row in rows if row["group"])
    spread = spreads(strata, n_groups)
    u = rng.random((n_groups, 2, DRAWS))
    outside = triangular(rng, TIMES["part.outside"], DRAWS)
    df = sum(len(of["boxes"]) - 1 for of in strata.values() if len(of["boxes"]) < of["N"])
    tail = 0.5 + LEVEL / 2
    wider = stats.t.ppf(tail, df) / stats.norm.ppf(tail)
    # (class, by hand) -> items, content, channel hours
    total = {}
    for of in strata.values():
        n, f = len(of["boxes"]), len(of["boxes"]) / of["N"]
        assert n > 1 or f == 1, "the practice survey has no lonely box"
        boxes = resampled(rng, n, wider * math.sqrt(1 - f))
        counted = [i for i, b in enumerate(of["boxes"]) if b.n_items is not None]
        items_counted = sum(
            boxes[:, i] * of["boxes"][i].n_items * (outside if of["boxes"][i].judged else 1) for i in counted
        )
        guessed = (boxes.sum(axis=1) - boxes[:, counted].sum(axis=1)) * items_counted / boxes[:, counted].sum(axis=1)
        all_items = np.maximum((items_counted + guessed) / f, 0)
        known, silent, read = {}, {}, 0
        for i, b in enumerate(of["boxes"]):
            m = len(b.read)
            second = wider * math.sqrt(f * (1 - m / b.n_items)) if m >= 2 and b.n_items > m else 0
            items = boxes[:, [i]] + resampled(rng, m, second) - 1
            for j, row in enumerate(b.read):
                cell = (row["class"], row["by_hand"])
                w = items[:, j] * b.each / f * (outside if b.judged else 1)
                read = read + w
                if not row["group"]:
                    silent[cell] = silent.get(cell, 0) + w
                    continue
                g, own = int(row["group"]), ends(row, "own")
                mean = sum(own) / 3
                slow, passes, tracks = (stepped(u[g, k], ends(row, x)) for k, x in ((0, "slower"), (1, "passes"), (1, "tracks")))
                drawn = np.stack([slow * passes, slow * tracks])
                expected = mean_of_steps(ends(row, "slower")) * np.array(
                    [[mean_of_steps(ends(row, "passes"))], [mean_of_steps(ends(row, "tracks"))]]
                )
                each = b.each / f
                hours = expected * mean * w + spread[g] * each * mean * (drawn - expected)
                hours = hours + math.sqrt(each) * (triangular(rng, own, DRAWS) - mean) * drawn
                known[cell] = known.get(cell, 0) + np.vstack([w, hours])
        all_known = sum(known.values())
        kinds = {by_hand: sum(v for (_, kind), v in known.items() if kind == by_hand) for _, by_hand in known}
        for cell, waiting in silent.items():
            like = kinds.get(cell[1], all_known)
            known[cell] = known.get(cell, 0) + like * waiting / like[0]
        for cell, amounts in known.items():
            total[cell] = total.get(cell, 0) + amounts * all_items / read
    return total, sum(of["N"] for of in strata.values()), rng


def quantities(rows):
    total, n_boxes, rng = simulate(rows)
    draw = {key: triangular(rng, e, DRAWS) for key, e in {**TRIANGLES, **TIMES}.items()}
    staff, base, specialist = 0, draw["money.transport"], 0
    for (action, by_hand), (items, content, _) in total.items():
        kind = "reel" if by_hand == "1" else "cassette"
        minutes = draw[f"time.setup_{kind}"] + draw["time.metadata"] + (draw["time.repair"] if action in REPAIRED else 0)
        staff = staff + items * minutes / 60 + content * (draw[f"part.attention_{kind}"] + draw["part.checking"])
        specialist = specialist + (items * draw["money.specialist"] if action in SPECIALIST else 0)
    items, content, channel = sum(total.values())
    masters = 96_000 * 3 * 3600 * channel / 1e9
    kept = 3 * masters + 192_000 / 8 * 3600 * content / 1e9
    base = base + content * draw["money.machine"] + specialist + kept * 10 * draw["money.storage"]
    labour = staff * draw["money.labour"]
    cost = (base + labour * (1 + draw["money.oncost"] / 100)) * (1 + draw["money.contingency"] / 100)
    return {
        "items": items,
        "content_hours": content,
        "channel_hours": channel,
        "staff_hours": staff,
        "gigabytes_masters": masters,
        "gigabytes": kept,
        "cost.total": cost,
    }


def error_of_quantile(draws, at):
    """Standard error of a quantile of so many draws, its density from the draws about it."""
    n, step = len(draws), 0.01
    low, high = np.quantile(draws, [at - step, at + step])
    return math.sqrt(at * (1 - at) / n) * (high - low) / (2 * step)


def test_an_independent_simulation_gives_the_same(outlook):
    said, rows = outlook
    for name, draws in quantities(rows).items():
        draws = np.maximum(draws, 0)
        found = said["quantities"][name]
        # Two simulations of the same size: the difference has twice the variance of one.
        allowed = 4 * math.sqrt(2) * draws.std() / math.sqrt(DRAWS)
        assert abs(found["mean"] - draws.mean()) <= allowed, (name, found, draws.mean(), allowed)
        for end, at in (("low", 0.05), ("median", 0.5), ("high", 0.95)):
            allowed = 4 * math.sqrt(2) * error_of_quantile(draws, at)
            assert abs(found[end] - np.quantile(draws, at)) <= allowed, (name, end, found[end], np.quantile(draws, at))


def test_the_assumed_times_are_those_the_program_states(quarterlight):
    done = quarterlight("outlook", "--blank")
    values = json.loads(done.stdout)["values"]
    assert {key: (v["low"], v["likely"], v["high"]) for key, v in values.items()} == TIMES
    assert "money.labour" in done.stderr
    assert not any(key.startswith("money.") for key in values)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"values": {"money.labour": {"low": 3, "likely": 2, "high": 1}}}, "money.labour"),
        ({"values": {"money.moon": {"low": 1, "likely": 2, "high": 3}}}, "money.moon"),
        ({"currency": ""}, "currency"),
        ({"format": "something-else"}, "something-else"),
        ({"storage": {"rate_hz": 5}}, "sampling rate"),
        ({"values": {"money.labour": {"low": "much"}}}, "set.json"),
    ],
)
def test_a_bad_set_is_refused_by_name(quarterlight, practised, tmp_path, change, word):
    (tmp_path / "set.json").write_text(json.dumps({**assumptions(), **change}))
    done = quarterlight("outlook", practised, "--assumptions", tmp_path / "set.json", "--json")
    assert done.returncode == 2
    assert word in done.stderr
    assert done.stdout == ""


def test_a_budget_buys_the_most_pressing_first(quarterlight, practised, tmp_path):
    (tmp_path / "set.json").write_text(json.dumps(assumptions()))

    def parts(budget):
        done = quarterlight("outlook", practised, "--assumptions", tmp_path / "set.json", "--budget", budget, "--json", "--draws", 2000)
        return [bought["part"]["mean"] for bought in json.loads(done.stdout)["budget"]]

    little, much, all_of_it = parts(30_000), parts(300_000), parts(1e9)
    assert all(a <= b + 1e-12 for a, b in zip(little, much))
    assert all(part == pytest.approx(1) for part in all_of_it)
    assert little[-1] < 0.05 < little[0]


def test_what_is_planned_for_is_what_the_figures_say(quarterlight, practised, outlook):
    """Items by what is to be done: the simulation's mean beside the survey's own estimate, stopped boxes included."""
    figures = json.loads(quarterlight("figures", practised, "--json").stdout)["headline"]
    said = outlook[0]["quantities"]
    compared = 0
    for name, figure in figures.items():
        if name.startswith("action.") and name.endswith(".count") and figure["estimate"] > 0:
            planned = said[f"class.{name.split('.')[1]}.items"]["mean"]
            # Half a standard error: a box that nobody could count is weighed by its stratum's mean, to the whole item.
            assert abs(planned - figure["estimate"]) <= 0.5 * figure["se"], (name, planned, figure["estimate"])
            compared += 1
    assert compared >= 4
