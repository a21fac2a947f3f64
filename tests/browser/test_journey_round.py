"""Around a round: when it may be over, when to stop, two at one box, the shelves, what must not wait."""

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, wait_saved


def drawn(s, n, places=1):
    """A drawn survey of `n` boxes, at the screen that says what was drawn."""
    rows = "".join(f"Shelf {1 + k % places},A {k}\n" for k in range(1, n + 1))
    s.paste_into("setup-list-text", "place,label\n" + rows)
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    s.browser.run("location.hash = location.hash.replace(/setup.*$/, 'setup/close')")
    s.tap("setup-close")
    s.tap("setup-to-sample")
    s.type_into("sample-seed", "4 4 2")
    s.tap("sample-draw")
    s.wait_for("sample-begin")


def not_opened(s):
    """The next box, locked."""
    s.tap("check-next")
    s.tap("check-outcome-not_opened")
    s.tap("check-outcome_reason-locked")
    s.wait_for("check-onward")
    s.tap("day-check")
    s.browser.settle()


@pytest.fixture
def list_open(server, chromium):
    return at_the_list(chromium, server.url)


def kept(s):
    wait_saved(s)
    return fieldwork.entries_kept(s.browser)


def test_the_rule_is_chosen_before_the_first_box_and_looked_at_after_whole_rounds(list_open):
    s = list_open
    drawn(s, 24)
    s.tap("sample-stop-5")
    s.wait_for("sample-stop-at-acid_odour")
    s.tap("sample-stop-at-mould")
    counting = fieldwork.answers_that_count(kept(s))
    rule = counting["survey", "stopping_rule"]["counts"]
    assert rule["half_width_per_mille"] == 50 and rule["maximum"] == 24
    assert counting["survey", "stopping_condition"] == {"one": "mould"}
    s.tap("sample-begin")
    s.wait_for("check-pace")
    left = int(s.text_of("check-pace").split(" ")[0])
    assert "a box lately" not in s.text_of("check-pace"), "nothing is forecast from nothing"
    for _ in range(left):
        not_opened(s)
    s.wait_for("check-results")
    harness.wait_until(lambda: "Before the first look" in s.screen(), "what the rule says")
    assert f"the first look comes after {rule['minimum']} boxes" in s.screen()
    # It is settled now: the screen of the sample only says it.
    s.tap("day-sample")
    s.wait_text("It was chosen before the first box and stays as it is.")
    assert not s.is_there("sample-stop-10")


def test_the_pace_is_told_from_the_third_box_on(list_open):
    s = list_open
    drawn(s, 30)
    s.tap("sample-begin")
    for _ in range(3):
        not_opened(s)
    said = s.text_of("check-pace")
    assert "a box lately" in said and "without a break that is" in said, said


def test_who_looked_is_kept_and_the_answers_are_numbered(list_open):
    s = list_open
    drawn(s, 12)
    s.tap("sample-begin")
    s.tap("check-more")
    s.tap("check-hands")
    s.type_into("hands-taps", "Rowan")
    s.type_into("hands-looks", "Ash")
    s.tap("check-to-round")
    s.tap("check-next")
    s.wait_for("check-outcome-found_opened")
    number = "return getComputedStyle(document.querySelector('.choice-label'), '::before').content"
    assert "counter" in s.browser.run(number), "answers can be called out by number"
    size = "return parseFloat(getComputedStyle(document.querySelector('.choice-label')).fontSize)"
    assert s.browser.run(size) >= 24
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    (answer,) = [e for e in kept(s) if e.get("q") == "outcome"]
    assert answer["looked"] == "Ash"
    s.driver.refresh()
    s.wait_for("check-mould-none")
    assert s.browser.run(size) >= 24, "it stays so after a reload"
    s.browser.run("location.hash = location.hash.replace(/check.*$/, 'check/hands')")
    s.tap("hands-one")
    s.tap("check-to-round")
    s.tap("check-next")
    for mark in ("mould-none", "vermin-none", "odour_box-none"):
        s.tap(f"check-{mark}")
    s.wait_for("check-count-cassette-more")
    (answer,) = [e for e in kept(s) if e.get("q") == "mould"]
    # After the reload a session of Rowan's began, so there is nobody else to name.
    (session,) = [e for e in kept(s) if e["kind"] == "session" and e["writer"] == answer["writer"]]
    assert session["person"] == "Rowan" and "looked" not in answer


def test_the_shelves_and_what_is_to_be_set_apart(list_open):
    s = list_open
    drawn(s, 40, places=3)
    s.tap("sample-begin")
    s.tap("check-next")
    s.tap("check-outcome-found_opened")
    s.tap("check-mould-seen")
    harness.wait_until(lambda: s.is_there("check-onward") or s.is_there("check-vermin-none"), "the box to go on")
    s.tap("day-check")
    s.tap("check-more")
    assert s.text_of("check-found").endswith(": 1")
    s.tap("check-map")
    on_map = lambda: [name for name in s.names_on_screen() if name.startswith("map-box-")]
    rows = harness.wait_until(on_map, "the boxes of the map")
    size = int(s.browser.run("return document.querySelectorAll('.cell.drawn').length"))
    assert len(rows) == size and "Shelf" in s.screen() and "number " in s.screen()
    s.tap("check-to-round")
    s.tap("check-more")
    s.tap("check-found")
    # The question's words stood on the screen before too, so the boxes are what is waited for.
    found = lambda: [name for name in s.names_on_screen() if name.startswith("found-box-")]
    assert len(harness.wait_until(found, "the boxes that were found")) == 1
    s.wait_text("Any mould?")
