"""Every screen, at two sizes, light and dark: nothing that keeps anybody from using it, nothing cut off or too small."""

import harness
from screens import SCREENS
from surveyor import Surveyor

# Whatever can be tapped and is smaller than a thumb; text links in a sentence are as tall as their line.
TOO_SMALL = """
const small = [];
for (const e of document.querySelectorAll("button, summary, [role=radio], [role=checkbox], a.button, a.line-link")) {
  const box = e.getBoundingClientRect();
  if (box.width && (box.width < 44 || box.height < 44)) {
    small.push(`${e.dataset.tap ?? e.textContent.trim().slice(0, 30)}: ${box.width} x ${box.height}`);
  }
}
return small;
"""

WIDER = "return document.documentElement.scrollWidth - document.documentElement.clientWidth"


def test_every_screen_can_be_used_by_everybody(server, chromium):
    chromium.open(server.url)
    surveyor = Surveyor(chromium)
    faults = []
    for name, arrive in SCREENS:
        arrive(surveyor)
        for size in (harness.PHONE, harness.TABLET):
            for dark in (False, True):
                chromium.emulate(size, dark)
                chromium.settle()
                # Colours that are still changing from light to dark are nobody's colours.
                chromium.run_async("await Promise.allSettled(document.getAnimations().map((a) => a.finished))")
                where = f"{name}, {size[0]} px wide, {'dark' if dark else 'light'}"
                found = chromium.axe()
                if found:
                    faults.append(f"{where}:\n{harness.say_violations(found)}")
            wider = chromium.run(WIDER)
            if wider > 0:
                faults.append(f"{name}, {size[0]} px wide: {wider} px are cut off at the right")
            small = chromium.run(TOO_SMALL)
            if small:
                faults.append(f"{name}, {size[0]} px wide: too small for a thumb: {'; '.join(small)}")
        chromium.emulate(harness.PHONE)
    assert faults == [], "\n\n".join(faults)
    assert chromium.refused() == []
    assert chromium.console() == []
