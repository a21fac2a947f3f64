"""The evening's work: photographed labels are read one a screen, and again by somebody who does not see the first."""

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from test_journey_photos import camera_picture


def tap_all(s, taps):
    for tap in taps:
        s.tap(f"check-{tap}")


@pytest.fixture
def photographed(server, chromium, folder):
    """One box of one cassette, its label photographed and put off; at the round's screen."""
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    tap_all(s, ["outcome-found_opened", "mould-none", "vermin-none", "odour_box-none", "count-cassette-more", "done"])
    tap_all(s, ["hazard-none", "carrier-cassette", "size-c60"])
    s.wait_for("check-label-photographed")
    s.give_file("check-photo", camera_picture(chromium, folder / "label.jpg", (400, 300)))
    s.wait_for("check-photo-remove-1")
    s.tap("check-label-photographed")
    s.tap("check-done")
    s.wait_for("check-onward")
    s.tap("day-check")
    s.wait_for("check-next")
    return s


def item_answers(s):
    wait_saved(s)
    kept = fieldwork.answers_that_count(fieldwork.entries_kept(s.browser))
    return {question: value for (of, question), value in kept.items() if of.startswith("item ")}


def read_first(s):
    s.tap("check-more")
    assert s.text_of("check-to-read").endswith("1")
    s.tap("check-to-read")
    s.tap("read-begin")
    s.wait_for("read-label-date")
    shown = "return document.querySelector('.photo-large img')?.naturalWidth > 0"
    harness.wait_until(lambda: s.browser.run(shown), "the photograph, large")
    assert not s.wait_for("read-next").is_enabled(), "the label was put off and is not read yet"
    s.tap("read-label-date")
    s.tap("read-date_decade-d1970")
    s.type_into("read-written_title", "Brass band, spring concert")
    s.tap("read-next")
    s.wait_text("Nothing waits to be read.")


def test_a_photographed_label_is_read_and_says_from_which_photograph(photographed):
    s = photographed
    read_first(s)
    answers = item_answers(s)
    assert answers["label"] == {"many": ["date"]} and answers["date_decade"] == {"one": "d1970"}
    assert answers["written_title"] == {"text": "Brass band, spring concert"}
    kept = fieldwork.entries_kept(s.browser)
    ((sha256,),) = [{e["sha256"]} for e in kept if e["kind"] == "photo"]
    read = {e["q"] for e in kept if e.get("from") == f"photo {sha256}"}
    assert read == {"label", "date_decade", "written_title", "photos_read"}


def test_the_second_reader_sees_no_first_answer_and_must_be_another_person(photographed):
    s = photographed
    read_first(s)
    before = item_answers(s)
    s.tap("read-to-again")
    s.tap("again-percent-100")
    s.type_into("again-seed", "6 6 1")
    s.tap("again-fix")
    s.tap("again-begin")
    # Nobody gave a name yet: there is nothing to answer.
    s.wait_for("again-who")
    assert not s.is_there("read-label-date")
    s.type_into("again-who", "Ash")
    s.wait_for("read-label-date")
    checked = "return document.querySelectorAll('[aria-checked=true]').length"
    assert s.browser.run(checked) == 0, "no first answer shows"
    assert "Brass band" not in s.screen() and not s.is_there("read-date_decade-d1970")
    s.tap("read-label-date")
    s.tap("read-date_decade-d1960")
    s.tap("again-next")
    s.wait_text("Nothing waits to be read again.")
    after = item_answers(s)
    assert {q: a for q, a in after.items() if not q.startswith("second/")} == before
    assert after["second/date_decade"] == {"one": "d1960"}
    again = [e for e in fieldwork.entries_kept(s.browser) if e.get("q", "").startswith("second/")]
    assert {e["looked"] for e in again} == {"Ash"}


def test_the_first_reader_is_not_asked_again(photographed):
    s = photographed
    s.tap("device")
    s.type_into("device-person", "Rowan")
    s.tap("device-done")
    s.wait_for("check-next")
    read_first(s)
    s.tap("read-to-again")
    s.tap("again-percent-100")
    s.tap("again-fix")
    s.tap("again-begin")
    s.wait_text("You read this one first")
    assert not s.is_there("read-label-date")
    s.type_into("again-who", "rowan ")
    s.wait_text("You read this one first")
    s.type_into("again-who", "Ash")
    s.wait_for("read-label-date")
