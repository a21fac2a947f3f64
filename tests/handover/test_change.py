"""Two visits to one collection: what changed is told with its interval, what cannot be compared is refused by name."""

import json
import math

import pytest


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
