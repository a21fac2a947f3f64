"""Photographs: made small, turned upright, freed of what the camera wrote, kept, taken back, carried along."""

import base64
import hashlib
import struct
import subprocess
import zipfile

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor
from test_windows import Windows

# A picture as a camera gives one: red at the left, green at the right, lying on its side by its own account.
DRAW = """
const [width, height] = given;
const canvas = document.createElement("canvas");
canvas.width = width; canvas.height = height;
const pen = canvas.getContext("2d");
pen.fillStyle = "#d01010"; pen.fillRect(0, 0, width / 2, height);
pen.fillStyle = "#10c010"; pen.fillRect(width / 2, 0, width / 2, height);
return canvas.toDataURL("image/jpeg", 0.9).split(",")[1];
"""

# What the database has of photographs, and what files have of them: each one's name and its bytes.
KEPT = """
const text = (bytes) => btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
const database = await new Promise((resolve, reject) => {
  const asked = indexedDB.open("quarterlight");
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
let records;
try {
  const all = database.transaction("photos").objectStore("photos").getAll();
  records = await new Promise((resolve, reject) => {
    all.onsuccess = () => resolve(all.result);
    all.onerror = () => reject(all.error);
  });
} finally {
  database.close();
}
let files;
for (;;) {
  files = [];
  try {
    const place = await (await navigator.storage.getDirectory()).getDirectoryHandle("quarterlight-photos");
    for await (const survey of place.values())
      for await (const [name, file] of survey.entries())
        // One that is being written has another name.
        if (name.length === 64) files.push([name, text(new Uint8Array(await (await file.getFile()).arrayBuffer()))]);
    break;
  } catch (fault) {
    // There is no such place; or a file of it is another since it was begun to be read.
    if (fault.name === "NotFoundError" && files.length === 0) break;
    if (!["NotFoundError", "NotReadableError"].includes(fault.name)) throw fault;
    await new Promise((next) => setTimeout(next, 20));
  }
}
return [records.map((record) => [record.sha256, text(record.bytes)]), files];
"""

# The colours of a picture in the middle of its upper and of its lower half, and its size.
LOOK_AT = """
const image = new Image();
image.src = "data:image/jpeg;base64," + given[0];
await image.decode();
const canvas = document.createElement("canvas");
canvas.width = image.naturalWidth; canvas.height = image.naturalHeight;
const pen = canvas.getContext("2d");
pen.drawImage(image, 0, 0);
const at = (part) => [...pen.getImageData(canvas.width / 2, canvas.height * part, 1, 1).data].slice(0, 3);
return [canvas.width, canvas.height, at(0.25), at(0.75)];
"""

EXIF_TURNED = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"
PLACE = b"the place where this was taken"


def camera_picture(browser, path, size=(2400, 1800)):
    """A JPEG with an orientation of 6 (a quarter turn clockwise to stand upright) and with something private in it."""
    plain = base64.b64decode(browser.run_async(DRAW, *size))
    body = EXIF_TURNED + PLACE
    path.write_bytes(plain[:2] + b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body + plain[2:])
    return path


def in_database_and_files(browser):
    """The photographs in the database, and those in files, by their SHA-256."""
    both = browser.run_async(KEPT)
    return [{name: base64.b64decode(text) for name, text in some} for some in both]


def photos_kept(browser):
    in_database, in_files = in_database_and_files(browser)
    return in_files | in_database


@pytest.fixture
def at_a_box(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    return s


def test_a_photograph_is_small_upright_bare_and_told_in_the_log(at_a_box, folder):
    s = at_a_box
    s.give_file("check-photo", camera_picture(s.browser, folder / "camera.jpg"))
    s.wait_for("check-photo-remove-1")
    kept = photos_kept(s.browser)
    ((sha256, picture),) = kept.items()
    assert hashlib.sha256(picture).hexdigest() == sha256
    assert PLACE not in picture and b"Exif" not in picture
    width, height, above, below = s.browser.run_async(LOOK_AT, base64.b64encode(picture).decode())
    assert (width, height) == (1200, 1600), "turned upright, and no side longer than 1600"
    assert above[0] > 150 > above[1] and below[1] > 150 > below[0], "the left of the sensor is above"
    wait_saved(s)
    named = [entry for entry in fieldwork.entries_kept(s.browser) if entry["kind"] == "photo"]
    assert [(e["sha256"], e["bytes"], e["shows"], e["of"].split(" ")[0]) for e in named] == [
        (sha256, len(picture), "damage", "box")
    ]
    # It is seen again after a reload, and the question is still open.
    s.driver.refresh()
    s.wait_for("check-photo-remove-1")
    shown = "return [...document.querySelectorAll('.photo img')].map((i) => [i.naturalWidth, i.alt])"
    harness.wait_until(lambda: s.browser.run(shown) == [[1200, "Photograph 1: Damage"]], "the photograph on the screen")
    assert s.browser.refused() == []
    s.wait_for("check-mould-photographed")


def test_a_photograph_is_removed_and_brought_back(at_a_box, folder):
    s = at_a_box
    s.give_file("check-photo", camera_picture(s.browser, folder / "camera.jpg", (300, 200)))
    s.wait_for("check-photo-remove-1")
    s.tap("check-undo")
    s.wait_gone("check-photo-remove-1")
    s.wait_for("check-mould-none")
    wait_saved(s)
    assert len(photos_kept(s.browser)) == 1, "it may still be wanted in this sitting"
    s.driver.refresh()
    s.wait_for("check-mould-none")
    harness.wait_until(lambda: photos_kept(s.browser) == {}, "what was removed to be gone after the next opening")


def test_a_second_window_leaves_a_photograph_that_the_first_may_bring_back(at_a_box, folder):
    s = at_a_box
    s.give_file("check-photo", camera_picture(s.browser, folder / "camera.jpg", (300, 200)))
    s.wait_for("check-photo-remove-1")
    s.tap("check-undo")
    s.wait_gone("check-photo-remove-1")
    wait_saved(s)
    windows = Windows(s.browser)
    windows.open_another()
    windows.at(1).wait_for("write-here")
    assert len(photos_kept(s.browser)) == 1


def test_what_is_no_picture_and_a_full_device_are_said_and_answers_stay(at_a_box, folder, server):
    s = at_a_box
    wrong = folder / "letter.jpg"
    wrong.write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    s.give_file("check-photo", wrong)
    s.wait_text("cannot read it as a picture")
    wait_saved(s)
    picture = camera_picture(s.browser, folder / "camera.jpg")
    # The browser remembers for half a minute how much room there was, unless it is started anew.
    s.browser.close()
    s.browser.start().emulate(harness.PHONE).limit_storage(server.origin, 1)
    s.browser.open(server.url).wait_for_app()
    s.tap("home-go-on")
    s.wait_for("check-mould-none")
    s.give_file("check-photo", picture)
    s.wait_text("no room on this device")
    assert "What you answered is kept" in s.screen()
    assert [e for e in fieldwork.entries_kept(s.browser) if e["kind"] == "photo"] == []
    answers = fieldwork.answers_that_count(fieldwork.entries_kept(s.browser))
    assert {"one": "found_opened"} in answers.values()


def test_photographs_go_along_to_a_colleague_and_the_desk_checks_them(at_a_box, folder, server, new_chromium):
    s = at_a_box
    s.give_file("check-photo", camera_picture(s.browser, folder / "camera.jpg", (640, 480)))
    s.wait_for("check-photo-remove-1")
    wait_saved(s)
    ((sha256, picture),) = photos_kept(s.browser).items()
    s.tap("day-handover")
    s.tap("handover-save")
    saved = s.browser.downloaded("*.zip")
    with zipfile.ZipFile(saved) as file:
        named = [name for name in file.namelist() if "/photos/" in name]
        assert [name.rsplit("/", 1)[1] for name in named] == [f"{sha256}.jpg"]
        assert file.read(named[0]) == picture
    checked = subprocess.run([str(harness.DESK), "verify", str(saved)], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout
    assert "photographs: 1, each the one that the log names" in checked.stdout
    other = new_chromium().emulate(harness.PHONE)
    other.open(server.url).wait_for_app()
    Surveyor(other).give_file("home-open", saved)
    Surveyor(other).wait_for("check-next")
    assert photos_kept(other) == {sha256: picture}


def test_a_file_with_a_changed_photograph_is_refused_and_nothing_of_it_stays(at_a_box, folder, server, new_chromium):
    s = at_a_box
    for side in (300, 310, 320):
        s.give_file("check-photo", camera_picture(s.browser, folder / f"camera-{side}.jpg", (side, 200)))
        s.wait_for(f"check-photo-remove-{(side - 290) // 10}")
    wait_saved(s)
    s.tap("day-handover")
    s.tap("handover-save")
    saved = s.browser.downloaded("*.zip")
    # The last of the three, which is read when the others are kept already.
    last = max(photos_kept(s.browser))
    with zipfile.ZipFile(saved) as file:
        name = next(name for name in file.namelist() if last in name)
        at = saved.read_bytes().index(file.read(name))
        middle = at + len(file.read(name)) // 2
    changed = folder / "changed.zip"
    whole = bytearray(saved.read_bytes())
    whole[middle] ^= 0x01
    changed.write_bytes(whole)
    other = Surveyor(new_chromium().emulate(harness.PHONE))
    other.browser.open(server.url).wait_for_app()
    other.give_file("home-open", changed)
    other.wait_text(last)
    assert photos_kept(other.browser) == {}
    assert fieldwork.entries_kept(other.browser) == []
    # The file as it was is taken in after that.
    other.give_file("home-open", saved)
    other.wait_for("check-next")
    assert photos_kept(other.browser) == photos_kept(s.browser)
