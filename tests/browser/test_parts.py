"""The app comes in parts: a part that is gone is told, loses nothing, and is fetched when it can be; the others go on."""

import harness
from surveyor import Surveyor

PRACTICE = harness.TARGET / "practice" / "survey.zip"

# Takes the module of a part out of everything that keeps it.
FORGET = """
let gone = 0;
for (const name of await caches.keys()) {
  const cache = await caches.open(name);
  for (const request of await cache.keys())
    if (new URL(request.url).pathname.split("/").pop().startsWith(given[0] + "-")) gone += await cache.delete(request);
}
return gone;
"""


def test_a_part_that_is_gone_is_told_and_fetched_again(server, chromium):
    chromium.open(server.url).wait_for_app()
    chromium.wait_for_worker()
    s = Surveyor(chromium, 60)
    s.give_file("home-open", PRACTICE)
    s.wait_for("day-check")
    s.tap("day-check")
    assert chromium.run_async(FORGET, "after") == 1
    chromium.cdp("Network.clearBrowserCache")
    server.stop()
    chromium.driver.refresh()
    s.wait_for("day-results")
    s.tap("day-results")
    s.wait_for("part-again")
    assert "Nothing is lost" in s.screen()
    s.tap("part-again")
    s.wait_for("part-again")
    # What is kept goes on without a connection, and so does the check.
    s.tap("day-handover")
    s.wait_for("handover-save")
    s.tap("day-setup")
    s.wait_for("day-check")
    assert not s.is_there("part-again")
    s.tap("day-check")
    assert not s.is_there("part-again")
    s.tap("day-results")
    s.wait_for("part-again")
    server.start()
    s.tap("part-again")
    s.wait_for("results-takes")
