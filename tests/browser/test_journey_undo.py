"""Taking back: every tap can be, one at a time, and the log still has it."""

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved


@pytest.fixture
def at_a_box(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    return s


def counting(s):
    """Question and answer of everything that counts about boxes and tapes."""
    wait_saved(s)
    kept = fieldwork.answers_that_count(fieldwork.entries_kept(s.browser))
    return {question: value for (of, question), value in kept.items() if of.startswith(("box ", "item "))}


def test_a_box_is_answered_and_taken_back_to_its_first_question(at_a_box):
    s = at_a_box
    s.tap("check-outcome-found_opened")
    s.tap("check-mould-suspected")
    s.wait_for("check-onward")
    assert set(counting(s)) == {"outcome", "mould"}
    s.tap("check-undo")
    s.wait_for("check-mould-none")
    s.tap("check-undo")
    s.wait_for("check-outcome-found_opened")
    assert counting(s) == {}
    # Nothing is wiped out: the log has what was tapped and that it was taken back.
    kinds = [entry["kind"] for entry in fieldwork.entries_kept(s.browser)]
    assert kinds.count("undo") == 2
    s.driver.refresh()
    s.wait_for("check-outcome-found_opened")


def test_another_answer_takes_the_place_of_the_first(at_a_box):
    s = at_a_box
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    s.tap("check-back")
    s.tap("check-outcome-not_opened")
    s.tap("check-outcome_reason-locked")
    s.wait_for("check-onward")
    assert counting(s) == {"outcome": {"one": "not_opened"}, "outcome_reason": {"one": "locked"}}


def test_one_undo_takes_back_the_whole_quick_look(at_a_box):
    s = at_a_box
    for tap in ["outcome-found_opened", "mould-none", "vermin-none", "odour_box-none", "count-cassette-more", "done"]:
        s.tap(f"check-{tap}")
    s.tap("check-hazard-none")
    s.tap("check-carrier-cassette")
    s.tap("check-size-c60")
    s.wait_for("check-residue-brown")
    before = counting(s)
    s.tap("check-done")
    s.wait_for("check-onward")
    taken = {name: value for name, value in counting(s).items() if name not in before}
    assert taken == {
        "residue": {"many": ["none"]},
        "damage": {"many": ["none"]},
        "squeal": {"one": "nobody_knows"},
        "label": {"many": ["nothing"]},
    }
    s.tap("check-undo")
    s.wait_for("check-residue-brown")
    assert counting(s) == before


def test_a_box_of_the_list_is_taken_off_and_put_back(server, chromium):
    s = at_the_list(chromium, server.url)
    s.paste_into("setup-list-text", "place,label\nAttic,A 1\nAttic,A 2\nAttic,A 3\n")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    s.tap("setup-go-on")
    s.tap("setup-place-P1")
    s.tap(f"setup-take-off-{fieldwork.serial(2)}")
    s.wait_gone(f"setup-take-off-{fieldwork.serial(2)}")
    s.tap("setup-other-places")
    harness.wait_until(lambda: s.text_of("setup-total").startswith("2 "), "two boxes")
    wait_saved(s)
    kept = fieldwork.entries_kept(chromium)
    assert [entry["serial"] for entry in kept if entry["kind"] == "withdraw"] == [fieldwork.serial(2)]


def test_a_long_shelf_counted_in_one_tap_is_taken_back_in_one(server, chromium):
    s = at_the_list(chromium, server.url)
    s.paste_into("setup-list-text", "place,label\nAttic,A 1\n")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    s.tap("setup-go-on")
    s.tap("setup-place-P1")
    s.tap("setup-several-open")
    fieldwork.fill_number(s, "setup-several", 1000)
    s.tap("setup-several-add")
    s.wait_for("setup-show-more")
    wait_saved(s)
    listed = [len(entry["boxes"]) for entry in fieldwork.entries_kept(chromium) if entry["kind"] == "boxes"]
    assert listed == [1, 1000]
    s.tap("undo")
    s.wait_gone("setup-show-more")
    s.tap("setup-other-places")
    harness.wait_until(lambda: s.text_of("setup-total").startswith("1 "), "one box")


def test_a_place_and_a_group_are_called_otherwise_and_as_before(server, chromium):
    s = at_the_list(chromium, server.url)
    s.paste_into("setup-list-text", "place,label\nAttic,A 1\n")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    chromium.run("location.hash = location.hash.replace(/setup.*$/, 'setup/places')")
    s.tap("setup-rename-place-P1")
    s.type_into("setup-new-name-place-P1", "Under the roof")
    s.tap("setup-call-place-P1")
    s.wait_text("Under the roof")
    s.tap("setup-groups")
    s.tap("setup-rename-stratum-S1")
    s.type_into("setup-new-name-stratum-S1", "The upper floor")
    s.tap("setup-call-stratum-S1")
    s.wait_text("The upper floor")
    s.tap("undo")
    s.wait_gone("setup-call-stratum-S1")
    s.wait_text("Everything")
    assert "The upper floor" not in s.screen()
    # It is the same place: its box is still there.
    chromium.run("location.hash = location.hash.replace(/setup.*$/, 'setup/boxes')")
    harness.wait_until(lambda: "Under the roof" in s.text_of("setup-place-P1"), "the place by its name")
    assert s.text_of("setup-total").startswith("1 ")
