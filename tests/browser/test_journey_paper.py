"""A day without a phone: sheets to print, and the form that takes them in by numbers and Enter."""

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from selenium.webdriver.common.keys import Keys
from test_journey_photos import camera_picture


@pytest.fixture
def begun(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("day-check")
    s.wait_for("check-next")
    return s


def go_to(s, screen):
    s.browser.run("location.hash = location.hash.replace(/check.*$/, 'check/' + arguments[0])", screen)


def type_answer(s, title, text):
    """Types an answer once this question is on the screen."""
    harness.wait_until(lambda: title in s.browser.run("return document.querySelector('h1').innerText"), title)
    field = s.wait_for("typing-answer")
    focused = "return document.activeElement?.dataset.tap === 'typing-answer'"
    harness.wait_until(lambda: s.browser.run(focused), "the field to have the focus: no mouse is needed")
    field.send_keys(text + Keys.ENTER)


def test_every_box_of_the_round_has_a_sheet_and_is_typed_in_without_a_mouse(begun):
    s = begun
    s.tap("check-more")
    s.tap("check-paper")
    s.wait_for("paper-print")
    serials = s.browser.run("return [...document.querySelectorAll('.paper-sheet')].map((e) => e.dataset.serial)")
    assert serials and all(serial == fieldwork.serial(int(serial[:4])) for serial in serials)
    assert s.browser.run("return document.querySelectorAll('.paper-sheet .tick').length") > 50 * len(serials)
    serial = serials[0]
    go_to(s, "typing")
    s.type_into("typing-filler", "Ash")
    s.type_into("typing-day", "2026-11-24")
    wrong = serial[:-1] + str((int(serial[-1]) + 1) % 10)
    s.wait_for("typing-serial").send_keys(wrong + Keys.ENTER)
    s.wait_text("The check digit does not fit")
    s.type_into("typing-serial", "")
    s.wait_for("typing-serial").send_keys(serial + Keys.ENTER)
    type_answer(s, "", "1")
    type_answer(s, "Any mould?", "7")
    s.wait_text("That number is not on the sheet")
    s.type_into("typing-answer", "")
    type_answer(s, "Any mould?", "1")
    for _ in range(2):
        before = s.browser.run("return document.querySelector('h1').innerText")
        type_answer(s, before, "1")
        harness.wait_until(
            lambda: s.browser.run("return document.querySelector('h1').innerText") != before, "the next question"
        )
    type_answer(s, "", "-")
    s.wait_for("typing-next")
    wait_saved(s)
    kept = [e for e in fieldwork.entries_kept(s.browser) if e["kind"] == "answer" and e["of"] == f"box {serial}"]
    assert {e["q"]: e["a"] for e in kept} == {
        "outcome": {"one": "found_opened"},
        "mould": {"one": "none"},
        "vermin": {"one": "none"},
        "odour_box": {"one": "none"},
        "count": {"counts": {}},
    }
    assert {(e["from"], e["looked"]) for e in kept} == {("paper 2026-11-24", "Ash")}


def test_the_device_is_tried_at_home(begun, folder):
    s = begun
    s.tap("device")
    s.wait_for("trial-room")
    assert "clock says" in s.text_of("trial-clock") and "cannot be" not in s.text_of("trial-clock")
    assert "in the browser" in s.text_of("trial-home")
    assert "second copy" in s.text_of("trial-copy")
    assert "trial picture" in s.text_of("trial-said")
    s.give_file("trial-photo", camera_picture(s.browser, folder / "trial.jpg", (800, 600)))
    harness.wait_until(lambda: "The camera works" in s.text_of("trial-said"), "the camera's verdict")
    s.tap("device-done")
    wait_saved(s)
    assert [e for e in fieldwork.entries_kept(s.browser) if e["kind"] == "photo"] == [], "it is thrown away"
