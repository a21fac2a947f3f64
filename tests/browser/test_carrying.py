"""A file with photographs is put together on the device's disk: it is byte for byte the file, and nothing of it stays there."""

import shutil
import subprocess
import zipfile

import harness
import pyrage
import pytest
from surveyor import Surveyor
from test_journey_photos import in_database_and_files
from test_locking import lock

WORDS = "plum orchard, kept apart"

# What lies in the app's own place on the disk: how many bytes each file has, by its name.
LYING = """
const root = await navigator.storage.getDirectory();
const found = {};
try {
  for await (const [name, file] of (await root.getDirectoryHandle("quarterlight-carried")).entries())
    found[name] = (await file.getFile()).size;
} catch (fault) {
  if (fault.name !== "NotFoundError") throw fault;
}
return found;
"""

# Files that windows left behind: their names, and of some the lock that a living window holds.
LEAVE = """
const root = await navigator.storage.getDirectory();
const folder = await root.getDirectoryHandle("quarterlight-carried", { create: true });
const [names, held] = given;
for (const name of names) await folder.getFileHandle(name, { create: true });
for (const name of held) navigator.locks.request(`quarterlight-carried/${name}`, () => new Promise(() => {}));
"""

RENAME = """
const root = await navigator.storage.getDirectory();
const folder = await root.getDirectoryHandle("quarterlight-carried");
await (await folder.getFileHandle(given[0])).move(given[1]);
"""

# Changes a byte of a photograph's file.
SPOIL = """
const place = await (await navigator.storage.getDirectory()).getDirectoryHandle("quarterlight-photos");
for await (const survey of place.values())
  for await (const file of survey.values()) {
    const writing = await file.createWritable({ keepExistingData: true });
    await writing.write({ type: "write", position: 5_000, data: new Uint8Array([1, 2, 3, 4]) });
    await writing.close();
    return;
  }
"""

WITHOUT_A_PLACE = "StorageManager.prototype.getDirectory = undefined;"
AN_HOUR_MS = 3_600_000


@pytest.fixture(scope="module")
def photographed():
    """A survey file with five photographs of about a megabyte, and how many bytes they have."""
    folder = harness.fresh_folder()
    command = [harness.DESK, "practice", "--boxes", "10", "--surveyed", "2", "--photos", "5", "--out", folder]
    subprocess.run([str(word) for word in command], check=True, stdout=subprocess.DEVNULL)
    yield folder / "survey.zip"
    shutil.rmtree(folder, ignore_errors=True)


def photo_bytes(path):
    with zipfile.ZipFile(path) as file:
        return sum(inside.file_size for inside in file.infolist() if "/photos/" in inside.filename)


def lying(browser):
    return browser.run_async(LYING)


def taken_in(browser, url, path):
    browser.open(url).wait_for_app()
    s = Surveyor(browser, 60)
    s.give_file("home-open", path)
    s.wait_for("day-check")
    return s


def carried(s, tap="handover-save", pattern="*.zip"):
    """The bytes of the file that is carried away now."""
    for old in s.browser.downloads.glob("*"):
        old.unlink()
    s.tap("day-handover")
    if tap != "handover-save":
        s.tap("handover-seal")
        s.type_into("seal-passphrase", WORDS)
    s.tap(tap)
    saved = s.browser.downloaded(pattern, 60)
    s.wait_text("handed to the browser")
    return saved


def checked(path):
    """What the desk says of a file that it finds right."""
    said = subprocess.run([str(harness.DESK), "verify", str(path)], capture_output=True, text=True, check=False)
    assert said.returncode == 0, said.stdout
    return said.stdout


def without(site, *acts):
    """A copy of the site whose worker of the second place cannot do something: these words each stand there once."""
    script = site / "second.js"
    text = script.read_text(encoding="utf-8")
    for act, spoilt in acts:
        assert text.count(act) == 1, act
        text = text.replace(act, spoilt)
    script.write_text(text, encoding="utf-8")
    return site


# Photographs that are taken in stay in the database, as where a browser gives a file no other name.
NO_FILES = ("picture: async ({", 'picture: () => Promise.reject(new Error("no")), _: async ({')
NO_MOVES = ("settle: async ({", 'settle: () => Promise.reject(new Error("no")), __: async ({')


def test_a_file_put_together_on_the_disk_is_byte_for_byte_the_file(server, new_chromium, serve, photographed, folder):
    """Of photographs in files of their own, of photographs in the database, and in a browser without such a place."""
    chromium = new_chromium().emulate(harness.PHONE)
    s = taken_in(chromium, server.url, photographed)
    in_database, in_files = in_database_and_files(chromium)
    assert in_database == {} and sum(len(picture) for picture in in_files.values()) == photo_bytes(photographed)
    of_files = carried(s)
    assert lying(chromium) == {}, "nothing is put down twice"
    assert "photographs: 5, each the one that the log names" in checked(of_files)
    bytes_of_files = of_files.read_bytes()
    sealed = carried(s, "handover-save-sealed", "*.age").read_bytes()
    assert pyrage.passphrase.decrypt(sealed, WORDS) == bytes_of_files
    assert list(lying(chromium).values()) == [len(sealed)]
    assert chromium.refused() == []

    other = new_chromium().emulate(harness.PHONE)
    s = taken_in(other, serve(dist=without(harness.copy_of_site(folder), NO_FILES, NO_MOVES)).url, photographed)
    assert in_database_and_files(other) == [in_files, {}]
    assert carried(s).read_bytes() == bytes_of_files
    assert list(lying(other).values()) == [photo_bytes(photographed)]

    third = new_chromium().emulate(harness.PHONE)
    third.cdp("Page.addScriptToEvaluateOnNewDocument", source=WITHOUT_A_PLACE)
    s = taken_in(third, server.url, photographed)
    assert carried(s).read_bytes() == bytes_of_files


def test_what_a_window_left_on_the_disk_goes_at_the_next_start(server, chromium, photographed):
    s = taken_in(chromium, server.url, photographed)
    carried(s, "handover-save-sealed", "*.age")
    (made,) = lying(chromium)
    old = int(chromium.run("return Date.now()")) - AN_HOUR_MS
    left, held, begun = f"{old}-left", f"{old}-held", f"{old + AN_HOUR_MS}-begun"
    chromium.run_async(LEAVE, [left, held, begun], [held])
    first = chromium.driver.current_window_handle
    chromium.driver.switch_to.new_window("tab")
    chromium.open(server.url).wait_for_app()
    harness.wait_until(lambda: left not in lying(chromium), "the file that was left to go")
    assert set(lying(chromium)) == {made, held, begun}, "what a window holds, or what is young, stays"
    chromium.driver.close()
    chromium.driver.switch_to.window(first)
    # As if the window had died an hour ago.
    chromium.run_async(RENAME, made, f"{old}-made")
    chromium.driver.refresh()
    harness.wait_until(lambda: set(lying(chromium)) == {begun}, "all that is old to go")


@pytest.mark.parametrize(
    "act, spoilt",
    [
        # After the second piece it takes no more.
        ("writing.write(bytes, { at })", "at > 1_500_000 ? 0 : writing.write(bytes, { at })"),
        # It gives other bytes back than it was given.
        ("crypto.subtle.digest(", "(bytes[7] ^= at > 1_500_000 ? 1 : 0), crypto.subtle.digest("),
        # It takes all, and gives no file.
        ("(await folder()).getFileHandle(name)).getFile()", "(await folder()).getFileHandle(name + 0)).getFile()"),
        # There is none.
        ("navigator.storage.getDirectory()", "Promise.reject(new Error('no'))"),
    ],
    ids=["full", "other-bytes", "no-file", "none"],
)
def test_a_disk_that_fails_spoils_no_file(serve, chromium, photographed, folder, act, spoilt):
    site = without(harness.copy_of_site(folder), NO_FILES, NO_MOVES)
    script = site / "disk.js"
    text = script.read_text(encoding="utf-8")
    assert text.count(act) == 1
    script.write_text(text.replace(act, spoilt), encoding="utf-8")
    s = taken_in(chromium, serve(dist=site).url, photographed)
    assert "photographs: 5, each the one that the log names" in checked(carried(s))


@pytest.mark.parametrize(
    "act, spoilt",
    [
        ("writing.write(bytes, { at: 0 })", "0 * writing.write(bytes, { at: 0 })"),
        ("writing.read(back, { at: 0 })", "(writing.write(new Uint8Array(9), { at: 7 }), writing.read(back, { at: 0 }))"),
        ("part.move(name)", "part.moved(name)"),
    ],
    ids=["full", "other-bytes", "no-other-name"],
)
def test_a_photograph_that_the_disk_does_not_take_stays_in_the_database(
    serve, chromium, photographed, folder, act, spoilt
):
    s = taken_in(chromium, serve(dist=without(harness.copy_of_site(folder), (act, spoilt))).url, photographed)
    in_database, in_files = in_database_and_files(chromium)
    assert in_database and len(in_database) + len(in_files) == 5
    assert "photographs: 5, each the one that the log names" in checked(carried(s))


def test_a_photograph_s_file_that_was_spoilt_stays_behind_and_it_says_so(server, chromium, photographed):
    s = taken_in(chromium, server.url, photographed)
    chromium.run_async(SPOIL)
    saved = carried(s)
    s.wait_text("does not give, and so not in the file: 1")
    assert "photographs that hold: 4; not in the file, but named by the log: 1" in checked(saved)


def test_of_a_locked_survey_nothing_readable_is_put_on_the_disk(server, chromium, photographed):
    s = taken_in(chromium, server.url, photographed)
    lock(s, WORDS)
    assert "photographs: 5, each the one that the log names" in checked(carried(s))
    assert lying(chromium) == {}


def test_the_webkit_engine_makes_the_file_with_or_without_a_disk(server, webkit, photographed):
    s = taken_in(webkit, server.url, photographed)
    s.tap("day-handover")
    s.tap("handover-save")
    s.wait_text("handed to the browser")
    assert "Photographs that are not" not in s.screen()
