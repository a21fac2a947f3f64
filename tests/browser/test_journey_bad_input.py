"""What people hand to the app that it cannot use, and devices that will not keep: a plain word each, and nothing lost."""

import json
import subprocess
import zipfile

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

GOOD = "place,label,group,full,items\nAttic,A 1,Upstairs,3,12\nAttic,A 2,Upstairs,,\nCellar,C 1,Below,4,\n"


def labels_kept(browser):
    """Every box of every list in the database: place, label, fullness, listed items."""
    entries = fieldwork.entries_kept(browser)
    undone = {entry["of"] for entry in entries if entry["kind"] == "undo"}
    counting = [entry for entry in entries if f"{entry['writer']}.{entry['n']}" not in undone]
    places = {entry["key"]: entry["name"] for entry in counting if entry["kind"] == "place"}
    return [
        (places[entry["place"]], box.get("label", ""), box.get("quarters"), box.get("listed_items"))
        for entry in counting
        if entry["kind"] == "boxes"
        for box in entry["boxes"]
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (GOOD.replace("label", "name"), ["no column", "label", '"name"']),
        (GOOD.replace("C 1,Below", "C 1,Below,,"), ["row 4"]),
        (GOOD + "Attic,A 1,Upstairs,2,\n", ["row 5", "A 1", "row 2"]),
        (GOOD + "Attic,A 3,Below,2,\n", ["row 5", "group"]),
        (GOOD + ",A 9,Upstairs,2,\n", ["row 5", "place"]),
        (GOOD + "Attic,A 3,Upstairs,7,\n", ["row 5", "full"]),
        (GOOD + "Attic,A 3,Upstairs,2,many\n", ["row 5", "items"]),
    ],
    ids=["missing column", "too many fields", "duplicate box", "two groups", "no place", "fullness", "items"],
)
def test_a_wrong_list_is_named_by_row_and_column_and_nothing_of_it_is_taken(server, chromium, text, words):
    s = at_the_list(chromium, server.url)
    s.paste_into("setup-list-text", text)
    s.tap("setup-list-take")
    said = s.text_of("setup-list-problems")
    assert all(word in said for word in words), said
    wait_saved(s)
    assert labels_kept(chromium) == []
    # What was pasted is still there, so that it can be mended and taken.
    assert s.value_of("setup-list-text") == text
    s.paste_into("setup-list-text", GOOD)
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    wait_saved(s)
    assert labels_kept(chromium) == [("Attic", "A 1", 3, 12), ("Attic", "A 2", None, None), ("Cellar", "C 1", 4, None)]


@pytest.mark.parametrize(
    "write",
    [
        lambda text: text.replace("\n", "\r\n").encode(),
        lambda text: b"\xef\xbb\xbf" + text.encode(),
        lambda text: text.replace(",", ";").encode(),
        lambda text: b"\xef\xbb\xbf" + text.replace(",", ";").replace("\n", "\r\n").encode() + b";;;;\r\n",
        lambda text: text.replace(",", "\t").encode(),
    ],
    ids=["Windows line ends", "byte-order mark", "semicolons", "all of them", "tabs"],
)
def test_a_list_as_any_spreadsheet_writes_it_is_taken(server, chromium, folder, write):
    path = folder / "list.csv"
    path.write_bytes(write(GOOD))
    s = at_the_list(chromium, server.url)
    s.give_file("setup-list-file", path)
    harness.wait_until(lambda: "A 2" in s.value_of("setup-list-text"), "the file in the field")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    wait_saved(s)
    assert labels_kept(chromium) == [("Attic", "A 1", 3, 12), ("Attic", "A 2", None, None), ("Cellar", "C 1", 4, None)]


def test_a_list_that_is_not_utf8_says_what_to_do(server, chromium, folder):
    path = folder / "list.csv"
    path.write_bytes("place,label\nAttic,Größe\n".encode("latin-1"))
    s = at_the_list(chromium, server.url)
    s.give_file("setup-list-file", path)
    harness.wait_until(lambda: s.value_of("setup-list-text"), "the file in the field")
    s.tap("setup-list-take")
    assert "UTF-8" in s.text_of("setup-list-problems")
    assert labels_kept(chromium) == []


def test_a_list_of_a_hundred_thousand_rows_is_taken_and_kept(server, chromium, folder):
    rows = [f"Hall {n % 20},box {n},Halls,{1 + n % 4},{n % 60}" for n in range(100_000)]
    path = folder / "list.csv"
    path.write_text("place,label,group,full,items\n" + "\n".join(rows) + "\n")
    s = at_the_list(chromium, server.url)
    s.patience = 120
    s.give_file("setup-list-file", path)
    harness.wait_until(lambda: s.value_of("setup-list-text"), "the file in the field")
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    s.tap("setup-go-on")
    s.wait_text("100000 boxes" if "100000 boxes" in s.screen() else "100,000 boxes")
    harness.wait_until(lambda: chromium.run(fieldwork.LOOK)["mark"] == "saved", "the word saved", 120)
    chromium.driver.refresh()
    s.wait_for("setup-total")
    entries = fieldwork.entries_kept(chromium)
    assert sum(len(entry["boxes"]) for entry in entries if entry["kind"] == "boxes") == 100_000
    s.tap("setup-go-on")
    s.tap("setup-close")
    s.wait_for("setup-seal")


def survey_file(folder):
    out = folder / "made"
    command = [harness.DESK, "practice", "--boxes", "40", "--seed", "3", "--surveyed", "1", "--out", out]
    subprocess.run([str(word) for word in command], check=True, stdout=subprocess.DEVNULL)
    return (out / "survey.zip").read_bytes()


def spoilt(which, data):
    if which == "cut short":
        return data[: len(data) * 2 // 3]
    if which == "no zip":
        return b"place,label\nAttic,A 1\n"
    if which == "empty":
        return b""
    position = data.index(b'"kind":"begin"')
    return data[:position] + b'"kind":"begun"' + data[position + 14 :]


@pytest.mark.parametrize(
    ("which", "words"),
    [
        ("cut short", ["cut short"]),
        ("no zip", ["no survey file"]),
        ("empty", ["no survey file"]),
        ("changed", ["changed"]),
    ],
)
def test_a_spoilt_survey_file_is_refused_and_nothing_here_changes(server, chromium, folder, which, words):
    s = at_the_list(chromium, server.url)
    s.paste_into("setup-list-text", GOOD)
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    wait_saved(s)
    before = fieldwork.entries_kept(chromium)
    path = folder / "survey.zip"
    path.write_bytes(spoilt(which, survey_file(folder)))
    s.tap("home")
    s.give_file("home-open", path)
    s.wait_text("could not be taken in")
    screen = s.screen()
    assert all(word in screen for word in words), screen
    assert "Nothing on this device was changed" in screen
    assert fieldwork.entries_kept(chromium) == before
    # The control: the file as it was is taken in.
    path.write_bytes(survey_file(folder / "again"))
    s.give_file("home-open", path)
    harness.wait_until(lambda: "/check" in chromium.run("return location.hash"), "the survey to open")


def trouble(s):
    return harness.wait_until(lambda: s.is_there("trouble-retry") and s.screen(), "the word that nothing is kept")


def test_a_full_disk_is_said_nothing_is_lost_and_room_mends_it(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    kept = len(fieldwork.entries_kept(chromium))
    # The browser remembers for half a minute how much room there was, unless it is started anew.
    chromium.close()
    chromium.start().emulate(harness.PHONE).limit_storage(server.origin, 1)
    chromium.open(server.url).wait_for_app()
    s.tap("home-go-on")
    s.tap("check-outcome-found_opened")
    s.tap("check-mould-none")
    assert "full" in trouble(s)
    assert chromium.run(fieldwork.LOOK)["mark"] == "failed", "it is not saved, and must not be called so"
    # Work goes on in memory: the next question is there, and the file can be carried away with everything in it.
    s.tap("check-vermin-none")
    s.wait_for("check-odour_box-none")
    assert len(fieldwork.entries_kept(chromium)) == kept
    s.tap("trouble-file")
    s.tap("handover-save")
    file = chromium.downloaded("quarterlight-*.zip")
    in_file = [json.loads(line) for line in log_of(file)]
    said = {(entry["q"], entry["a"]["one"]) for entry in in_file if entry["kind"] == "answer" and "one" in entry["a"]}
    assert {("outcome", "found_opened"), ("mould", "none"), ("vermin", "none")} <= said
    # Room again.
    chromium.cdp("Storage.overrideQuotaForOrigin", origin=server.origin)
    s.tap("trouble-retry")
    s.wait_gone("trouble-retry")
    wait_saved(s)
    in_database = {(entry["writer"], entry["n"]) for entry in fieldwork.entries_kept(chromium)}
    assert in_database == {(entry["writer"], entry["n"]) for entry in in_file}


def log_of(file):
    with zipfile.ZipFile(file) as archive:
        name = next(name for name in archive.namelist() if name.endswith("data/log.ndjson"))
        return archive.read(name).decode("utf-8").splitlines()


ASK_FOR_STORAGE = """
const local = (() => { try { return localStorage && "given" } catch { return "refused" } })();
const database = await new Promise((resolve) => {
  try {
    const asked = indexedDB.open("quarterlight-asked");
    asked.onsuccess = () => resolve("given");
    asked.onerror = () => resolve("refused");
  } catch {
    resolve("refused");
  }
});
return [local, database];
"""


def test_storage_denied_is_said_and_the_work_can_be_carried_away(server, folder):
    profile = folder / "denied" / "profile"
    (profile / "Default").mkdir(parents=True)
    settings = {"profile": {"default_content_setting_values": {"cookies": 2}}}
    (profile / "Default" / "Preferences").write_text(json.dumps(settings))
    browser = harness.Chromium(profile, folder / "denied" / "downloads").emulate(harness.PHONE)
    try:
        browser.open(server.url).wait_for_app()
        assert browser.run_async(ASK_FOR_STORAGE) == ["refused", "refused"], "the control: this browser refuses both"
        s = Surveyor(browser)
        s.tap("home-start")
        assert "refused" in trouble(s)
        browser.run("location.hash = location.hash.replace(/setup.*$/, 'setup/boxes/list')")
        shelf_of(s, 8)
        s.tap("check-outcome-found_opened")
        s.wait_for("check-mould-none")
        assert browser.run(fieldwork.LOOK)["mark"] == "failed"
        s.tap("trouble-file")
        s.tap("handover-save")
        entries = [json.loads(line) for line in log_of(browser.downloaded("quarterlight-*.zip"))]
        assert any(entry["kind"] == "answer" and entry["q"] == "outcome" for entry in entries)
    finally:
        browser.close()
