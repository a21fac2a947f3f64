"""Two visits to one collection: what changed is told with its interval, what cannot be compared is refused by name."""

import json
import math
import re

import pytest
from lxml import html


@pytest.fixture(scope="module")
def visits(quarterlight, tmp_path_factory):
    """A visit of four rounds, the same with two more rounds, one with a draw of its own, and a visit to other boxes."""
    folder = tmp_path_factory.mktemp("visits")
    made = {}
    for name, arguments in {
        "first": ("--boxes", 80, "--surveyed", 4),
        "longer": ("--boxes", 80, "--surveyed", 6),
        "again": ("--boxes", 80, "--surveyed", 4, "--visit", 2),
        "other": ("--boxes", 81, "--surveyed", 4),
    }.items():
        done = quarterlight("practice", "--seed", 7, *arguments, "--out", folder / name)
        assert done.returncode == 0, done.stderr
        made[name] = folder / name / "survey.zip"
    return made


def test_drawn_apart_the_variances_add(quarterlight, visits):
    made = json.loads(quarterlight("change", visits["first"], visits["again"], "--json").stdout)
    assert made["drawn"] == "apart" and len(made["figures"]) > 40
    figures = [json.loads(quarterlight("figures", visits[name]).stdout)["headline"] for name in ("first", "again")]
    for name, changed in made["figures"].items():
        then, now = (f[name] for f in figures)
        assert changed["change"] == pytest.approx(now["estimate"] - then["estimate"])
        if changed["se"] is not None:
            assert changed["se"] == pytest.approx(math.hypot(then["se"], now["se"]))
    # Nothing changed in truth: both visits are to one collection.
    held = [f["low"] <= 0 <= f["high"] for f in made["figures"].values() if f["low"] is not None]
    assert sum(held) / len(held) > 0.85


def test_by_one_draw_the_common_boxes_make_it_narrower(quarterlight, visits):
    made = json.loads(quarterlight("change", visits["first"], visits["longer"], "--json").stdout)
    assert made["drawn"] == "again" and made["common_boxes"] >= 15
    assert any("later state of the same survey" in note for note in made["notes"])
    hours = made["figures"]["quantity.content_hours.total"]
    assert hours["correlation"] > 0.3
    apart = json.loads(quarterlight("change", visits["first"], visits["again"], "--json").stdout)
    assert hours["se"] < apart["figures"]["quantity.content_hours.total"]["se"]


def test_in_words(quarterlight, visits):
    out = quarterlight("change", visits["first"], visits["again"]).stdout
    assert "with a draw of its own" in out and "items.total" in out and "by chance" in out


def test_what_cannot_be_compared_is_refused_and_said(quarterlight, visits):
    done = quarterlight("change", visits["first"], visits["other"])
    assert done.returncode == 1 and "cannot be compared" in done.stderr and "box " in done.stderr
    done = quarterlight("change", visits["first"], visits["first"])
    assert done.returncode == 1 and "the same entries" in done.stderr


@pytest.fixture(scope="module")
def since(quarterlight, visits, tmp_path_factory):
    """The report of the second visit, with what changed since the first."""
    folder = tmp_path_factory.mktemp("since") / "out"
    done = quarterlight("report", visits["again"], "--earlier", visits["first"], "--out", folder)
    assert done.returncode == 0, done.stderr
    return folder / "report.html"


def test_the_report_tells_it_and_verify_computes_it_again(quarterlight, visits, since, tmp_path):
    page = since.read_text()
    root = html.fromstring(page)
    (section,) = root.xpath("//section[@id='change']")
    made = json.loads(quarterlight("change", visits["first"], visits["again"], "--json").stdout)
    shown = {s.get("data-figure"): s.text_content() for s in section.xpath(".//span[@data-figure]")}
    assert len([name for name in shown if name.endswith(".first")]) > 10
    then = made["figures"]["items.total"]["first"]
    said = float(shown["change.items.total.first"].replace("\u2009", ""))
    assert said == pytest.approx(then, rel=0.01)
    # Every number has its id; what is left has no digit.
    for element in section.xpath(".//span"):
        element.drop_tree()
    assert re.findall(r"\d", section.text_content()) == []
    args = ("verify", visits["again"], "--report", since, "--earlier")
    assert quarterlight(*args, visits["first"]).returncode == 0
    # Without the earlier file, or with another, it is said what is needed.
    assert "--earlier FILE" in quarterlight("verify", visits["again"], "--report", since).stdout
    assert "another earlier visit" in quarterlight(*args, visits["longer"]).stdout
    changed = tmp_path / "changed.html"
    changed.write_text(page.replace('data-figure="change.common">', 'data-figure="change.common">9', 1))
    done = quarterlight("verify", visits["again"], "--report", changed, "--earlier", visits["first"])
    assert done.returncode == 1 and "change.common is " in done.stdout


def test_the_change_is_told_as_it_was_made(quarterlight, visits, since):
    made = json.loads(quarterlight("change", visits["first"], visits["again"], "--json").stdout)
    (section,) = html.fromstring(since.read_text()).xpath("//section[@id='change']")
    said = re.sub(r"\s+", " ", section.text_content())
    # Drawn apart there is nothing in common to take off; both were made on one day.
    assert "The two draws are independent" in said and "in common, which is no part" not in said
    assert "on the same day" in said
    assert not re.search(r"(?<![\d.])(1 points|0 points|0\.0 points)", said), said
    told = section.xpath(".//tbody/tr")
    shares = [name for name in made["figures"] if name.endswith(".share")]
    assert made["with_limits"] <= len(told) < len(shares) + 2
    assert made["by_chance"] == pytest.approx(0.05 * made["with_limits"])


def test_by_one_draw_what_is_in_common_is_told(quarterlight, visits, tmp_path):
    done = quarterlight("report", visits["longer"], "--earlier", visits["first"], "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    said = re.sub(r"\s+", " ", html.fromstring((tmp_path / "out" / "report.html").read_text()).xpath("//section[@id='change']")[0].text_content())
    assert "less what the boxes in both have in common" in said and "independent" not in said


def test_outsiders_see_no_title_of_the_earlier_visit(quarterlight, visits, since, tmp_path):
    done = quarterlight("report", visits["again"], "--earlier", visits["first"], "--without-places", "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    title = json.loads(quarterlight("change", visits["first"], visits["again"], "--json").stdout)["visits"][0]["title"]
    assert title and title in since.read_text()
    assert title not in (tmp_path / "out" / "report.html").read_text()


def test_what_cannot_be_compared_says_so_in_the_report(quarterlight, visits, tmp_path):
    done = quarterlight("report", visits["again"], "--earlier", visits["other"], "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert "The two visits cannot be compared" in (tmp_path / "out" / "report.html").read_text()
