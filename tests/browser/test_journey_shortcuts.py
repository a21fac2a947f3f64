"""Shortcuts for tapes that are alike: shown first, confirmed by a look, told apart in the log, taken back in one."""

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved


@pytest.fixture
def at_a_box(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    return s


def entries_of(s, position):
    wait_saved(s)
    kept = fieldwork.entries_kept(s.browser)
    undone = {entry["of"] for entry in kept if entry["kind"] == "undo"}
    return {
        entry["q"]: entry
        for entry in kept
        if entry["kind"] == "answer"
        and entry["of"].endswith(f"/{position}")
        and f"{entry['writer']}.{entry['n']}" not in undone
    }


def tap_all(s, taps):
    for tap in taps:
        s.tap(f"check-{tap}")


def test_same_as_the_last_tape_is_shown_confirmed_recorded_and_taken_back(at_a_box):
    s = at_a_box
    tap_all(s, ["outcome-found_opened", "mould-none", "vermin-none", "odour_box-none"])
    fieldwork.fill_number(s, "check-count-cassette", 3)
    tap_all(s, ["done", "hazard-none"])
    s.wait_for("check-carrier-cassette")
    assert not s.is_there("check-same"), "there is no tape before the first"
    tap_all(s, ["carrier-cassette", "size-c60", "date_decade-d1970", "done"])
    # A clean tape has nothing on its sheet that must be read: the next tape begins, and says so.
    s.wait_for("check-before")
    looked = {e["q"] for e in entries_of(s, 1).values() if e.get("from") == "quick look"}
    assert looked == {"residue", "damage", "squeal", "label", "date_decade"}
    s.tap("check-before")
    s.wait_text("Ordinary list")
    s.tap("check-onward")
    # What hurts is looked for on each tape by itself, before anything may be taken over.
    s.wait_for("check-hazard-none")
    assert not s.is_there("check-same")
    s.tap("check-hazard-none")
    s.wait_for("check-same")
    s.tap("check-same")
    s.wait_for("check-same-confirm")
    assert set(entries_of(s, 2)) == {"hazard"}, "the first tap only shows"
    for word in ("C", "1970s", "60"):
        assert word in s.screen()
    s.tap("check-same-confirm")
    s.wait_for("check-quick-look")
    taken = {q: e["a"] for q, e in entries_of(s, 2).items() if e.get("from", "").startswith("same as item ")}
    assert taken == {
        "carrier": {"one": "cassette"},
        "size": {"one": "c60"},
        "squeal": {"one": "nobody_knows"},
        "label": {"many": ["date"]},
        "date_decade": {"one": "d1970"},
    }
    s.tap("check-undo")
    s.wait_for("check-same")
    assert set(entries_of(s, 2)) == {"hazard"}


def test_what_the_last_label_says_is_taken_over_beside_signs_that_are_marked(at_a_box):
    s = at_a_box
    tap_all(s, ["outcome-found_opened", "mould-none", "vermin-none", "odour_box-none"])
    fieldwork.fill_number(s, "check-count-cassette", 3)
    tap_all(s, ["done", "hazard-none", "carrier-cassette", "size-c60", "date_decade-d1970", "done", "hazard-none"])
    s.tap("check-kind-cassette-c60")
    s.wait_for("check-same-confirm")
    s.tap("check-damage-shell")
    s.tap("check-same-confirm")
    # The label is answered and gone; the mark is where it was, and the rest is still to be looked at.
    s.wait_gone("check-label-cant_tell")
    mark = "return document.querySelector('[data-tap=check-damage-shell]').getAttribute('aria-checked')"
    assert s.browser.run(mark) == "true"
    s.tap("check-quick-look")
    wait_saved(s)
    harness.wait_until(lambda: "damage" in entries_of(s, 2), "the signs to be said")
    said = {q: (e["a"], e.get("from", "")) for q, e in entries_of(s, 2).items()}
    assert said["damage"] == ({"many": ["shell"]}, "quick look")
    for question, answer in {"label": {"many": ["date"]}, "date_decade": {"one": "d1970"}}.items():
        assert said[question][0] == answer and said[question][1].startswith("same as item "), said[question]


MARKED = "return [...document.querySelectorAll('main [aria-checked=true]')].map((mark) => mark.dataset.tap)"
EXPLAINED = "return document.querySelectorAll('.explained').length"


def test_nothing_of_one_tape_is_marked_on_the_next(at_a_box):
    s = at_a_box
    marked = lambda: s.browser.run(MARKED)
    tap_all(s, ["outcome-found_opened", "mould-none", "vermin-none", "odour_box-none"])
    fieldwork.fill_number(s, "check-count-cassette", 3)
    tap_all(s, ["done", "hazard-none", "carrier-cassette", "size-c60", "explain", "damage-shell"])
    assert marked() == ["check-damage-shell"] and s.browser.run(EXPLAINED)
    # What was not said is not kept, and what was is shown where it is gone back to.
    s.tap("check-back")
    s.wait_for("check-size-c60")
    assert marked() == ["check-size-c60"]
    s.tap("check-size-c60")
    s.wait_for("check-damage-shell")
    assert marked() == [] and not s.browser.run(EXPLAINED)
    tap_all(s, ["damage-shell", "done"])
    for onward, there in [
        ("onward", "hazard-none"),
        ("hazard-none", "carrier-cassette"),
        ("carrier-cassette", "size-c60"),
        ("size-c60", "damage-shell"),
    ]:
        s.tap(f"check-{onward}")
        s.wait_for(f"check-{there}")
        assert marked() == [], there
    assert entries_of(s, 1)["damage"]["a"] == {"many": ["shell"]} and "damage" not in entries_of(s, 2)


def test_the_rest_of_a_box_is_a_remark_and_never_stands_in_for_a_drawn_tape(at_a_box):
    s = at_a_box
    tap_all(s, ["outcome-found_opened", "mould-none", "vermin-none", "odour_box-none"])
    fieldwork.fill_number(s, "check-count-wire", 0) if s.is_there("check-count-wire") else None
    fieldwork.fill_number(s, "check-count-cassette", 12)
    tap_all(s, ["done", "hazard-none", "back"])
    s.browser.run("location.hash = location.hash.replace(/item\\/([0-9-]+).*$/, 'box/$1/sheet')")
    s.wait_text("cannot stand in for a drawn tape")
    assert not s.is_there("check-rest-alike")
    s.tap("check-onward")
    positions = 0
    while not s.is_there("check-rest-alike"):
        positions += 1
        if s.is_there("check-hazard-none"):
            s.tap("check-hazard-none")
        if positions == 1:
            tap_all(s, ["carrier-cassette", "size-c60", "done"])
        else:
            tap_all(s, ["same", "same-confirm", "quick-look"])
        harness.wait_until(lambda: s.is_there("check-before") or s.is_there("check-onward"), "the tape to end")
        if s.is_there("check-onward"):
            s.tap("check-onward")
            s.wait_for("check-rest-alike")
    assert positions < 12
    s.tap("check-rest-alike")
    wait_saved(s)
    kept = fieldwork.answers_that_count(fieldwork.entries_kept(s.browser))
    assert [(q, a) for (of, q), a in kept.items() if q == "rest_alike"] == [("rest_alike", {"one": "alike"})]
    answered = {of for (of, _) in kept if of.startswith("item ")}
    assert len(answered) == positions, "only tapes that were looked at have answers"
