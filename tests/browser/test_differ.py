"""A survey split between two helpers and joined again; what they saw differently is told with both answers, and settled."""

import json
import pathlib
import tempfile
import zipfile

import fieldwork
import harness
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

TODO = "return [...document.querySelectorAll('.row-todo')].map((e) => e.dataset.tap)"


def log_of(file):
    """The log inside a survey file: the same bytes are the same survey, whatever day the file was made."""
    with zipfile.ZipFile(file) as archive:
        names = [name for name in archive.namelist() if name.endswith(("data/log.ndjson", "data/figures.json"))]
        return {name.rsplit("/", 1)[1]: archive.read(name) for name in names}


def hand_over(s):
    s.tap("day-handover")
    s.tap("handover-save")
    downloaded = s.browser.downloaded("quarterlight-*.zip")
    # Out of the way of the next one, which bears the same name.
    return downloaded.rename(pathlib.Path(tempfile.mkdtemp(prefix="quarterlight-test-")) / downloaded.name)


def take_in(s, file):
    s.tap("home")
    s.give_file("home-open", file)
    s.wait_for("check-next")


def check_box(s, name, mould, animals):
    """The first screens of a box, from the list of the round."""
    s.tap("day-check")
    s.wait_for("check-next")
    s.tap(name)
    s.tap("check-outcome-found_opened")
    s.tap(f"check-mould-{mould}")
    harness.wait_until(lambda: s.is_there("check-onward") or s.is_there("check-vermin-none"), "the box to go on")
    if s.is_there(f"check-vermin-{animals}"):
        s.tap(f"check-vermin-{animals}")
    wait_saved(s)


def boxes_to_do(s):
    s.tap("day-check")
    s.wait_for("check-next")
    return s.browser.run(TODO)


def two_helpers(server, new_chromium):
    one, other = (new_chromium().emulate(harness.PHONE) for _ in range(2))
    first = at_the_list(one, server.url)
    shelf_of(first, 8)
    wait_saved(first)
    file = hand_over(first)
    other.open(server.url).wait_for_app()
    second = Surveyor(other)
    second.give_file("home-open", file)
    second.wait_for("check-next")
    return first, second


def test_a_survey_split_between_two_helpers_and_joined_again_is_one_survey(server, new_chromium):
    first, second = two_helpers(server, new_chromium)
    boxes = boxes_to_do(first)
    assert boxes == boxes_to_do(second)
    check_box(first, boxes[0], "none", "none")
    check_box(second, boxes[1], "none", "old_signs")
    there, back = hand_over(first), hand_over(second)
    assert log_of(there) != log_of(back)
    take_in(second, there)
    take_in(first, back)
    assert not first.is_there("check-differ") and not second.is_there("check-differ"), "nothing disagrees"
    assert log_of(hand_over(first)) == log_of(hand_over(second))
    first.wait_text("All entries on this device fit together.")
    answered = fieldwork.answers_that_count(fieldwork.entries_kept(first.browser))
    for box, animals in [(boxes[0], "none"), (boxes[1], "old_signs")]:
        about = "box " + box.removeprefix("check-box-")
        assert answered[(about, "vermin")] == {"one": animals}


def test_answers_that_differ_are_told_with_both_and_one_tap_chooses_until_it_is_undone(server, new_chromium):
    first, second = two_helpers(server, new_chromium)
    box = boxes_to_do(first)[0]
    about = "box " + box.removeprefix("check-box-")
    check_box(first, box, "none", "none")
    check_box(second, box, "none", "old_signs")
    take_in(first, hand_over(second))
    first.tap("check-differ")
    first.wait_text("Answered differently")
    said = first.screen()
    assert "None seen" in said and "Old signs only" in said and "counts now" in said
    assert "Checked by two people" not in said, "nobody gave a name, so nobody knows whether they are two"
    before = log_of_kept(first)
    ways = [f"differ-choose-{about.replace(' ', '-')}-vermin-{index}" for index in (0, 1)]
    shown = first.browser.run("return [...document.querySelectorAll('.differ-value strong')].map((e) => e.textContent)")
    other = 1 if shown[0] != "Old signs only" else 0
    first.tap(ways[other])
    first.wait_text("Old signs only” counts now", "Settled")
    wait_saved(first)
    assert fieldwork.answers_that_count(fieldwork.entries_kept(first.browser))[(about, "vermin")] == {"one": "old_signs"}
    assert len(log_of_kept(first)) == len(before) + 1, "a choice is one new entry"
    first.tap("differ-undo")
    first.wait_for(ways[0])
    first.tap(ways[other])
    first.wait_text("Settled")
    wait_saved(first)
    # The choice travels like any answer, and the home screen of neither points at anything any more.
    take_in(second, hand_over(first))
    assert not second.is_there("check-differ")
    second.tap("home")
    listed = lambda: [name for name in second.names_on_screen() if name.startswith(("survey-", "differ-"))]
    rows = harness.wait_until(listed, "the list of surveys")
    assert not [name for name in rows if name.startswith("differ-")]


def test_the_home_screen_points_to_what_does_not_agree(server, new_chromium):
    first, second = two_helpers(server, new_chromium)
    box = boxes_to_do(first)[0]
    check_box(first, box, "none", "none")
    check_box(second, box, "none", "old_signs")
    take_in(second, hand_over(first))
    second.tap("home")
    points = harness.wait_until(
        lambda: [name for name in second.names_on_screen() if name.startswith("differ-")], "what does not agree"
    )
    assert len(points) == 1
    second.tap(points[0])
    second.wait_text("Answered differently")


def log_of_kept(s):
    return [json.dumps(entry, sort_keys=True) for entry in fieldwork.entries_kept(s.browser)]
