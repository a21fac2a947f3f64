"""Learning back: items drawn for transfer, what was found as a table, estimates put right by it."""

import csv
import io
import json

import pytest

SEED = "4 1 6 6 2 3"


@pytest.fixture(scope="module")
def visited(quarterlight, tmp_path_factory):
    folder = tmp_path_factory.mktemp("learn")
    done = quarterlight("practice", "--boxes", 90, "--seed", 7, "--surveyed", 4, "--out", folder)
    assert done.returncode == 0, done.stderr
    return folder / "survey.zip"


def table(rows):
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["item", "minutes", "found"])
    writer.writerows(rows)
    return out.getvalue()


@pytest.fixture(scope="module")
def found(quarterlight, visited):
    """Twenty items chosen by the seed, each a little longer than a made-up length, every fifth with an acid odour."""
    done = quarterlight("learn", visited, "--choose", 20, "--seed", SEED)
    assert done.returncode == 0, done.stderr
    items = [row["item"] for row in csv.DictReader(io.StringIO(done.stdout))]
    assert len(items) == 20
    return [(item, 30 + 7 * (n % 9), "acid_odour" if n % 5 == 0 else "none") for n, item in enumerate(items)]


@pytest.fixture(scope="module")
def learned(quarterlight, visited, found, tmp_path_factory):
    folder = tmp_path_factory.mktemp("learned")
    (folder / "found.csv").write_text(table(found))
    done = quarterlight("learn", visited, "--transfers", folder / "found.csv", "--seed", SEED, "--out", folder / "survey.zip")
    assert done.returncode == 0, done.stderr
    assert "put right" in done.stdout
    return folder / "survey.zip"


def test_it_verifies_and_the_figures_follow(quarterlight, learned):
    assert quarterlight("verify", learned).returncode == 0
    made = json.loads(quarterlight("figures", learned).stdout)
    assert made["learned"]["n_read"] == 20 and made["learned"]["refused"] is None
    right = made["learned"]["figures"]["quantity.content_hours.total"]
    assert right["before"] == made["headline"]["quantity.content_hours.total"]["estimate"]
    assert right["figure"]["low"] < right["figure"]["estimate"] < right["figure"]["high"]


def test_the_ratio_is_the_one_of_the_tables(quarterlight, learned, visited, found):
    """The estimate by the definition: the first phase's total times the ratio of what was found to what was said, both
    expanded (Särndal, Swensson & Wretman 1992, section 9.3), from the file's own tables."""
    import zipfile

    with zipfile.ZipFile(learned) as archive:
        (items,) = [n for n in archive.namelist() if n.endswith("tables/items.csv")]
        (boxes,) = [n for n in archive.namelist() if n.endswith("tables/boxes.csv")]
        items = list(csv.DictReader(io.StringIO(archive.read(items).decode())))
        boxes = list(csv.DictReader(io.StringIO(archive.read(boxes).decode())))
    frame, n, count = {}, {}, {}
    for box in boxes:
        frame[box["stratum"]] = frame.get(box["stratum"], 0) + 1
        if box["sampled"] == "1" and box["status"] != "not_reached":
            n[box["stratum"]] = n.get(box["stratum"], 0) + 1
            count[box["box_id"]] = float(box["items_in_box"] or 0)
    rows = [row for row in items if row["item_id"] != "*"]
    read = {}
    for row in rows:
        read[row["box_id"]] = read.get(row["box_id"], 0) + 1
    weight = lambda row: frame[row["stratum"]] / n[row["stratum"]] * count[row["box_id"]] / read[row["box_id"]]
    known = [float(row["content_hours"]) for row in rows if row["content_hours"]]
    said = lambda row: float(row["content_hours"] or sum(known) / len(known))
    minutes = {item: minutes for item, minutes, _ in found}
    name = lambda row: f"{row['box_id']}/{row['item_id']}"
    first = sum(weight(row) * said(row) for row in rows)
    second = [row for row in rows if name(row) in minutes]
    assert len(second) == 20
    ratio = sum(weight(r) * minutes[name(r)] / 60 for r in second) / sum(weight(r) * said(r) for r in second)
    made = json.loads(quarterlight("figures", learned).stdout)["learned"]["figures"]["quantity.content_hours.total"]
    assert made["figure"]["estimate"] == pytest.approx(first * ratio, rel=1e-9)


def test_the_error_is_the_textbooks_pair_by_pair(quarterlight, learned, found):
    """Both parts of the variance from the file's own tables, in numpy: the first phase's by the Horvitz-Thompson double sum over
    all pairs of items with the joint chances of a two-stage sample of boxes and items, a pair of remainders divided by the
    chance that both were read; the second's as Särndal, Swensson & Wretman 1992 (sections 9.3 and 9.7) have it."""
    np = pytest.importorskip("numpy")
    import zipfile

    with zipfile.ZipFile(learned) as archive:
        read = lambda end: list(csv.DictReader(io.StringIO(archive.read(next(n for n in archive.namelist() if n.endswith(end))).decode())))
        items, boxes = read("tables/items.csv"), read("tables/boxes.csv")
    frame, sampled, count = {}, {}, {}
    for box in boxes:
        frame[box["stratum"]] = frame.get(box["stratum"], 0) + 1
        if box["sampled"] == "1" and box["status"] != "not_reached":
            sampled[box["stratum"]] = sampled.get(box["stratum"], 0) + 1
            count[box["box_id"]] = float(box["items_in_box"] or 0)
    rows = [row for row in items if row["item_id"] != "*"]
    n_read = {}
    for row in rows:
        n_read[row["box_id"]] = n_read.get(row["box_id"], 0) + 1
    known = [float(row["content_hours"]) for row in rows if row["content_hours"]]
    said = np.array([float(row["content_hours"] or sum(known) / len(known)) for row in rows])
    minutes = {item: minutes for item, minutes, _ in found}
    is_read = np.array([f"{row['box_id']}/{row['item_id']}" in minutes for row in rows])
    true = np.array([minutes.get(f"{row['box_id']}/{row['item_id']}", 0) / 60 for row in rows])
    big, small = (np.array([of[row["stratum"]] for row in rows], float) for of in (frame, sampled))
    inside, drawn = (np.array([of[row["box_id"]] for row in rows], float) for of in (count, n_read))
    chance = small / big * drawn / inside
    w = 1 / chance
    n, m = len(rows), int(is_read.sum())
    ratio = (w * true)[is_read].sum() / (w * said)[is_read].sum()
    g = (w * said).sum() / ((w * said)[is_read].sum() * n / m)
    rest = np.where(is_read, true - ratio * said, 0.0)
    of = (w * g * rest)[is_read]
    second = n**2 * (1 - m / n) * of.var(ddof=1) / m
    box = np.array([row["box_id"] for row in rows])
    stratum = np.array([row["stratum"] for row in rows])
    one_box, one_stratum = box[:, None] == box[None, :], stratum[:, None] == stratum[None, :]
    item = (drawn / inside)[:, None] * (drawn / inside)[None, :]
    both = (small / big)[:, None] * (small / big)[None, :] * item
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = (small * (small - 1) / (big * (big - 1)))[:, None] * item
        together = (small / big * drawn * (drawn - 1) / (inside * (inside - 1)))[:, None] * np.ones(n)
    both = np.where(one_stratum, apart, both)
    both = np.where(one_box, together, both)
    np.fill_diagonal(both, chance)
    factor = (both - chance[:, None] * chance[None, :]) / both
    once, twice = m / n, m * (m - 1) / (n * (n - 1))
    kept = np.full((n, n), twice)
    np.fill_diagonal(kept, once)
    foretold = ratio * said
    pairs = np.outer(foretold, foretold) + (np.outer(foretold, rest) + np.outer(rest, foretold)) / once + np.outer(rest, rest) / kept
    first = (factor * pairs * np.outer(w, w)).sum()
    made = json.loads(quarterlight("figures", learned).stdout)["learned"]["figures"]["quantity.content_hours.total"]
    assert made["second"] == pytest.approx(second, rel=1e-9)
    assert made["first"] == pytest.approx(first, rel=1e-9)
    assert made["figure"]["se"] == pytest.approx((first + second) ** 0.5, rel=1e-9)


def test_hours_work_and_storage_of_the_plan_follow(quarterlight, learned, visited, tmp_path):
    """The simulated hours are those put right; what hangs on them follows; on purpose, nothing does."""
    before, after = (json.loads(quarterlight("outlook", path, "--json").stdout)["quantities"] for path in (visited, learned))
    right = json.loads(quarterlight("figures", learned).stdout)["learned"]["figures"]["quantity.content_hours.total"]
    hours = after["content_hours"]
    assert hours["mean"] == pytest.approx(right["figure"]["estimate"], rel=0.02)
    # Ten thousand draws of the same doubt: of boxes and of transfers, at 90% where the figure has 95%.
    width = (hours["high"] - hours["low"]) / (right["figure"]["high"] - right["figure"]["low"])
    assert 0.5 < width < 1.2, width
    times = hours["mean"] / before["content_hours"]["mean"]
    for name in ("machine_hours", "channel_hours", "gigabytes_masters"):
        assert after[name]["mean"] / before[name]["mean"] == pytest.approx(times, rel=0.1), name
    assert after["staff.transfer"]["mean"] / before["staff.transfer"]["mean"] == pytest.approx(times, rel=0.1)
    assert after["items"] == before["items"]
    drivers = json.loads(quarterlight("outlook", learned, "--json").stdout)["drivers"]
    assert any(driving["cause"]["kind"] == "transfers" for driving in drivers)


def test_the_report_tells_it(quarterlight, learned, tmp_path):
    done = quarterlight("report", learned, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    page = (tmp_path / "out" / "report.html").read_text()
    assert "What the first transfers showed" in page
    assert 'data-figure="learned.quantity.content_hours.total"' in page
    assert "Learned: the hours were put right" in page and 'data-figure="learned.hours_simulated.n">20<' in page


def test_on_purpose_is_compared_and_no_more(quarterlight, visited, found, tmp_path):
    (tmp_path / "found.csv").write_text(table(found))
    done = quarterlight("learn", visited, "--transfers", tmp_path / "found.csv")
    assert done.returncode == 0 and "on purpose" in done.stdout and "No estimate is put right" in done.stdout
    assert "said," in done.stdout and ", put right: " not in done.stdout
    # A draw that was not kept to is named.
    (tmp_path / "gap.csv").write_text(table(found[1:]))
    done = quarterlight("learn", visited, "--transfers", tmp_path / "gap.csv", "--seed", SEED)
    assert done.returncode == 0 and found[0][0] in done.stdout and "No estimate is put right" in done.stdout


@pytest.mark.parametrize(
    "text, words",
    [
        ("", ["no column"]),
        ("item,minutes\n", ["no item"]),
        ("item;found\nx;none\n", ["minutes"]),
        ("item,minutes,minutes\n1,2,3\n", ["twice"]),
        ("item,minutes\nnowhere/1,10\n", ["row 2", "item", "names no box"]),
        ("item,minutes\n{first},ten\n", ["row 2", "minutes", "ten"]),
        ("item,minutes\n{first},-1\n", ["row 2", "minutes"]),
        ("item,minutes\n{first},NaN\n", ["row 2", "minutes"]),
        ("item,minutes,found\n{first},10,melted\n", ["row 2", "found", "melted"]),
        ("item,minutes\n{first},10\n{first},11\n", ["row 3", "row 2"]),
        ("item,minutes\n{first}00,10\n", ["row 2", "not among"]),
        ("item,minutes\n=cmd()|'/c',10\n", ["row 2", "item"]),
    ],
)
def test_what_is_wrong_is_named_by_row_and_column(quarterlight, visited, found, tmp_path, text, words):
    path = tmp_path / "found.csv"
    path.write_text(text.replace("{first}", found[0][0]))
    done = quarterlight("learn", visited, "--transfers", path, "--out", tmp_path / "no.zip")
    assert done.returncode == 2 and not (tmp_path / "no.zip").exists()
    for word in words:
        assert word in done.stderr, done.stderr
