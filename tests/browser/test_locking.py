"""A survey locked on this device: nothing of it is to be read in the browser's database, and every answer comes back."""

import zipfile

import fieldwork
import harness
from fieldwork import at_the_list, shelf_of, wait_saved
from test_journey_photos import camera_picture
from test_windows import Windows

WORDS = "plum orchard, kept apart"

# Every record of every store, its bytes as they would look to somebody who reads them.
READ_ALL = """
const database = await new Promise((resolve, reject) => {
  const asked = indexedDB.open("quarterlight");
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
const latin = new TextDecoder("latin1");
const text = (value) => typeof value === "string" ? value : JSON.stringify(value, (_, part) => part instanceof Uint8Array ? latin.decode(part) : part);
try {
  const found = {};
  for (const name of database.objectStoreNames) {
    const all = database.transaction(name).objectStore(name).getAll();
    const records = await new Promise((resolve, reject) => {
      all.onsuccess = () => resolve(all.result);
      all.onerror = () => reject(all.error);
    });
    found[name] = records.map(text);
  }
  return found;
} finally {
  database.close();
}
"""


def kept(browser):
    return browser.run_async(READ_ALL)


def all_of_it(browser):
    return "\n".join(record for records in kept(browser).values() for record in records)


def a_box_with_a_photograph(s, url, folder):
    """The address of the question that comes next."""
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    s.give_file("check-photo", camera_picture(s.browser, folder / "camera.jpg", (640, 480)))
    harness.wait_until(lambda: len(kept(s.browser)["photos"]) == 1, "the photograph to be kept")
    wait_saved(s)
    return s.driver.current_url


def lock(s, words=WORDS):
    s.tap("day-handover")
    s.tap("lock")
    s.type_into("lock-new-passphrase", words)
    s.tap("lock-now")
    s.wait_for("lock-shut")


def open_it(s, words):
    s.type_into("lock-passphrase", words)
    s.tap("lock-open")


def test_nothing_is_to_be_read_and_every_answer_comes_back(server, chromium, folder):
    s = at_the_list(chromium, server.url)
    place = a_box_with_a_photograph(s, server.url, folder)
    before = fieldwork.entries_kept(chromium)
    photo = kept(chromium)["photos"]
    assert "Attic" in all_of_it(chromium)
    lock(s)
    # The photographs follow the entries.
    harness.wait_until(lambda: kept(chromium)["photos"] != photo, "the photograph to be sealed")
    found = all_of_it(chromium)
    for word in ("Attic", "found_opened", photo[0][-200:], WORDS):
        assert word not in found, word
    assert len(kept(chromium)["entries"]) == len(before)

    # What is answered while it is open is sealed as well.
    chromium.open(place)
    s.tap("check-mould-none")
    s.tap("check-vermin-none")
    s.wait_for("check-odour_box-none")
    wait_saved(s)
    assert len(kept(chromium)["entries"]) == len(before) + 2
    assert "vermin" not in all_of_it(chromium)

    # After a start it asks, and nothing but the passphrase opens it; its title is not on the first screen either.
    chromium.driver.refresh()
    s.wait_for("lock-passphrase")
    open_it(s, "plum orchard")
    s.wait_text("The passphrase does not fit")
    assert not s.is_there("check-odour_box-none")
    s.tap("to-home")
    s.wait_text("A locked survey")
    chromium.driver.back()
    open_it(s, WORDS)
    s.wait_for("check-odour_box-none")

    # The lock is taken off: the same bytes lie there as before, and the two answers since.
    s.tap("day-handover")
    s.tap("lock-take-off")
    s.wait_for("lock")
    after = fieldwork.entries_kept(chromium)
    assert after[: len(before)] == before and len(after) == len(before) + 2
    assert kept(chromium)["photos"] == photo
    chromium.driver.refresh()
    s.wait_for("handover-save")


def test_shutting_it_leaves_nothing_on_the_screen_and_the_file_still_holds_all(server, chromium, folder):
    s = at_the_list(chromium, server.url)
    a_box_with_a_photograph(s, server.url, folder)
    n = len(fieldwork.entries_kept(chromium))
    lock(s)
    s.tap("handover-save")
    file = chromium.downloaded("quarterlight-*.zip")
    with zipfile.ZipFile(file) as bag:
        (log,) = [name for name in bag.namelist() if name.endswith("data/log.ndjson")]
        assert len(bag.read(log).splitlines()) == n
        assert [name for name in bag.namelist() if name.endswith(".jpg")]
    s.tap("lock-shut")
    s.wait_text("A locked survey")
    assert "Attic" not in s.screen()
    # A colleague's file, or one's own, cannot be taken in behind the lock.
    s.give_file("home-open", file)
    s.wait_text("locked")
    assert len(kept(chromium)["entries"]) == n


def test_another_window_is_shut_too(server, chromium, folder):
    s = at_the_list(chromium, server.url)
    a_box_with_a_photograph(s, server.url, folder)
    windows = Windows(chromium)
    windows.open_another()
    windows.at(1).wait_for("check-mould-none")
    lock(windows.at(0))
    other = windows.at(1)
    other.wait_for("lock-passphrase")
    assert "Attic" not in other.screen()
    open_it(other, WORDS)
    other.wait_for("check-mould-none")
