"""What the app keeps in the browser's database: how firmly, through versions, and who the device is."""

import json
import subprocess
import zipfile

import fieldwork
import harness
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

# The database as version 1 of its shape was, with these lines of logs and these values in local storage.
MAKE_VERSION_1 = """
const [lines, remembered] = given;
const asked = indexedDB.open("quarterlight", 1);
const database = await new Promise((resolve, reject) => {
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("entries", { keyPath: ["survey", "writer", "n"] });
    asked.result.createObjectStore("twins", { autoIncrement: true });
  };
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
const writing = database.transaction(["entries", "twins"], "readwrite");
for (const line of lines) {
  const { survey, writer, n } = JSON.parse(line);
  writing.objectStore("entries").put({ survey, writer, n, bytes: new TextEncoder().encode(line) });
}
await new Promise((resolve, reject) => {
  writing.oncomplete = resolve;
  writing.onabort = () => reject(writing.error);
});
database.close();
for (const [name, value] of Object.entries(remembered)) localStorage.setItem(name, value);
"""

# Every record of the store `device`, and the version and stores of the database.
READ_DEVICE = """
const asked = indexedDB.open("quarterlight");
const database = await new Promise((resolve, reject) => {
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
try {
  const store = database.transaction("device").objectStore("device");
  const of = (request) => new Promise((resolve) => (request.onsuccess = () => resolve(request.result)));
  const [names, values] = await Promise.all([of(store.getAllKeys()), of(store.getAll())]);
  return {
    version: database.version,
    stores: [...database.objectStoreNames],
    remembered: Object.fromEntries(names.map((name, at) => [name, JSON.parse(values[at])])),
  };
} finally {
  database.close();
}
"""

# Notes every transaction that the page begins, before any script of the page runs.
NOTE_TRANSACTIONS = """
window.begun = [];
const begin = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode = "readonly", options) {
  const transaction = begin.call(this, stores, mode, options);
  window.begun.push({ stores: [stores].flat(), mode, durability: transaction.durability });
  return transaction;
};
"""


def device(browser):
    return browser.run_async(READ_DEVICE)


def practice_lines(folder, *how):
    how = how or ("--boxes", "40", "--surveyed", "1")
    command = [harness.DESK, "practice", *how, "--seed", "3", "--out", folder / "made"]
    subprocess.run([str(word) for word in command], check=True, stdout=subprocess.DEVNULL)
    with zipfile.ZipFile(folder / "made" / "survey.zip") as archive:
        name = next(name for name in archive.namelist() if name.endswith("data/log.ndjson"))
        return archive.read(name).decode("utf-8").splitlines()


def test_a_database_of_version_1_opens_with_every_byte_and_the_device_stays_itself(server, chromium, folder):
    lines = practice_lines(folder)
    survey = json.loads(lines[0])["survey"]
    known = "0123456789abcdef0123456789abcdef"
    # A page of the site without the app, so that nothing but this script makes the database.
    chromium.open(server.url + "trap.css")
    remembered = {
        "quarterlight.device": json.dumps(known),
        "quarterlight.person": json.dumps("Practice surveyor"),
        "quarterlight.device_name": json.dumps("Grey phone"),
        "quarterlight.scheme": json.dumps("cellar"),
        "quarterlight.titles": json.dumps({survey: "The mill"}),
        "quarterlight.last_place": json.dumps(f"/s/{survey}/results"),
    }
    chromium.run_async(MAKE_VERSION_1, lines, remembered)
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    assert "The mill" in s.text_of("home-go-on")
    assert chromium.run("return document.documentElement.dataset.scheme") == "cellar"
    found = device(chromium)
    assert found["version"] > 1 and {"entries", "twins", "device"} <= set(found["stores"])
    assert found["remembered"]["device"] == known
    assert found["remembered"]["person"] == "Practice surveyor"
    assert found["remembered"]["device_name"] == "Grey phone"
    # What the first paint must know at once stays where a script can read it without waiting.
    assert chromium.run("return Object.keys(localStorage)") == ["quarterlight.look"], "it is taken over once"
    kept = chromium.run_async(fieldwork.READ_ENTRIES)
    assert sorted(kept) == sorted(lines)
    # It works on: a new answer is written by the device that it always was.
    s.tap(f"survey-{survey}")
    s.wait_for("day-check")
    s.tap("home")
    s.tap("home-start")
    s.wait_for("setup-hours")
    wait_saved(s)
    sessions = [e for e in fieldwork.entries_kept(chromium) if e["kind"] == "session" and e["survey"] != survey]
    assert [session["device"] for session in sessions] == [known]


# The database as version 2 of its shape was, with these lines of logs and this device.
MAKE_VERSION_2 = """
const [lines, device] = given;
const asked = indexedDB.open("quarterlight", 2);
const database = await new Promise((resolve, reject) => {
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("entries", { keyPath: ["survey", "writer", "n"] });
    asked.result.createObjectStore("twins", { autoIncrement: true });
    asked.result.createObjectStore("device");
  };
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
const writing = database.transaction(["entries", "device"], "readwrite");
for (const line of lines) {
  const { survey, writer, n } = JSON.parse(line);
  writing.objectStore("entries").put({ survey, writer, n, bytes: new TextEncoder().encode(line) });
}
writing.objectStore("device").put(JSON.stringify(device), "device");
await new Promise((resolve, reject) => {
  writing.oncomplete = resolve;
  writing.onabort = () => reject(writing.error);
});
database.close();
"""


def test_a_database_of_version_2_opens_with_every_byte_and_takes_photographs(server, chromium, folder):
    lines = practice_lines(folder)
    known = "0123456789abcdef0123456789abcdef"
    chromium.open(server.url + "trap.css")
    chromium.run_async(MAKE_VERSION_2, lines, known)
    chromium.open(server.url).wait_for_app()
    found = device(chromium)
    assert found["version"] > 2 and "photos" in found["stores"]
    assert found["remembered"]["device"] == known
    assert sorted(chromium.run_async(fieldwork.READ_ENTRIES)) == sorted(lines)


# The database as version 3 of its shape was, with these lines of logs, this device and one picture.
MAKE_VERSION_3 = """
const [lines, device] = given;
const asked = indexedDB.open("quarterlight", 3);
const database = await new Promise((resolve, reject) => {
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("entries", { keyPath: ["survey", "writer", "n"] });
    asked.result.createObjectStore("twins", { autoIncrement: true });
    asked.result.createObjectStore("device");
    asked.result.createObjectStore("photos", { keyPath: ["survey", "sha256"] });
  };
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
const writing = database.transaction(["entries", "device", "photos"], "readwrite");
for (const line of lines) {
  const { survey, writer, n } = JSON.parse(line);
  writing.objectStore("entries").put({ survey, writer, n, bytes: new TextEncoder().encode(line) });
}
const { survey } = JSON.parse(lines[0]);
writing.objectStore("photos").put({ survey, sha256: "ab".repeat(32), bytes: new Uint8Array([1, 2, 3]) });
writing.objectStore("device").put(JSON.stringify(device), "device");
await new Promise((resolve, reject) => {
  writing.oncomplete = resolve;
  writing.onabort = () => reject(writing.error);
});
database.close();
"""

# Does something with one store of the app's database, within one transaction.
IN_STORE = """
const asked = indexedDB.open("quarterlight");
const database = await new Promise((resolve, reject) => {
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
try {
  const transaction = database.transaction(given[0], "readwrite");
  const store = transaction.objectStore(given[0]);
  const of = (request) => new Promise((resolve) => (request.onsuccess = () => resolve(request.result)));
  %s
} finally {
  database.close();
}
"""
SNAPSHOTS_THERE = IN_STORE % "return (await of(store.getAll())).map((one) => [one.survey, one.bytes.length])"
SPOIL_SNAPSHOT = IN_STORE % (
    "const one = (await of(store.getAll()))[0];"
    "one.bytes[given[1] % one.bytes.length] ^= 1;"
    "await of(store.put(one))"
)
TAKE_AWAY_ENTRIES = IN_STORE % (
    "for (const key of (await of(store.getAllKeys())).slice(given[1])) store.delete(key);"
    "await new Promise((resolve) => (transaction.oncomplete = resolve))"
)

# Counts the entries that the page reads from its database, before any script of the page runs.
COUNT_READ = """
window.entriesRead = 0;
const ask = IDBObjectStore.prototype.getAll;
IDBObjectStore.prototype.getAll = function (...range) {
  const request = ask.apply(this, range);
  if (this.name === "entries") request.addEventListener("success", () => (window.entriesRead += request.result.length));
  return request;
};
"""


SCREEN_WITHOUT_TIMES = """
const main = document.querySelector("main").cloneNode(true);
main.querySelector("[data-tap=check-pace]")?.remove();
return main.textContent;
"""


def snapshot_of(browser, survey):
    """The length of the survey's snapshot, once there is one."""
    there = lambda: dict(browser.run_async(SNAPSHOTS_THERE, "snapshots")).get(survey)
    return harness.wait_until(there, "the snapshot")


def test_a_database_of_version_3_opens_with_every_byte_and_takes_snapshots(server, chromium, folder):
    lines = practice_lines(folder)
    survey = json.loads(lines[0])["survey"]
    known = "0123456789abcdef0123456789abcdef"
    chromium.open(server.url + "trap.css")
    chromium.run_async(MAKE_VERSION_3, lines, known)
    chromium.open(server.url).wait_for_app()
    found = device(chromium)
    assert found["version"] > 3 and "snapshots" in found["stores"]
    assert found["remembered"]["device"] == known
    assert chromium.run_async(IN_STORE % "return (await of(store.getAll())).map((one) => [...one.bytes])", "photos") == [[1, 2, 3]]
    assert sorted(chromium.run_async(fieldwork.READ_ENTRIES)) == sorted(lines)
    Surveyor(chromium).tap(f"survey-{survey}")
    assert snapshot_of(chromium, survey)
    assert sorted(chromium.run_async(fieldwork.READ_ENTRIES)) == sorted(lines)


def test_a_long_survey_opens_from_its_snapshot_and_from_its_entries_alike(server, chromium, folder):
    lines = practice_lines(folder)
    survey = json.loads(lines[0])["survey"]
    chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=COUNT_READ)
    chromium.open(server.url + "trap.css")
    chromium.run_async(MAKE_VERSION_3, lines, "0123456789abcdef0123456789abcdef")
    s = Surveyor(chromium)

    def opened(sign):
        """What the screen of the checking says but for the time of day, and how many entries were read for it."""
        chromium.open(server.url + "trap.css")
        chromium.open(f"{server.url}#/s/{survey}/check").wait_for_app()
        s.wait_for(sign)
        return chromium.run(SCREEN_WITHOUT_TIMES), chromium.run("return window.entriesRead")

    first, n_read = opened("check-results")
    assert n_read == len(lines) > 250
    length = snapshot_of(chromium, survey)
    assert opened("check-results") == (first, 0)

    # What is answered since is read besides.
    s.tap("check-begin-2")
    s.wait_for("check-next")
    wait_saved(s)
    n_since = len(fieldwork.entries_kept(chromium)) - len(lines)
    begun, n_read = opened("check-next")
    assert n_read == n_since > 0 and begun != first

    # Damaged, whichever byte it is: all is read again, nothing is said, and the next one is whole.
    for at in (0, 9, length // 3, length - 1):
        chromium.run_async(SPOIL_SNAPSHOT, "snapshots", at)
        assert opened("check-next") == (begun, len(lines) + n_since)
        harness.wait_until(lambda: opened("check-next") == (begun, 0), "a snapshot that is whole")

    # It knows of entries that are not there: what is kept is what counts.
    chromium.run_async(TAKE_AWAY_ENTRIES, "entries", len(lines) - 40)
    chromium.open(server.url + "trap.css")
    chromium.open(f"{server.url}#/s/{survey}/check").wait_for_app()
    assert chromium.run("return window.entriesRead") >= len(lines) - 40


def test_a_deleted_survey_takes_its_snapshot_along(server, chromium, folder):
    lines = practice_lines(folder)
    survey = json.loads(lines[0])["survey"]
    chromium.open(server.url + "trap.css")
    chromium.run_async(MAKE_VERSION_3, lines, "0123456789abcdef0123456789abcdef")
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    s.tap(f"survey-{survey}")
    snapshot_of(chromium, survey)
    s.tap("day-handover")
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for(f"bring-back-{survey}")
    chromium.driver.refresh()
    harness.wait_until(lambda: not chromium.run_async(SNAPSHOTS_THERE, "snapshots"), "the snapshot to be gone")
    assert fieldwork.entries_kept(chromium) == []


def test_a_device_killed_within_a_second_of_its_first_start_stays_the_same_device(server, chromium):
    chromium.open(server.url).wait_for_app()
    first = device(chromium)["remembered"]["device"]
    chromium.kill()
    chromium.start().emulate(harness.PHONE).open(server.url).wait_for_app()
    assert device(chromium)["remembered"]["device"] == first


def test_two_windows_at_the_first_start_are_one_device(server, chromium):
    chromium.open(server.url + "trap.css")
    chromium.run("for (let n = 0; n < 3; n += 1) window.open(arguments[0])", server.url)
    handles = harness.wait_until(
        lambda: len(chromium.driver.window_handles) == 4 and chromium.driver.window_handles, "the windows"
    )
    for handle in handles[1:]:
        chromium.driver.switch_to.window(handle)
        chromium.wait_for_app()
        s = Surveyor(chromium)
        s.tap("home-start")
        s.wait_for("setup-hours")
        wait_saved(s)
    sessions = [entry for entry in fieldwork.entries_kept(chromium) if entry["kind"] == "session"]
    assert len(sessions) == 3
    assert {session["device"] for session in sessions} == {device(chromium)["remembered"]["device"]}
    assert len({session["writer"] for session in sessions}) == 3, "but three sessions"


def test_each_answered_screen_is_one_strict_transaction(server, chromium):
    chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=NOTE_TRANSACTIONS)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    wait_saved(s)
    before = len(fieldwork.entries_kept(chromium))
    chromium.run("window.begun.length = 0")
    # Mould and animals are one screen, and what it says is written when both are answered; then a question by itself.
    for n, (names, n_entries) in enumerate([(["mould-none", "vermin-none"], 2), (["odour_box-none"], 3)], 1):
        for name in names:
            s.tap(f"check-{name}")
        s.wait_gone(f"check-{names[-1]}")
        wait_saved(s)
        written = [t for t in chromium.run("return window.begun") if "entries" in t["stores"] and t["mode"] != "readonly"]
        assert [t["durability"] for t in written] == ["strict"] * n
        assert len(fieldwork.entries_kept(chromium)) == before + n_entries


# Has each entry that is added found there already, as a phone from a backup might find it.
FOUND_THERE = """
window.refusals = 0;
const add = IDBObjectStore.prototype.add;
IDBObjectStore.prototype.add = function (...given) {
  if (this.name === "entries") {
    window.refusals += 1;
    add.apply(this, given);
  }
  return add.apply(this, given);
};
"""


def test_an_entry_that_cannot_be_added_is_looked_into_and_kept(server, chromium):
    chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=FOUND_THERE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    before = len(fieldwork.entries_kept(chromium))
    for name in ("outcome-found_opened", "mould-none", "vermin-none", "odour_box-none"):
        s.tap(f"check-{name}")
    s.wait_gone("check-odour_box-none")
    wait_saved(s)
    assert chromium.run("return window.refusals") > 0
    assert len(fieldwork.entries_kept(chromium)) == before + 4
    assert chromium.console() == []


def test_a_database_of_a_newer_version_is_left_alone_and_it_is_said(server, chromium):
    version = 99
    chromium.open(server.url + "trap.css")
    chromium.run_async(
        "const asked = indexedDB.open('quarterlight', given[0]);"
        "asked.onupgradeneeded = () => asked.result.createObjectStore('later');"
        "await new Promise((resolve) => (asked.onsuccess = () => { asked.result.close(); resolve(); }))",
        version,
    )
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    s.wait_text('newer version')
    assert "Nothing is lost" in s.screen()
    found = chromium.run_async("return await indexedDB.databases()")
    assert [(one["name"], one["version"]) for one in found] == [("quarterlight", version)]


def test_a_window_that_holds_the_older_database_is_named_and_closing_it_mends_it(server, chromium):
    chromium.open(server.url + "trap.css")
    chromium.run_async(MAKE_VERSION_1, [], {})
    # This window keeps its connection and does not give way.
    chromium.run_async(
        "const asked = indexedDB.open('quarterlight', 1);"
        "await new Promise((resolve) => (asked.onsuccess = () => { window.holding = asked.result; resolve(); }))"
    )
    holder = chromium.driver.current_window_handle
    chromium.driver.switch_to.new_window("tab")
    chromium.open(server.url)
    s = Surveyor(chromium)
    s.wait_text("Close the other windows")
    app = chromium.driver.current_window_handle
    chromium.driver.switch_to.window(holder)
    chromium.driver.close()
    chromium.driver.switch_to.window(app)
    s.tap("start-again")
    s.wait_for("home-start")
    assert device(chromium)["remembered"]["device"]
