"""A tape checked with the keyboard alone, and the focus always to be seen."""

import harness
import pytest
from fieldwork import answers_that_count, at_the_list, entries_kept, shelf_of, wait_saved
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

FOCUS_SHOWN = """
const e = document.activeElement;
const style = getComputedStyle(e);
return [e.dataset.tap ?? e.tagName, style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2];
"""


@pytest.fixture
def at_a_box(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.wait_for("check-outcome-found_opened")
    return s


def press(s, *keys):
    s.browser.settle()
    for key in keys:
        ActionChains(s.driver).send_keys(key).perform()


def given(s):
    wait_saved(s)
    return {q: a for (_, q), a in answers_that_count(entries_kept(s.browser)).items()}


def test_digits_answer_backspace_goes_back_and_enter_is_done(at_a_box):
    s = at_a_box
    press(s, "1")
    s.wait_for("check-mould-none")
    press(s, Keys.BACKSPACE)
    s.wait_for("check-outcome-found_opened")
    press(s, "1")
    s.wait_for("check-mould-none")
    press(s, Keys.ENTER)
    s.wait_for("check-odour_box-none")
    press(s, Keys.ARROW_LEFT)
    s.wait_for("check-vermin-none")
    press(s, "1")
    s.wait_for("check-odour_box-none")
    press(s, "1")
    s.wait_for("check-count-cassette")
    assert given(s)["outcome"] == {"one": "found_opened"}
    assert given(s)["vermin"] == {"one": "none"} and given(s)["odour_box"] == {"one": "none"}
    # In a field the same keys write.
    s.tap("check-count-cassette")
    s.wait_for("check-count-cassette").send_keys(Keys.BACKSPACE * 3 + "2" + Keys.TAB)
    s.wait_text("2 carriers")


def test_the_arrows_still_walk_through_the_answers(at_a_box):
    s = at_a_box
    s.browser.run("document.querySelector('[data-tap=check-outcome-not_found]').focus()")
    press(s, Keys.ARROW_LEFT)
    assert s.browser.run(FOCUS_SHOWN)[0] == "check-outcome-found_opened"
    s.wait_for("check-outcome-found_opened")


# Scrolls a screen as soon as it is put in place, before it is painted: as a quick thumb does on a slow phone.
SCROLL_AT_ONCE = """
window.scrolledTo = null;
const quick = new MutationObserver(() => {
  if (!document.querySelector("[data-tap=check-mould-none]") || window.scrolledTo !== null) return;
  document.body.style.minHeight = "200vh";
  scrollTo({ top: 150, behavior: "instant" });
  window.scrolledTo = scrollY;
});
quick.observe(document.body, { subtree: true, childList: true });
"""


def test_the_page_stands_still_for_whoever_is_quick(at_a_box):
    s = at_a_box
    s.browser.run(SCROLL_AT_ONCE)
    s.tap("check-outcome-found_opened")
    focused = "return document.activeElement.tagName"
    harness.wait_until(lambda: s.browser.run(focused) == "H1", "the focus on the heading")
    assert s.browser.run("return [window.scrolledTo, scrollY]") == [150, 150]


def test_the_focus_is_seen_wherever_it_goes(at_a_box):
    s = at_a_box
    for scheme in harness.SCHEMES:
        s.browser.show_in(harness.PHONE, scheme)
        s.browser.run("document.querySelector('h1').focus()")
        seen = set()
        for _ in range(12):
            press(s, Keys.TAB)
            name, is_shown = s.browser.run(FOCUS_SHOWN)
            if name == "BODY":
                break
            assert is_shown, f"{scheme}: nothing shows that {name} has the focus"
            seen.add(name)
        assert {"check-outcome-found_opened", "check-back"} <= seen


def test_what_was_answered_last_can_be_taken_back_on_the_next_screen(at_a_box):
    s = at_a_box
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    place = s.browser.run("const b = document.querySelector('[data-tap=check-undo]').getBoundingClientRect();"
                          "return [b.top >= 0 && b.bottom <= innerHeight, b.height]")
    assert place[0] and place[1] >= 48, "the undo is not in sight"
    s.tap("check-undo")
    s.wait_for("check-outcome-found_opened")
    assert given(s) == {}
