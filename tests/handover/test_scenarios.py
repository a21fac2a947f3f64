"""Scenarios in the log: told side by side by the desk, the report and the workbook, and checked like any other figure."""

import json
import re
import zipfile

import openpyxl
import pytest
from lxml import html

SCENARIOS = [
    {
        "name": "Two machines",
        "capacity": {"machines": 2, "machine_hours_week": 30, "people": 1.5, "people_hours_week": 30},
    },
    {"name": "=Only the urgent", "leave_out": ["ordinary"], "budget": 40000, "weeks": 20},
    {"name": "Weeks alone", "weeks": 26},
]


@pytest.fixture(scope="module")
def compared(quarterlight, planned, tmp_path_factory):
    folder = tmp_path_factory.mktemp("scenarios")
    arguments = []
    for n, scenario in enumerate(SCENARIOS):
        path = folder / f"{n}.json"
        path.write_text(json.dumps({"format": "quarterlight-scenario-1", **scenario}))
        arguments += ["--scenario", path]
    done = quarterlight("plan", planned, *arguments, "--person", "Hazel Vole", "--out", folder / "survey.zip")
    assert done.returncode == 0, done.stderr
    return folder / "survey.zip"


@pytest.fixture(scope="module")
def told(quarterlight, compared):
    done = quarterlight("outlook", compared, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def reported(quarterlight, compared, tmp_path_factory):
    folder = tmp_path_factory.mktemp("reported") / "out"
    done = quarterlight("report", compared, "--out", folder)
    assert done.returncode == 0, done.stderr
    return folder


def test_the_file_still_verifies_and_the_planned_figures_are_what_they_were(quarterlight, planned, compared, told):
    assert quarterlight("verify", compared).returncode == 0
    alone = json.loads(quarterlight("outlook", planned, "--json").stdout)
    beside = told["side_by_side"]
    assert [s["name"] for s in beside["scenarios"]] == ["As planned", "=Only the urgent", "Two machines", "Weeks alone"]
    for name, span in beside["scenarios"][0]["quantities"].items():
        assert alone["quantities"][name] == span, name


def test_a_difference_is_narrower_than_two_ranges_apart(told):
    """Paired draws: what both have in common is no part of it."""
    beside = told["side_by_side"]
    (pair,) = [p for p in beside["differences"] if (p["of"], p["from"]) == (2, 0)]
    weeks = [s["quantities"]["weeks"] for s in beside["scenarios"]]
    changed = pair["quantities"]["weeks"]
    assert changed["mean"] == pytest.approx(weeks[2]["mean"] - weeks[0]["mean"])
    assert changed["high"] < 0
    apart = (weeks[2]["high"] - weeks[0]["low"]) - (weeks[2]["low"] - weeks[0]["high"])
    assert changed["high"] - changed["low"] < apart
    # Nothing but the weeks hangs on machines and people.
    assert pair["quantities"]["staff_hours"]["low"] == pair["quantities"]["staff_hours"]["high"] == 0


def test_weeks_are_enough_for_what_machines_and_people_do_in_them(told, quarterlight, compared):
    (urgent,) = [s for s in told["side_by_side"]["scenarios"] if s["name"] == "=Only the urgent"]
    assert urgent["weeks"] == 20 and 0 <= urgent["chance_in_weeks"] <= 1
    done = {bought["class"]: bought for bought in urgent["done"]}
    assert "ordinary" not in done
    assert sum(b["items"]["mean"] for b in done.values()) == pytest.approx(urgent["quantities"]["in_weeks.items"]["mean"])
    for bought in done.values():
        assert sum(bought["strata"].values()) == pytest.approx(bought["items"]["mean"])
    # More weeks do not less, and none do nothing.
    alone = [json.loads(quarterlight("outlook", compared, "--weeks", n, "--json").stdout)["in_weeks"] for n in (0, 20, 10000)]
    items = [[b["items"]["mean"] for b in made] for made in alone]
    assert sum(items[0]) == 0 and all(a <= b for a, b in zip(items[1], items[2]))
    whole = json.loads(quarterlight("outlook", compared, "--json").stdout)["quantities"]["items"]["mean"]
    assert sum(items[2]) == pytest.approx(whole, rel=1e-9)


def test_the_report_gives_the_order_with_its_reasons(reported):
    root = html.parse(str(reported / "report.html")).getroot()
    captions = [c.text_content() for c in root.iter("caption")]
    assert any(c.startswith("What this sum is enough for, in this order") for c in captions), captions
    tables = [t for t in root.iter("table") if t.find("caption").text_content().startswith("What this time is enough for")]
    assert len(tables) == 2
    for table in tables:
        rows = table.findall("tbody/tr")
        assert rows and all(len(row) == 5 and row[1].text_content() and row[4].text_content() for row in rows)


def test_it_is_said_what_differs_and_what_that_does(reported):
    root = html.parse(str(reported / "report.html")).getroot()
    (section,) = root.xpath("//section[@id='takes']")
    said = re.sub(r"\s+", " ", section.text_content())
    assert "Weeks alone differs from the plan in one thing: 26 weeks to do it in." in said
    assert re.search(r"Work and cost of the whole are as planned\. This time is not enough for all of it: it would be in (none|\d+) of 10 000 draws\.", said)
    assert re.search(r"It does about [\d ]+ \([\d ]+ to [\d ]+\) of [\d ]+ items, ", said)
    assert "=Only the urgent differs from the plan in: EUR\xa040 000 to spend; 20 weeks to do it in; nothing is done with" in said.replace("EUR ", "EUR\xa0")


def test_what_is_the_same_has_no_row(reported):
    root = html.parse(str(reported / "report.html")).getroot()
    rows = [[cell.text_content() for cell in row] for t in root.iter("table") for row in t.iter("tr") if "Differences" in t.find("caption").text_content()]
    assert len(rows) > 5
    assert not [row for row in rows if row[0] == "Weeks alone beside what is planned"], "it changes nothing of the whole"
    assert not re.search("no difference(?! in most draws)", root.text_content())


def test_no_mean_lies_outside_its_own_range(reported):
    root = html.parse(str(reported / "report.html")).getroot()
    shown = {s.get("data-figure"): s.text_content().replace("\u2009", "").rstrip("%") for s in root.xpath("//span[@data-figure]")}
    simulated = [name for name in shown if name.startswith(("scenario.", "outlook.")) and f"{name}.low" in shown and f"{name}.high" in shown]
    assert len(simulated) > 60
    for name in simulated:
        low, mean, high = (float(shown[f"{name}{end}"]) for end in (".low", "", ".high"))
        assert low <= mean <= high and high > 0, (name, low, mean, high)


def test_words_say_it_first(quarterlight, compared):
    out = quarterlight("outlook", compared).stdout
    assert "Two machines beside As planned" in out and "less (" in out
    assert "EUR 40000 pays for all of it with a chance of" in out


def test_the_report_tells_them_and_a_changed_digit_is_named(quarterlight, compared, reported, tmp_path):
    path = reported / "report.html"
    page = path.read_text()
    root = html.parse(str(path)).getroot()
    ids = {span.get("data-figure") for span in root.xpath("//span[@data-figure]")}
    assert {"scenario.2.beside.0.weeks.less", "scenario.1.budget.items", "scenario.1.budget.chance"} <= ids
    found = re.search(r'data-figure="scenario.1.budget.items">([^<]*)<', page)
    start = found.start(1)
    digit = page[start]
    (tmp_path / "changed.html").write_text(page[:start] + ("7" if digit != "7" else "8") + page[start + 1 :])
    done = quarterlight("verify", compared, "--report", tmp_path / "changed.html")
    assert done.returncode == 1
    assert done.stdout.count("FAILS") == 1 and "scenario.1.budget.items is " in done.stdout
    for kind in ("//span[@data-figure]", "//span[contains(@class,'said')]", "//code", "//style", "//svg", "//h1", "//title"):
        for element in root.xpath(kind):
            element.drop_tree()
    assert re.findall(r".{0,30}\d.{0,30}", root.text_content()) == []


def test_outsiders_do_not_see_a_name_that_somebody_typed(quarterlight, compared, tmp_path):
    done = quarterlight("report", compared, "--out", tmp_path / "out", "--without-places")
    assert done.returncode == 0, done.stderr
    page = (tmp_path / "out" / "report.html").read_text()
    assert "Two machines" not in page and "Only the urgent" not in page and "Side by side" in page
    with zipfile.ZipFile(tmp_path / "out" / "workbook.xlsx") as book:
        assert b"Two machines" not in b"".join(book.read(name) for name in book.namelist())


def test_the_workbook_has_a_sheet_of_them(told, reported):
    sheet = openpyxl.load_workbook(reported / "workbook.xlsx")["Scenarios"]
    rows = {(r[0], r[1], r[2]): r[3:8] for r in sheet.iter_rows(min_row=3, values_only=True)}
    # The report's seed is the survey's own, so the digits are near those of seed 1, not the same.
    (pair,) = [p for p in told["side_by_side"]["differences"] if (p["of"], p["from"]) == (2, 0)]
    assert rows["Two machines", "As planned", "weeks"][0] == pytest.approx(pair["quantities"]["weeks"]["mean"], rel=0.05)
    assert rows["=Only the urgent", None, "items"][0] > 0


def test_a_scenario_is_taken_away_and_faults_are_named(quarterlight, compared, tmp_path):
    done = quarterlight(
        "plan", compared, "--drop-scenario", "Two machines", "--person", "Hazel Vole", "--out", tmp_path / "less.zip"
    )
    assert done.returncode == 0, done.stderr
    left = json.loads(quarterlight("outlook", tmp_path / "less.zip", "--json").stdout)["side_by_side"]["scenarios"]
    assert [s["name"] for s in left] == ["As planned", "=Only the urgent", "Weeks alone"]
    done = quarterlight("plan", compared, "--drop-scenario", "Tow", "--person", "Hazel Vole", "--out", tmp_path / "no.zip")
    assert done.returncode == 2 and "Tow" in done.stderr and not (tmp_path / "no.zip").exists()
    bad = tmp_path / "bad.json"
    for text, word in [
        ('{"format":"quarterlight-scenario-1","name":"B","leave_out":["sunny"]}', "sunny"),
        ('{"format":"quarterlight-scenario-1","name":"B","budget":-1}', "budget"),
        ('{"format":"quarterlight-scenario-1","name":"B","currency":"XXX"}', "currency"),
        ('{"format":"quarterlight-scenario-1","name":"B","wings":2}', "wings"),
        ('{"format":"other","name":"B"}', "other"),
    ]:
        bad.write_text(text)
        done = quarterlight("plan", compared, "--scenario", bad, "--person", "A", "--out", tmp_path / "no.zip")
        assert done.returncode == 2 and word in done.stderr and "bad.json" in done.stderr, done.stderr
        assert quarterlight("outlook", compared, "--scenario", bad).returncode == 2
