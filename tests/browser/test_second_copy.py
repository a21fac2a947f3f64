"""A browser that loses its database, whole or in part: every answer that was called saved comes back from the second copy."""

import json
import shutil
import struct
import zlib

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor
from test_locking import lock, open_it
from test_storage import IN_STORE, MAKE_VERSION_3, TAKE_AWAY_ENTRIES, practice_lines

# Notes, before any script of the page runs, what the page asks the copy's worker for and what is answered.
HEAR = """
window.asked = [];
window.Worker = class extends Worker {
  constructor(script) {
    super(script);
    if (!String(script).endsWith("second.js")) return;
    this.addEventListener("message", ({ data }) => {
      Object.assign(asked.find(({ id }) => id === data.id), { answer: data });
    });
  }
  postMessage(message, ...rest) {
    if (message.act && message.id) asked.push({ id: message.id, act: message.act, answer: null });
    super.postMessage(message, ...rest);
  }
};
"""

# Every file of the second copy, byte for byte: by survey, each file's name and its bytes. A file that is written while it is
# read cannot be read: then all is read again.
COPIES = """
const root = await navigator.storage.getDirectory();
for (;;) {
  const found = {};
  try {
    for await (const [survey, folder] of (await root.getDirectoryHandle("quarterlight-second")).entries()) {
      found[survey] = {};
      for await (const [name, file] of folder.entries())
        found[survey][name] = [...new Uint8Array(await (await file.getFile()).arrayBuffer())];
    }
    return found;
  } catch (fault) {
    if (fault.name === "NotFoundError" && !Object.keys(found).length) return {};
    if (!["NotFoundError", "NotReadableError"].includes(fault.name)) throw fault;
    await new Promise((next) => setTimeout(next, 20));
  }
}
"""

# Puts a file in the second copy's folder of a survey.
PUT = """
const [survey, name, bytes] = given;
const root = await navigator.storage.getDirectory();
const place = await root.getDirectoryHandle("quarterlight-second", { create: true });
const file = await (await place.getDirectoryHandle(survey, { create: true })).getFileHandle(name, { create: true });
const writing = await file.createWritable();
await writing.write(new Uint8Array(bytes));
await writing.close();
"""

# The worker of a page that was just left may hold a file for a moment yet.
REMOVE_ALL = """
const root = await navigator.storage.getDirectory();
for (let trial = 0; trial < 100; trial += 1) {
  try {
    return await root.removeEntry("quarterlight-second", { recursive: true });
  } catch (fault) {
    if (fault.name !== "NoModificationAllowedError") throw fault;
    await new Promise((next) => setTimeout(next, 50));
  }
}
throw new Error("somebody holds it");
"""

TWINS = IN_STORE % "return (await of(store.getAll())).map(({ bytes }) => new TextDecoder().decode(bytes))"


def frames(data):
    """The frames of a file, as the worker's first comment tells them: each one's records, and what is left behind the last."""
    found, at = [], 0
    while len(data) - at >= 12:
        mark, length, crc = struct.unpack_from(">III", data, at)
        payload = data[at + 12 : at + 12 + length]
        if mark != 0x514C3201 or len(payload) < length or zlib.crc32(payload) != crc:
            break
        records, inside = [], 0
        while inside < length:
            (name,) = struct.unpack_from(">H", payload, inside)
            writer = payload[inside + 2 : inside + 2 + name].decode()
            n, size = struct.unpack_from(">dI", payload, inside + 2 + name)
            inside += 2 + name + 12
            records.append((writer, int(n), payload[inside : inside + size]))
            inside += size
        found.append(records)
        at += 12 + length
    return found, data[at:]


def frame_of(entries):
    """A frame with these lines of a log."""
    payload = b""
    for line in entries:
        entry = json.loads(line)
        writer, text = entry["writer"].encode(), line.encode()
        payload += struct.pack(">H", len(writer)) + writer + struct.pack(">dI", entry["n"], len(text)) + text
    return struct.pack(">III", 0x514C3201, len(payload), zlib.crc32(payload)) + payload


def copied(browser):
    """The lines of every survey's second copy, in the order they stand there; what is torn comes last, as it is."""
    lines, torn = [], []
    for files in browser.run_async(COPIES).values():
        for data in files.values():
            found, rest = frames(bytes(data))
            lines += [text.decode() for records in found for _, _, text in records]
            torn += [rest] if rest else []
    return lines + torn


def kept(browser):
    return sorted(browser.run_async(fieldwork.READ_ENTRIES))


def hear(browser):
    browser.cdp("Page.addScriptToEvaluateOnNewDocument", source=HEAR)


def wait_heard(browser, *acts):
    """Waits until the worker has answered each of these, and everything else that it was asked."""

    def heard():
        asked = browser.run("return window.asked ?? []")
        return all(one["answer"] for one in asked) and set(acts) <= {one["act"] for one in asked}

    harness.wait_until(heard, f"the copy's worker to have done {', '.join(acts)}")


def told(s):
    """What is told of a loss, once nothing more is coming."""
    s.wait_for("lost-read")
    return s.text_of("lost")


def is_loss_told(browser):
    return browser.run("return Boolean(document.querySelector('[data-tap=lost]'))")


def wait_copied(browser):
    """Waits until the copy has what the database has: twice, say, what was answered while the two were brought into step."""

    def differs():
        there, here = copied(browser), kept(browser)
        return {"missing": set(here) - set(there), "beside": set(there) - set(here)}

    try:
        harness.wait_until(lambda: not any(differs().values()), "the second copy to have every entry")
    except AssertionError as fault:
        raise AssertionError(f"{fault}: {differs()}") from None
    return kept(browser)


def database_of(browser):
    """The folder in which the browser has the app's database."""
    (found,) = [path for path in browser.profile.glob("*/IndexedDB/*.indexeddb.leveldb")]
    return found


def take_away(folder):
    shutil.rmtree(folder)


def damage(folder):
    """As a disk that lost what it was given: nothing of the database can be made out."""
    for path in [*folder.glob("MANIFEST-*"), folder / "CURRENT"]:
        path.write_bytes(b"\0" * 64)


def started_again(browser, url):
    browser.start().emulate(harness.PHONE)
    browser.open(url).wait_for_app()
    return Surveyor(browser)


@pytest.mark.parametrize("lose", [take_away, damage])
def test_a_database_that_is_gone_comes_back_and_work_goes_on(server, new_chromium, lose):
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    for name in ("outcome-found_opened", "mould-none", "vermin-none"):
        s.tap(f"check-{name}")
    s.wait_gone("check-vermin-none")
    wait_saved(s)
    before, survey = kept(chromium), json.loads(kept(chromium)[0])["survey"]
    where = s.driver.current_url
    # At once after the word, as a battery would.
    chromium.kill()
    lose(database_of(chromium))
    # Home names it again; nobody is told "What is in all these boxes?" for long.
    s = started_again(chromium, server.url)
    assert f"{len(before)} entries were missing" in told(s)
    assert kept(chromium) == before
    assert s.text_of(f"survey-{survey}").startswith("Survey of ")
    if lose is damage:
        s.tap("lost-why")
        assert "corrupt" in told(s), "the browser's own words"
    s.tap("lost-read")
    s.wait_gone("lost")
    # The very question that came next, and the next answer is written behind the others.
    chromium.open("about:blank")
    chromium.open(where).wait_for_app()
    s.tap("check-odour_box-none")
    s.wait_gone("check-odour_box-none")
    wait_saved(s)
    after = kept(chromium)
    assert set(before) < set(after)
    wait_copied(chromium)
    assert not chromium.console()


def test_an_address_in_a_survey_that_was_lost_opens_it_all_the_same(server, new_chromium):
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    before, where = wait_copied(chromium), s.driver.current_url
    chromium.kill()
    take_away(database_of(chromium))
    s = started_again(chromium, where)
    s.wait_for("check-outcome-found_opened")
    told(s)
    assert set(before) <= set(kept(chromium))


def test_a_database_that_is_damaged_where_there_is_no_copy_is_told(server, new_chromium):
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    wait_saved(s)
    wait_copied(chromium)
    chromium.open(server.url + "trap.css")
    chromium.run_async(REMOVE_ALL)
    chromium.kill()
    damage(database_of(chromium))
    s = started_again(chromium, server.url)
    assert "lost what was kept here" in told(s)
    assert kept(chromium) == []
    # A first start is no loss.
    chromium.kill()
    shutil.rmtree(chromium.profile)
    chromium.start().emulate(harness.PHONE)
    hear(chromium)
    chromium.open(server.url).wait_for_app()
    wait_heard(chromium, "missing")
    assert not is_loss_told(chromium)


def test_entries_that_are_missing_come_back_into_the_open_survey(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_gone("check-outcome-found_opened")
    wait_saved(s)
    before, where = wait_copied(chromium), s.driver.current_url
    chromium.open(server.url + "trap.css")
    chromium.run_async(TAKE_AWAY_ENTRIES, "entries", len(before) - 2)
    assert len(kept(chromium)) == len(before) - 2
    chromium.open(where).wait_for_app()
    assert "2 entries were missing" in told(s)
    assert kept(chromium) == before
    s.wait_for("check-mould-none")
    # In step: nothing is told the next time, and nothing is copied.
    files = chromium.run_async(COPIES)
    hear(chromium)
    chromium.open(server.url + "trap.css")
    chromium.open(where).wait_for_app()
    wait_heard(chromium, "step", "missing")
    assert chromium.run_async(COPIES) == files
    assert not is_loss_told(chromium)


def test_a_survey_from_before_is_copied_when_it_is_opened_with_its_twins(server, chromium, folder):
    lines = practice_lines(folder)
    survey = json.loads(lines[0])["survey"]
    chromium.open(server.url + "trap.css")
    chromium.run_async(MAKE_VERSION_3, lines, "0123456789abcdef0123456789abcdef")
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    assert copied(chromium) == []
    s.tap(f"survey-{survey}")
    assert wait_copied(chromium) == sorted(lines)
    files = chromium.run_async(COPIES)[survey]
    assert len(files) == 1 and len(frames(bytes(*files.values()))[0]) > 1, "some hundred records a frame"
    # A copy that is torn, one that is damaged, and one with an entry of a taken number: what is whole counts.
    last = json.loads(lines[-1])
    twin = lines[-1].replace(f'"at":{last["at"]}', f'"at":{last["at"] + 1}')
    assert twin != lines[-1]
    chromium.open(server.url + "trap.css")
    chromium.run_async(REMOVE_ALL)
    chromium.run_async(TAKE_AWAY_ENTRIES, "entries", 5)
    whole, more = frame_of(lines[:-2]), frame_of(lines[-2:-1])
    chromium.run_async(PUT, survey, "1-torn", list(whole + more[:-3]))
    chromium.run_async(PUT, survey, "2-damaged", list(more[:-1] + bytes([more[-1] ^ 1])))
    chromium.run_async(PUT, survey, "3-twins", list(frame_of(lines[-1:]) + frame_of([twin])))
    chromium.open(f"{server.url}#/s/{survey}/results").wait_for_app()
    told(s)
    found = kept(chromium)
    assert set(found) < set(lines) and set(lines) - set(found) == {lines[-2]}
    assert chromium.run_async(TWINS, "twins") == [twin]
    harness.wait_until(lambda: sorted(copied(chromium)) == sorted([*found, twin]), "one file of what is there, and nothing torn")
    # All of it is lost, twins too.
    chromium.open(server.url + "trap.css")
    chromium.run_async(TAKE_AWAY_ENTRIES, "entries", 0)
    chromium.run_async(TAKE_AWAY_ENTRIES, "twins", 0)
    chromium.open(server.url).wait_for_app()
    assert f"{len(found) + 1} entries were missing" in told(s)
    both = lambda: sorted([*kept(chromium), *chromium.run_async(TWINS, "twins")])
    assert both() == sorted([*found, twin])


def test_what_is_taken_in_is_copied_and_what_is_deleted_does_not_come_back(server, chromium, folder):
    lines = practice_lines(folder)
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    s.give_file("home-open", folder / "made" / "survey.zip")
    harness.wait_until(lambda: len(kept(chromium)) == len(lines), "the file's entries")
    assert wait_copied(chromium) == sorted(lines)
    s.wait_for("day-handover")
    s.tap("day-handover")
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for("home-start")
    # Until the next start it can be brought back, and its copy with it.
    assert set(copied(chromium)) == set(lines)
    chromium.driver.refresh()
    harness.wait_until(lambda: not kept(chromium) and not copied(chromium), "both to be gone")
    hear(chromium)
    chromium.open(server.url + "trap.css")
    chromium.open(server.url).wait_for_app()
    wait_heard(chromium, "missing")
    assert not chromium.run_async(COPIES) and not kept(chromium)
    assert not is_loss_told(chromium)


def test_the_copy_of_a_locked_survey_is_locked_and_comes_back_locked(server, new_chromium):
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    where = s.driver.current_url
    plain = wait_copied(chromium)
    lock(s)

    def copies():
        return [bytes(data) for files in chromium.run_async(COPIES).values() for data in files.values()]

    def n_copied():
        return sum(len(records) for data in copies() for records in frames(data)[0])

    harness.wait_until(lambda: n_copied() == len(plain), "all of it to be copied anew")
    assert "Attic" in "".join(plain) and b"Attic" not in b"".join(copies())
    # What is answered behind the lock is locked there, too.
    chromium.open(where)
    s.tap("check-outcome-found_opened")
    s.wait_gone("check-outcome-found_opened")
    wait_saved(s)
    assert n_copied() > len(plain), "saved is what the copy has"
    assert b"outcome" not in b"".join(copies())
    chromium.kill()
    # Nor does the device's disk have a word of it in any file of that place.
    root = next(chromium.profile.glob("*/File System"))
    assert not any(b"Attic" in path.read_bytes() for path in root.rglob("*") if path.is_file())
    take_away(database_of(chromium))
    s = started_again(chromium, where)
    told(s)
    open_it(s, "plum orchard, kept apart")
    s.wait_for("check-mould-none")


def test_a_database_that_goes_while_the_app_is_open_comes_back_with_the_next_answer(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_gone("check-outcome-found_opened")
    wait_saved(s)
    before = wait_copied(chromium)
    # As when the browser finds it damaged: every connection is closed, and the next one finds nothing.
    chromium.run_async(
        "const asked = indexedDB.deleteDatabase('quarterlight');"
        "await new Promise((resolve, reject) => { asked.onsuccess = resolve; asked.onblocked = reject; });"
    )
    for name in ("mould-none", "vermin-none"):
        s.tap(f"check-{name}")
    s.wait_gone("check-vermin-none")
    assert f"{len(before)} entries were missing" in told(s)
    wait_saved(s)
    harness.wait_until(lambda: set(before) < set(kept(chromium)), "the entries")
    wait_copied(chromium)
    s.wait_for("check-odour_box-none")


def test_what_the_copy_alone_has_outlives_a_file_that_is_taken_in(server, chromium, folder):
    lines = practice_lines(folder)
    survey = json.loads(lines[0])["survey"]
    # An entry of somebody who is nowhere else.
    other = lines[0].replace(json.loads(lines[0])["writer"], "5" * 32)
    chromium.open(server.url).wait_for_app()
    chromium.open(server.url + "trap.css")
    chromium.run_async(PUT, survey, "1-alone", list(frame_of([other])))
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    s.give_file("home-open", folder / "made" / "survey.zip")
    harness.wait_until(lambda: kept(chromium) == sorted([*lines, other]), "both the file's entries and the copy's")
    assert wait_copied(chromium) == sorted([*lines, other])


def test_where_the_worker_does_not_start_everything_else_works(serve, folder, chromium):
    site = harness.copy_of_site(folder)
    (site / "second.js").write_text("throw new Error('this browser is too old')")
    server = serve(dist=site)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_gone("check-outcome-found_opened")
    wait_saved(s)
    where = s.driver.current_url
    chromium.open(server.url + "#/device")
    assert "no place for a second copy" in s.text_of("trial-copy")
    chromium.open(where)
    # A copy of another day goes with the survey all the same.
    survey = json.loads(kept(chromium)[0])["survey"]
    chromium.run_async(PUT, survey, "1-old", [1, 2, 3])
    lock(s)
    assert not chromium.run_async(COPIES)
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for("home-start")
    chromium.driver.refresh()
    harness.wait_until(lambda: not kept(chromium), "the survey to be gone")


def test_a_browser_without_such_a_place_keeps_what_it_kept(server, chromium):
    chromium.cdp(
        "Page.addScriptToEvaluateOnNewDocument", source="if (window.StorageManager) StorageManager.prototype.getDirectory = undefined;"
    )
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_gone("check-outcome-found_opened")
    wait_saved(s)
    where, before = s.driver.current_url, kept(chromium)
    lock(s)
    chromium.open("about:blank")
    chromium.open(where).wait_for_app()
    open_it(s, "plum orchard, kept apart")
    s.wait_for("check-mould-none")
    assert len(kept(chromium)) == len(before)
    assert not chromium.console()
