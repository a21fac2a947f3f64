"""The report and what goes with it, made in the app: the desk's bytes, the writer's choices, an earlier visit, scenarios."""

import csv
import filecmp
import html
import json
import re
import subprocess
import zipfile

import harness
import pytest
from fieldwork import wait_saved
from surveyor import Surveyor

def desk(*words, code=0):
    done = subprocess.run([str(word) for word in (harness.DESK, *words)], capture_output=True, text=True, check=False)
    assert done.returncode == code, done.stderr
    return done


@pytest.fixture(scope="module")
def visits(tmp_path_factory):
    """A visit, a second one with a draw of its own, and a visit to another list of boxes."""
    folder = tmp_path_factory.mktemp("visits")
    made = {}
    for name, words in {
        "first": ("--boxes", 80),
        "again": ("--boxes", 80, "--visit", 2),
        "other": ("--boxes", 81),
    }.items():
        desk("practice", "--seed", 7, "--surveyed", 4, *words, "--out", folder / name)
        made[name] = folder / name / "survey.zip"
    return made


def opened(browser, url, file):
    """A survey, taken in from its file, at its papers."""
    browser.open(url).wait_for_app()
    s = Surveyor(browser, 60)
    s.give_file("home-open", file)
    s.wait_for("day-handover")
    return s


def to_papers(s):
    s.tap("day-handover")
    s.tap("handover-papers")
    s.wait_for("papers-make-report")


def is_checked(s, tap):
    return s.wait_for(tap).get_attribute("aria-checked") == "true"


def becomes(s, tap, checked):
    harness.wait_until(lambda: is_checked(s, tap) == checked, f"{tap} to be {'in' if checked else 'out'}")


def made(s, tap, pattern):
    """A paper, as it lies among the downloads."""
    s.tap(tap)
    return s.browser.downloaded(pattern, 60)


def survey_file(s):
    s.tap("day-handover")
    s.tap("handover-save")
    return s.browser.downloaded("quarterlight-????????-????-??-??.zip", 60)


def test_what_is_chosen_ends_in_the_papers_which_have_the_desk_s_bytes_without_a_server(server, chromium, visits, tmp_path):
    s = opened(chromium, server.url, visits["again"])
    to_papers(s)
    chromium.wait_for_worker()
    server.stop()
    for key in ("glossary", "statistics", "takes"):
        becomes(s, f"papers-section-{key}", True)
        s.tap(f"papers-section-{key}")
        becomes(s, f"papers-section-{key}", False)
    # The last one is taken back.
    s.tap("undo")
    becomes(s, "papers-section-takes", True)
    s.paste_into("papers-author", "Hazel Vole")
    s.paste_into("papers-version", "draft 3")
    s.tap("papers-words-start")
    s.paste_into("papers-words", "Our roof leaks.\n\nIn 2 places.")
    s.tap("papers-words-keep")
    s.tap("papers-words-limits")
    s.paste_into("papers-words", "Nobody went <down> in the rain.")
    s.tap("papers-words-keep")
    assert "Limits: 31 characters" in s.text_of("papers-words-limits")
    s.give_file("earlier-choose", visits["first"])
    s.wait_for("earlier-drop")
    report = made(s, "papers-make-report", "*-report.html")
    book = made(s, "papers-make-workbook", "*-workbook.xlsx")
    records = made(s, "papers-make-pbcore", "*-pbcore.xml")
    s.tap("papers-make-paragraph")
    s.wait_for("papers-copy")
    paragraph = s.value_of("papers-paragraph")
    page = report.read_text(encoding="utf-8")
    assert "Left out by the writer: Words used, For statisticians" in page
    assert '<section id="takes">' in page and '<section id="glossary">' not in page
    assert "Our roof leaks." in page and "In 2 places." in page and "Hazel Vole" in page and "draft 3" in page
    limits = page.split('<section id="limits">')[1].split("</section>")[0]
    assert "From the writer" in limits and "Nobody went &lt;down&gt; in the rain." in limits
    assert '<section id="change">' in page
    # The desk makes the same of the file, in which the choices lie.
    wait_saved(s)
    file = survey_file(s)
    desk("report", file, "--earlier", visits["first"], "--out", tmp_path / "desk")
    assert filecmp.cmp(report, tmp_path / "desk" / "report.html", shallow=False)
    assert filecmp.cmp(book, tmp_path / "desk" / "workbook.xlsx", shallow=False)
    assert filecmp.cmp(records, tmp_path / "desk" / "pbcore.xml", shallow=False)
    assert paragraph == (tmp_path / "desk" / "paragraph.txt").read_text(encoding="utf-8").rstrip("\n")
    desk("verify", file, "--report", report, "--earlier", visits["first"])
    with zipfile.ZipFile(file) as archive:
        (inside,) = [name for name in archive.namelist() if name.endswith("data/report.html")]
        assert "Our roof leaks." in archive.read(inside).decode()
    assert chromium.refused() == []
    assert chromium.console() == []


def test_outsiders_get_no_place_and_a_reload_keeps_what_was_chosen(server, chromium, visits):
    s = opened(chromium, server.url, visits["first"])
    to_papers(s)
    becomes(s, "papers-for-colleagues", True)
    s.tap("papers-for-outsiders")
    s.wait_text("Name no place and nobody in it")
    wait_saved(s)
    chromium.driver.refresh()
    becomes(s, "papers-for-outsiders", True)
    report = made(s, "papers-make-report", "*-report.html")
    page = report.read_text(encoding="utf-8")
    report.unlink()
    assert "Places and names are left out of this version." in page
    with (visits["first"].parent / "boxes.csv").open(encoding="utf-8", newline="") as table:
        places = {row["place"] for row in csv.DictReader(table)}
    assert len(places) > 2 and not any(html.escape(place) in page for place in places)
    s.tap("papers-for-colleagues")
    becomes(s, "papers-for-colleagues", True)
    second = made(s, "papers-make-report", "*-report.html").read_text(encoding="utf-8")
    assert any(html.escape(place) in second for place in places)


def test_a_text_that_is_too_long_is_not_kept(server, chromium, visits):
    s = opened(chromium, server.url, visits["first"])
    to_papers(s)
    s.tap("papers-words-method")
    s.paste_into("papers-words", "x" * 4_007)
    s.tap("papers-words-keep")
    s.wait_text("7 characters too long")
    s.paste_into("papers-words", "x" * 4_000)
    s.tap("papers-words-keep")
    assert "4,000 characters" in s.text_of("papers-words-method")
    s.tap("undo")
    harness.wait_until(lambda: "nothing yet" in s.text_of("papers-words-method"), "the text to be taken back")


def test_what_changed_is_told_with_ranges_and_unlike_lists_are_refused(server, chromium, visits):
    s = opened(chromium, server.url, visits["again"])
    s.tap("day-results")
    s.tap("results-changed")
    s.give_file("earlier-choose", visits["other"])
    s.wait_for("earlier-refused")
    said = s.text_of("earlier-refused")
    assert said.startswith("The two lists of boxes differ (") and re.search(r"Box \d{4}-\d (was|is) ", said), said
    assert not chromium.run("return document.querySelectorAll('[data-change]').length")
    s.give_file("earlier-choose", visits["again"])
    s.wait_text("Both have the same entries")
    s.give_file("earlier-choose", visits["first"])
    told = "return [...document.querySelectorAll('[data-change]')].map((e) => [e.dataset.change, e.innerText])"
    shown = dict(harness.wait_until(lambda: chromium.run(told), "the changes", 60))
    figures = json.loads(desk("change", visits["first"], visits["again"], "--json").stdout)["figures"]
    wanted = {
        name
        for name, figure in figures.items()
        if (name in ("items.total", "quantity.content_hours.total") or name.endswith(".share"))
        and (figure["first"] > 0 or figure["second"] > 0)
    }
    assert set(shown) == wanted
    for name in wanted:
        figure = figures[name]
        if figure["low"] is None:
            assert "no range can be given" in shown[name], shown[name]
            continue
        sure = figure["low"] > 0 or figure["high"] < 0
        assert ("between" in shown[name]) != sure, shown[name]
        if figure["measure"] == "share" and not sure:
            assert f"{figure['high'] * 100:.1f} points more" in shown[name], shown[name]
    # Another device's survey is not compared with it: the choice is this survey's.
    s.tap("earlier-drop")
    harness.wait_until(lambda: not chromium.run(told), "no change to be told")


def scenario_cells(browser):
    script = "return [...document.querySelectorAll('.side-by-side td')].map((e) => [e.dataset.figure, e.textContent])"
    return dict(browser.run(script))


def told_cells(s, has):
    return harness.wait_until(lambda: (lambda cells: cells if has in cells else None)(scenario_cells(s.browser)), "the table", 90)


def number(text):
    return float(re.sub(r"[^\d.]", "", text))


def test_scenarios_stand_side_by_side_with_their_differences(server, chromium, visits, tmp_path):
    s = opened(chromium, server.url, visits["first"])
    s.tap("day-results")
    s.tap("results-takes")
    s.tap("takes-scenarios")
    s.wait_for("scenarios-none")
    s.type_into("scenario-name", "Two machines")
    s.tap("scenario-add")
    s.tap("scenario-machines-more")
    s.tap("scenario-people-more")
    s.paste_into("scenario-weeks", "20")
    s.tap("scenario-back")
    cells = told_cells(s, "scenario.1.weeks")
    plan, two = number(cells["scenario.0.weeks"].split(" (")[0]), number(cells["scenario.1.weeks"].split(" (")[0])
    assert two == pytest.approx(plan / 2, rel=0.02), cells
    assert "less (" in cells["scenario.1.beside.0.weeks"]
    # What no way changes has no table: it is named once.
    assert "scenario.0.items" not in cells
    assert "Tapes" in s.screen().split("The same every way")[1].splitlines()
    assert "20 weeks are enough for all of it" in s.screen()
    # A value of its own, another name; then the desk tells the same of the file.
    s.tap(f"scenario-{'Two machines'.encode().hex()}")
    s.tap("scenario-values")
    s.tap("assume-time.metadata")
    for end, value in (("low", "60"), ("likely", "90"), ("high", "120")):
        s.type_into(f"assume-{end}", value)
    s.tap("assume-keep")
    s.wait_text("for this way alone")
    s.tap("assume-back")
    s.paste_into("scenario-rename", "Zwei Geräte, 1/2")
    # The screen of the old name is gone with it: back to the table.
    s.wait_for("scenario-name")
    cells = told_cells(s, "scenario.1.weeks")
    assert s.is_there(f"scenario-{'Zwei Geräte, 1/2'.encode().hex()}")
    assert not s.is_there(f"scenario-{'Two machines'.encode().hex()}")
    assert "more (" in cells["scenario.1.beside.0.staff_hours"], cells
    wait_saved(s)
    file = survey_file(s)
    told = json.loads(desk("outlook", file, "--json").stdout)["side_by_side"]
    assert [one["name"] for one in told["scenarios"]] == ["As planned", "Zwei Geräte, 1/2"]
    spans = told["scenarios"][1]["quantities"]
    shown = [name.removeprefix("scenario.1.") for name in cells if name.startswith("scenario.1.") and "beside" not in name]
    assert {"staff_hours", "weeks"} <= set(shown)
    for name in shown:
        assert number(cells[f"scenario.1.{name}"].split(" (")[0]) == pytest.approx(spans[name]["mean"], rel=0.006)
    # Taken away, and taken back.
    s.tap("day-results")
    s.tap("results-takes")
    s.tap("takes-scenarios")
    # What stands below the table moves when it appears.
    told_cells(s, "scenario.1.weeks")
    s.tap(f"scenario-{'Zwei Geräte, 1/2'.encode().hex()}")
    s.tap("scenario-remove")
    s.wait_for("scenarios-none")
    s.tap("undo")
    assert told_cells(s, "scenario.1.weeks") == cells


def test_webkit_makes_the_same_paragraph(server, webkit, visits, tmp_path):
    s = opened(webkit, server.url, visits["first"])
    to_papers(s)
    s.tap("papers-make-paragraph")
    s.wait_for("papers-copy")
    desk("report", visits["first"], "--out", tmp_path / "desk")
    wanted = (tmp_path / "desk" / "paragraph.txt").read_text(encoding="utf-8")
    assert s.value_of("papers-paragraph") == wanted.rstrip("\n")
