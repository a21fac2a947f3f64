"""Photographs move out of the database into files of their own, and outlive it."""

import hashlib

import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from test_carrying import checked
from test_journey_photos import camera_picture, in_database_and_files
from test_locking import lock, open_it
from test_second_copy import damage, database_of, started_again, take_away, told

WORDS = "plum orchard, kept apart"
SHOWN = "return [...document.querySelectorAll('.photo img')].map((image) => image.naturalWidth)"

# Puts a file under a photograph's name that is another one.
PUT_OTHER = """
const [survey, name] = given;
const root = await navigator.storage.getDirectory();
const place = await root.getDirectoryHandle("quarterlight-photos", { create: true });
const file = await (await place.getDirectoryHandle(survey, { create: true })).getFileHandle(name, { create: true });
const writing = await file.createWritable();
await writing.write(new Uint8Array([1, 2, 3]));
await writing.close();
"""

# What there is in the place of photographs: the folders of surveys.
FOLDERS = """
const names = [];
try {
  const place = await (await navigator.storage.getDirectory()).getDirectoryHandle("quarterlight-photos");
  for await (const name of place.keys()) names.push(name);
} catch (fault) {
  if (fault.name !== "NotFoundError") throw fault;
}
return names;
"""


# The names of all files of a survey, those that are being written among them.
NAMES = """
const place = await (await navigator.storage.getDirectory()).getDirectoryHandle("quarterlight-photos");
const names = [];
for await (const name of (await place.getDirectoryHandle(given[0])).keys()) names.push(name);
return names;
"""


@pytest.fixture
def hasty(serve, folder):
    """The app as it is when the minute is over that a photograph's file has to be there before the record goes."""
    site = harness.copy_of_site(folder)
    script = site / "second.js"
    text = script.read_text(encoding="utf-8")
    assert text.count("SETTLED_MS = 60_000") == 1
    script.write_text(text.replace("SETTLED_MS = 60_000", "SETTLED_MS = 0"), encoding="utf-8")
    return serve(dist=site)


def a_photograph(browser, url, folder):
    """At a box with a photograph of it."""
    s = at_the_list(browser, url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    s.give_file("check-photo", camera_picture(browser, folder / "camera.jpg", (640, 480)))
    s.wait_for("check-photo-remove-1")
    wait_saved(s)
    return s


def survey_of(browser):
    return browser.run("return location.hash.match(/[0-9a-f]{32}/)[0]")


def wait_shown(s):
    harness.wait_until(lambda: s.browser.run(SHOWN) == [480], "the photograph on the screen")


def wait_moved(browser):
    """Waits until the database has no photograph any more; what the files have."""
    harness.wait_until(lambda: in_database_and_files(browser)[0] == {}, "the photographs to have moved")
    return in_database_and_files(browser)[1]


def wait_files(browser):
    harness.wait_until(lambda: in_database_and_files(browser)[1], "the photograph to have a file")
    return in_database_and_files(browser)


def again(s):
    """The app opened again once the photograph has a file."""
    wait_files(s.browser)
    s.driver.refresh()
    s.wait_for("check-photo-remove-1")


@pytest.mark.parametrize("lose", [take_away, damage])
def test_a_photograph_outlives_the_database(hasty, new_chromium, folder, lose):
    chromium = new_chromium().emulate(harness.PHONE)
    s = a_photograph(chromium, hasty.url, folder)
    where = s.driver.current_url
    again(s)
    ((name, picture),) = wait_moved(chromium).items()
    assert hashlib.sha256(picture).hexdigest() == name
    wait_shown(s)
    chromium.kill()
    lose(database_of(chromium))
    s = started_again(chromium, where)
    told(s)
    s.wait_for("check-photo-remove-1")
    wait_shown(s)
    s.tap("lost-read")
    s.tap("day-handover")
    s.tap("handover-save")
    assert "photographs: 1, each the one that the log names" in checked(chromium.downloaded("*.zip"))
    assert chromium.refused() == []


def test_the_database_keeps_what_is_not_on_the_disk_for_good(server, new_chromium, folder):
    chromium = new_chromium().emulate(harness.PHONE)
    s = a_photograph(chromium, server.url, folder)
    in_database, in_files = wait_files(chromium)
    assert in_database == in_files and len(in_files) == 1
    # Either alone will do.
    where = s.driver.current_url
    chromium.kill()
    take_away(database_of(chromium))
    s = started_again(chromium, where)
    told(s)
    wait_shown(s)


def test_what_the_database_has_is_the_newer(hasty, chromium, folder):
    a_photograph(chromium, hasty.url, folder)
    survey = survey_of(chromium)
    ((name, picture),) = wait_files(chromium)[1].items()
    chromium.open(hasty.url + "trap.css")
    chromium.run_async(PUT_OTHER, survey, name)
    chromium.open(hasty.url + f"#/s/{survey}/check").wait_for_app()
    harness.wait_until(lambda: in_database_and_files(chromium)[1] == {name: picture}, "the file to be made anew")


def test_a_photograph_that_was_removed_goes_with_its_file(hasty, chromium, folder):
    s = a_photograph(chromium, hasty.url, folder)
    again(s)
    assert len(wait_moved(chromium)) == 1
    s.tap("check-photo-remove-1")
    s.wait_gone("check-photo-remove-1")
    wait_saved(s)
    assert len(wait_moved(chromium)) == 1, "it may be brought back in this sitting"
    s.driver.refresh()
    s.wait_for("check-mould-none")
    harness.wait_until(lambda: in_database_and_files(chromium) == [{}, {}], "its file to go")


def test_behind_a_lock_nothing_of_it_is_to_be_read(hasty, chromium, folder):
    s = a_photograph(chromium, hasty.url, folder)
    where = s.driver.current_url
    again(s)
    ((name, picture),) = wait_moved(chromium).items()
    # As a phone leaves it that died while it wrote.
    chromium.run_async(PUT_OTHER, survey_of(chromium), half := "0" * 64 + ".part")
    assert half in chromium.run_async(NAMES, survey_of(chromium))
    lock(s, WORDS)

    def is_sealed():
        found = [some[name] for some in in_database_and_files(chromium) if name in some]
        return found and all(picture[-200:] not in bytes_of for bytes_of in found)

    harness.wait_until(is_sealed, "the photograph to be sealed wherever it lies")
    assert half not in chromium.run_async(NAMES, survey_of(chromium))
    # It moves sealed, and is shown to whoever has the passphrase.
    for _ in range(2):
        chromium.open("about:blank")
        chromium.open(where).wait_for_app()
        open_it(s, WORDS)
        wait_shown(s)
        wait_files(chromium)
    assert list(wait_moved(chromium)) == [name] and is_sealed()
    s.tap("day-handover")
    s.tap("lock-take-off")
    s.wait_for("lock")
    in_database, in_files = in_database_and_files(chromium)
    assert in_database == {name: picture} and in_files in ({}, in_database)


def test_a_deleted_survey_leaves_no_photograph(server, chromium, folder):
    s = a_photograph(chromium, server.url, folder)
    survey = survey_of(chromium)
    wait_files(chromium)
    assert chromium.run_async(FOLDERS) == [survey]
    s.tap("day-handover")
    for name in ("delete", "delete-yes", "delete-really"):
        s.tap(name)
    s.wait_for(f"bring-back-{survey}")
    assert chromium.run_async(FOLDERS) == [survey], "it can be brought back"
    chromium.open("about:blank")
    chromium.open(server.url).wait_for_app()
    harness.wait_until(lambda: chromium.run_async(FOLDERS) == [], "its folder to go with it")
