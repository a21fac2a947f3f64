"""Two windows of one device: one writes, the other follows at once and can take over."""

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor


class Windows:
    """Two windows of one browser at the same question; `at(0)` and `at(1)` choose."""

    def __init__(self, browser):
        self.browser = browser
        self.handles = [browser.driver.current_window_handle]

    def open_another(self):
        address = self.browser.driver.current_url
        self.browser.driver.switch_to.new_window("tab")
        self.handles.append(self.browser.driver.current_window_handle)
        # A window of its own does not inherit the other's emulation.
        if hasattr(self.browser, "emulate"):
            self.browser.emulate(harness.PHONE)
        self.browser.open(address).wait_for_app()

    def at(self, number):
        self.browser.driver.switch_to.window(self.handles[number])
        return Surveyor(self.browser)


@pytest.fixture
def two(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.wait_for("check-outcome-found_opened")
    wait_saved(s)
    windows = Windows(chromium)
    windows.open_another()
    return windows


def answers(browser):
    return [entry for entry in fieldwork.entries_kept(browser) if entry["kind"] == "answer" and entry["of"].startswith("box")]


def test_the_second_window_follows_and_writes_nothing(two):
    s = two.at(1)
    s.wait_for("write-here")
    s.wait_for("check-outcome-found_opened")
    s.tap("check-outcome-found_opened")
    s.wait_text("That was not done")
    assert answers(two.browser) == []
    # What the first window writes is seen at once, without a reload.
    s = two.at(0)
    assert not s.is_there("write-here")
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    s = two.at(1)
    s.wait_for("check-mould-none")
    assert s.is_there("write-here"), "it still follows"


def test_the_second_window_takes_over_and_the_first_follows(two):
    s = two.at(1)
    s.tap("write-here")
    s.wait_gone("write-here")
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    wait_saved(s)
    s = two.at(0)
    s.wait_for("write-here")
    s.wait_for("check-mould-none")
    s.tap("write-here")
    s.wait_gone("write-here")
    # Mould and animals are one screen, written when both are answered.
    s.tap("check-mould-none")
    s.tap("check-vermin-none")
    s.wait_for("check-odour_box-none")
    wait_saved(s)
    two.at(1).wait_for("check-odour_box-none")
    kept = answers(two.browser)
    assert [(entry["q"], entry["a"]["one"]) for entry in sorted(kept, key=lambda entry: entry["at"])] == [
        ("outcome", "found_opened"),
        ("mould", "none"),
        ("vermin", "none"),
    ]
    assert len({entry["writer"] for entry in kept}) == 2


def test_when_the_writing_window_closes_the_other_writes_without_being_asked(two):
    two.at(1).wait_for("write-here")
    two.at(0)
    two.browser.driver.close()
    s = two.at(1)
    s.wait_gone("write-here")
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    wait_saved(s)
    assert len(answers(two.browser)) == 1


# Notes whether the page ever said that another window writes.
WATCH = """
window.followed = 0;
const look = () => { followed += document.querySelectorAll("[data-tap=write-here]").length; };
new MutationObserver(look).observe(document, { subtree: true, childList: true });
"""

# Whether somebody writes and nobody waits to: the page that was left has it no more.
WRITES = """
const { held, pending } = await navigator.locks.query();
return [held, pending].map((locks) => locks.some(({ name }) => name.startsWith("quarterlight-writes-"))).join() === "true,false";
"""


def test_a_page_that_was_just_left_is_no_other_window(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    where = chromium.driver.current_url
    chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=WATCH)
    for _ in range(8):
        chromium.open("about:blank")
        chromium.open(where).wait_for_app()
        s.wait_for("check-outcome-found_opened")
        harness.wait_until(lambda: chromium.run_async(WRITES), "the right to write")
        assert chromium.run("return followed") == 0


def test_two_windows_at_two_surveys_both_write(server, chromium):
    s = at_the_list(chromium, server.url)
    wait_saved(s)
    windows = Windows(chromium)
    chromium.driver.switch_to.new_window("tab")
    windows.handles.append(chromium.driver.current_window_handle)
    s = at_the_list(chromium.emulate(harness.PHONE), server.url)
    s.paste_into("setup-list-text", "place,label\nAttic,A 1\n")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    s = windows.at(0)
    assert not s.is_there("write-here")
    s.paste_into("setup-list-text", "place,label\nCellar,C 1\n")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    wait_saved(s)
    lists = [entry for entry in fieldwork.entries_kept(chromium) if entry["kind"] == "boxes"]
    assert len({entry["survey"] for entry in lists}) == 2
