"""What takes long is done in a worker with a module of its own; where it cannot start, that is said and the rest works."""

import json
import shutil

import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

PRACTICE = harness.TARGET / "practice" / "survey.zip"


def taken_in(browser, url):
    """The practice survey, opened from its file."""
    browser.open(url).wait_for_app()
    s = Surveyor(browser, 60)
    s.give_file("home-open", PRACTICE)
    s.wait_for("day-results")
    return s


def figures(s):
    """What the figures say, once they are there."""
    s.tap("day-results")
    s.wait_for("results-takes")
    return s.screen()


def modules(server):
    return [path for _, path, _ in server.requests if path.endswith(".wasm")]


def test_figures_come_from_the_second_module_also_without_a_server(server, chromium):
    s = taken_in(chromium, server.url)
    chromium.wait_for_worker()
    said = figures(s)
    assert any("labour" in path for path in modules(server)), modules(server)
    server.stop()
    chromium.driver.refresh()
    s.wait_for("results-takes")
    assert s.screen() == said


def test_webkit_draws_what_it_takes(server, webkit):
    s = taken_in(webkit, server.url)
    figures(s)
    s.tap("results-takes")
    s.wait_for("takes-assume")
    assert "Hours of sound: about" in s.screen()


def test_a_draw_is_stopped_and_made_again(server, chromium):
    s = taken_in(chromium, server.url)
    figures(s)
    # Every message of the worker comes late, so that there is time for a finger.
    chromium.run(
        "const real = Worker.prototype.addEventListener;"
        "Worker.prototype.addEventListener = function (kind, heard) {"
        "  return real.call(this, kind, kind === 'message' ? (event) => setTimeout(() => heard(event), 700) : heard); };"
    )
    chromium.run("location.hash = location.hash.replace(/handover.*|results.*$/, 'handover')")
    s.wait_for("handover-save")
    s.tap("handover-save")
    s.tap("heavy-stop")
    s.wait_text("Stopped. Nothing was changed.")
    s.tap("day-results")
    s.tap("results-takes")
    s.wait_for("heavy-stop")
    s.tap("heavy-stop")
    s.wait_text("Stopped. Nothing was changed.")
    s.tap("unable-again")
    s.wait_for("takes-assume")


@pytest.fixture
def halved(folder, serve):
    """A site of this test's own, its worker's script, and where to put that aside."""
    site = folder / "site"
    shutil.copytree(harness.DIST, site)
    [script] = site.glob("labour-*.js")
    return serve(dist=site), script, folder / script.name


def test_without_a_worker_it_is_said_and_nothing_is_lost(halved, chromium):
    server, script, aside = halved
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    # Reading the list has started the worker: from the next start on its script is gone, and no cache has it.
    script.rename(aside)
    chromium.run_async(
        "for (const found of await navigator.serviceWorker.getRegistrations()) await found.unregister();"
        "for (const name of await caches.keys()) await caches.delete(name);"
    )
    chromium.cdp("Network.setCacheDisabled", cacheDisabled=True)
    chromium.driver.refresh()
    s.tap("day-results")
    assert "did not start" in s.text_of("unable")
    s.tap("day-handover")
    s.tap("handover-save")
    s.wait_text("this browser did not start it")
    s.tap("handover-raw")
    s.tap("handover-raw-save")
    lines = chromium.downloaded("quarterlight-*.ndjson").read_text(encoding="utf-8").splitlines()
    assert sum(len(json.loads(line).get("boxes", [])) for line in lines) == 8
    # Once it is there, trying again is enough.
    s.tap("day-results")
    s.wait_for("unable-again")
    aside.rename(script)
    s.tap("unable-again")
    s.wait_text("No figures yet")
