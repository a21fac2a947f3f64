"""Every screen, in every view and colour scheme: nothing that keeps anybody from using it, nothing cut off or too small."""

import harness
import pytest
from screens import SCREENS
from surveyor import Surveyor

# Whatever can be tapped and is smaller than 48 CSS pixels; the WCAG's exception for links in a sentence is that of
# target size (2.5.8), "inline". A choice whose field is hidden is tapped by its label.
TOO_SMALL = """
const small = [];
const wanted = "button, summary, a[href], input, textarea, select, label.button, [role=radio], [role=checkbox]";
const inSentence = (e) => e.tagName === "A" && getComputedStyle(e).display === "inline" && e.closest("p, li")?.textContent.trim() !== e.textContent.trim();
for (const e of document.querySelectorAll(wanted)) {
  const box = e.getBoundingClientRect();
  const hidden = e.matches(".only-heard, .skip:not(:focus)");
  if (!hidden && !inSentence(e) && box.width && (box.width < 47.99 || box.height < 47.99)) {
    small.push(`${e.dataset.tap ?? e.textContent.trim().slice(0, 30)}: ${box.width} x ${box.height}`);
  }
}
return small;
"""

WIDER = "return document.documentElement.scrollWidth - document.documentElement.clientWidth"

# Words that their own box cuts off, or that stand outside the window.
CUT = """
const cut = [];
const width = document.documentElement.clientWidth;
for (const e of document.querySelectorAll("body *")) {
  // A field scrolls what is typed into it.
  if (e.closest(".only-heard, .skip, svg, textarea, input") || !e.getClientRects().length) continue;
  const style = getComputedStyle(e);
  const placed = e.getBoundingClientRect();
  const outside = placed.left < -1 || placed.right > width + 1;
  if (outside && e.matches("button, a, summary, label")) cut.push(`outside: ${e.dataset.tap}`);
  const hidesX = style.overflowX === "hidden" || style.overflowX === "clip";
  const hidesY = style.overflowY === "hidden" || style.overflowY === "clip";
  const says = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
  const clipped = style.clipPath !== "none";
  if (!clipped && ((hidesX && e.scrollWidth > e.clientWidth + 1) || (hidesY && e.scrollHeight > e.clientHeight + 1))) {
    cut.push(`${e.className || e.tagName}: ${e.textContent.trim().slice(0, 40)}`);
  }
  if (!clipped && says) {
    // Its own words; those of the elements in it are looked at with them, and the unseen ones not at all.
    const range = document.createRange();
    const own = [...e.childNodes].filter((n) => n.nodeType === 3 && n.textContent.trim()).map((n) => {
      range.selectNodeContents(n);
      return range.getBoundingClientRect();
    });
    if (own.some((box) => box.left < -1 || box.right > width + 1)) cut.push(`outside: ${e.className || e.tagName}: ${e.textContent.trim().slice(0, 40)}`);
  }
}
return cut;
"""


def look(browser, where):
    """What is wrong with a screen's measures."""
    faults = []
    wider = browser.run(WIDER)
    if wider > 0:
        faults.append(f"{where}: {wider} px are cut off at the side")
    small = browser.run(TOO_SMALL)
    if small:
        faults.append(f"{where}: too small for a thumb: {'; '.join(small)}")
    cut = browser.run(CUT)
    if cut:
        faults.append(f"{where}: words cut off: {'; '.join(cut)}")
    return faults


def axe(browser, where):
    # Colours that are still changing from light to dark are nobody's colours.
    browser.run_async("await Promise.allSettled(document.getAnimations().map((a) => a.finished))")
    found = browser.axe()
    return [f"{where}:\n{harness.say_violations(found)}"] if found else []


def test_every_screen_can_be_used_by_everybody(server, chromium):
    chromium.open(server.url)
    surveyor = Surveyor(chromium)
    faults = []
    for name, arrive in SCREENS:
        arrive(surveyor)
        for view, size, text in harness.VIEWS:
            chromium.show_in(size, text=text)
            faults += look(chromium, f"{name}, {view}")
        for scheme in harness.SCHEMES:
            chromium.show_in(harness.PHONE, scheme)
            faults += axe(chromium, f"{name}, phone, {scheme}")
        chromium.show_in(harness.TABLET)
        faults += axe(chromium, f"{name}, tablet")
        chromium.show_in(harness.PHONE)
    assert faults == [], "\n\n".join(faults)
    assert chromium.refused() == []
    assert chromium.console() == []


def test_every_screen_holds_in_german(server, chromium):
    """Words are longer there: each screen at letters of twice the size, and in one of the schemes by turns."""
    chromium.open(server.url)
    surveyor = Surveyor(chromium)
    surveyor.speak("de")
    faults = []
    for number, (name, arrive) in enumerate(SCREENS):
        arrive(surveyor)
        chromium.show_in(harness.PHONE, text=200)
        faults += look(chromium, f"{name}, large-text, de")
        scheme = harness.SCHEMES[number % len(harness.SCHEMES)]
        chromium.show_in(harness.PHONE, scheme)
        faults += look(chromium, f"{name}, phone, de")
        faults += axe(chromium, f"{name}, {scheme}, de")
        chromium.show_in(harness.PHONE)
    assert faults == [], "\n\n".join(faults)
    assert chromium.refused() == []
    assert chromium.console() == []


def test_the_language_changes_at_once_and_is_remembered(server, chromium):
    chromium.open(server.url)
    s = Surveyor(chromium)
    title = "return document.querySelector('h1').textContent"
    english = (s.wait_for("home-start").text, chromium.run(title))
    s.tap("device")
    chromium.run("window.notReloaded = true")
    s.tap("language-de")
    harness.wait_until(lambda: chromium.run("return document.documentElement.lang") == "de", "the page in German")
    assert chromium.run("return window.notReloaded"), "the page was loaded again"
    chosen = "return document.activeElement.dataset.tap"
    harness.wait_until(lambda: chromium.run(chosen) == "language-de", "the focus on what was chosen")
    s.tap("device-done")
    german = (s.wait_for("home-start").text, chromium.run(title))
    assert all(one != other for one, other in zip(english, german, strict=True))
    # The preference may take a moment to reach the disk.
    def next_start():
        chromium.open(server.url)
        chromium.wait_for_app()
        return chromium.run(title) == german[1]

    harness.wait_until(next_start, "the next start in German")


def test_a_page_that_runs_from_the_right_and_one_for_the_left_hand_hold_as_well(server, chromium):
    chromium.open(server.url)
    surveyor = Surveyor(chromium)
    faults = []
    for name, arrive in SCREENS:
        arrive(surveyor)
        if name not in ("hours", "shelf", "drawn", "count", "item-wind", "label", "item-sheet", "results"):
            continue
        for view, size, text in harness.VIEWS:
            chromium.show_in(size, text=text)
            for marks in ({"dir": "rtl"}, {"data-hand": "left"}):
                for key, value in marks.items():
                    chromium.run("document.documentElement.setAttribute(...arguments)", key, value)
                chromium.settle()
                faults += look(chromium, f"{name}, {view}, {marks}")
                chromium.run("document.documentElement.removeAttribute('dir');"
                             "document.documentElement.dataset.hand = 'right'")
        chromium.show_in(harness.PHONE)
    assert faults == [], "\n\n".join(faults)


def test_the_main_action_stands_under_the_thumb_that_taps(server, chromium):
    chromium.open(server.url)
    s = Surveyor(chromium)
    for name, arrive in SCREENS:
        arrive(s)
        if name == "item-hazard":
            break
    sides = "return ['back', 'done'].map((n) => document.querySelector(`[data-tap=check-${n}]`).getBoundingClientRect().left)"
    back, done = chromium.run(sides)
    assert back < done
    chromium.run("document.documentElement.dataset.hand = 'left'")
    back, done = chromium.run(sides)
    assert done < back
    chromium.show_in(harness.PHONE_ON_ITS_SIDE)
    dock = "return document.querySelector('.dock').getBoundingClientRect().left"
    assert chromium.run(dock) < 50
    chromium.run("document.documentElement.dataset.hand = 'right'")
    assert chromium.run(dock) > 500


def test_nothing_moves_for_those_who_asked_for_it(server, chromium):
    chromium.open(server.url).wait_for_app()
    moves = "return parseFloat(getComputedStyle(document.querySelector('.button')).transitionDuration)"
    assert chromium.run(moves) > 0
    chromium.cdp("Emulation.setEmulatedMedia", features=[{"name": "prefers-reduced-motion", "value": "reduce"}])
    assert chromium.run(moves) == 0


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        ("<button>x</button>", "too small"),
        ("<p class='spoilt-wide'>x</p>", "cut off"),
        ("<p class='spoilt-cut'>many words</p>", "words cut off"),
    ],
)
def test_the_measures_can_fail(server, chromium, spoil, word):
    chromium.open(server.url).wait_for_app()
    chromium.show_in(harness.PHONE)
    assert look(chromium, "home") == []
    chromium.run(
        "document.querySelector('main').insertAdjacentHTML('beforeend', arguments[0]);"
        "const e = document.querySelector('main').lastElementChild;"
        "if (e.className === 'spoilt-wide') e.style.minWidth = '600px';"
        "if (e.className === 'spoilt-cut') Object.assign(e.style, { width: '2rem', overflow: 'hidden', whiteSpace: 'nowrap' });",
        spoil,
    )
    assert any(word in fault for fault in look(chromium, "home"))


def test_the_look_chosen_on_the_device_s_screen_stays(server, chromium):
    chromium.open(server.url)
    s = Surveyor(chromium)
    s.tap("device")
    marks = "const root = document.documentElement.dataset; return [root.scheme ?? '', root.hand]"
    bar = "return document.querySelector('meta[name=theme-color]').content"
    light = chromium.run(bar)
    s.tap("scheme-cellar")
    s.tap("hand-left")
    assert chromium.run(marks) == ["cellar", "left"]
    assert chromium.run(bar) == "#000000", "the browser's own bar is bright"
    chromium.driver.refresh()
    s.wait_for("hand-left")
    assert chromium.run(marks) == ["cellar", "left"]
    assert chromium.run(bar) == "#000000"
    s.tap("scheme-device")
    assert chromium.run(marks) == ["", "left"]
    assert chromium.run(bar) == light
