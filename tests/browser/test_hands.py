"""From phone to phone without a signal: one shows moving codes, the other's camera reads them and takes in the same entries.

The camera is made up: it sees pictures of the first phone's real screen, over and over, some of them lost.
"""

import base64

import fieldwork
import harness
import pytest
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

# The side of the camera's picture, pixels, and how many it gives a second: each code is seen twice.
SIDE, A_SECOND, A_CODE = 640, 12, 2

# The grey values of a picture of the screen, as a camera of that side sees it.
GREY = """
const [jpeg, side] = given;
const picture = new Image();
picture.src = "data:image/jpeg;base64," + jpeg;
await picture.decode();
const canvas = document.createElement("canvas");
canvas.width = canvas.height = side;
const pen = canvas.getContext("2d");
pen.drawImage(picture, 0, 0, side, side);
const pixels = pen.getImageData(0, 0, side, side).data;
let grey = "";
for (let at = 0; at < pixels.length; at += 4) grey += String.fromCharCode(pixels[at + 1]);
return btoa(grey);
"""


def seen_from_beside(browser, n_pictures):
    """What a camera sees that looks at the screen: the code with some of the screen around it, in grey."""
    # What the screen does not show is not in a picture of it.
    browser.run("scrollTo({ top: 0, behavior: 'instant' })")
    browser.settle()
    box = browser.run("const r = document.querySelector('svg.code').getBoundingClientRect();"
                      "return [r.left + scrollX, r.top + scrollY, r.width]")
    margin = 16
    clip = {"x": box[0] - margin, "y": box[1] - margin, "width": box[2] + 2 * margin, "height": box[2] + 2 * margin, "scale": 1.5}
    pictures = {}
    while len(pictures) < n_pictures:
        number = browser.run("return document.querySelector('svg.code').dataset.number")
        shot = browser.cdp("Page.captureScreenshot", format="jpeg", quality=50, clip=clip)
        # The code may change between the two: the picture counts, the number only tells them apart.
        pictures.setdefault(number, shot["data"])
    return [base64.b64decode(browser.run_async(GREY, picture, SIDE)) for picture in pictures.values()]


def see(path, pictures):
    """Has the camera see these pictures from its next start on, over and over (YUV4MPEG2, without colours)."""
    colours = bytes([128]) * (SIDE * SIDE // 2)
    with open(path, "wb") as film:
        film.write(f"YUV4MPEG2 W{SIDE} H{SIDE} F{A_SECOND}:1 Ip A1:1 C420jpeg\n".encode())
        for picture in pictures:
            film.write((b"FRAME\n" + picture + colours) * A_CODE)


def camera(path):
    """Flags that give a browser a camera which sees what lies there."""
    return [
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-video-capture={path}",
    ]


def bytes_kept(browser):
    return {entry["writer"] + ":" + str(entry["n"]): entry for entry in fieldwork.entries_kept(browser)}


@pytest.fixture
def shown(server, new_chromium):
    """A phone with part of a survey, on the screen that shows the codes."""
    one = new_chromium().emulate(harness.PHONE)
    s = at_the_list(one, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    s.tap("day-handover")
    s.tap("handover-beside")
    s.wait_for("beside-run")
    return s


def test_a_phone_beside_reads_every_entry_from_the_screen(server, shown, new_chromium, folder):
    s = shown
    s.tap("beside-further")
    s.tap("beside-grain-coarse")
    s.tap("beside-run")
    # Codes of the beginning are missing: the reader comes late.
    harness.wait_until(lambda: int(s.browser.run("return document.querySelector('svg.code').dataset.number")) > 20, "later codes")
    said = s.screen()
    wanted = int(said.split(" codes: about")[0].rsplit(" ", 1)[1])
    pictures = seen_from_beside(s.browser, wanted + 20)
    s.tap("beside-run")

    film = folder / "camera.y4m"
    see(film, pictures[:3])
    other = new_chromium(flags=camera(film)).emulate(harness.PHONE)
    other.open(server.url).wait_for_app()
    r = Surveyor(other)
    r.tap("home-read")
    r.tap("camera-on")
    # Only three codes are in sight: it waits for the rest, and a pause loses nothing.
    r.wait_text(f" of {wanted} codes")
    r.tap("camera-pause")
    assert 1 <= int(r.browser.run("return document.querySelector('[data-parts]').dataset.parts")) <= 3 < wanted
    assert fieldwork.entries_kept(other) == [], "something was taken in before all of it was there"
    see(film, pictures[3:])
    r.tap("camera-on")
    r.patience = 60
    r.wait_for("camera-take-in")
    n_new = int(r.browser.run("return document.querySelector('[data-new]').dataset.new"))
    assert fieldwork.entries_kept(other) == [], "something was taken in before the yes"
    r.tap("camera-take-in")
    r.wait_for("day-check")
    harness.wait_until(lambda: len(fieldwork.entries_kept(other)) == n_new, "the entries to be kept")
    assert bytes_kept(other) == bytes_kept(s.browser)
    assert other.refused() == [] and s.browser.refused() == []


def test_a_phone_that_has_part_of_it_is_shown_the_rest(server, shown, new_chromium, folder):
    s = shown
    # The other phone has it all already; it shows what it has, which is one code.
    s.tap("beside-have")
    s.wait_text("This phone has")
    picture = seen_from_beside(s.browser, 1)
    film = folder / "camera.y4m"
    see(film, picture)
    other = new_chromium(flags=camera(film)).emulate(harness.PHONE)
    other.open(server.url).wait_for_app()
    r = Surveyor(other)
    r.tap("home-read")
    r.tap("camera-on")
    r.wait_text("not on this device")


def test_a_refused_camera_is_told_in_plain_words(server, new_chromium):
    browser = new_chromium(flags=["--use-fake-device-for-media-stream"]).emulate(harness.PHONE)
    browser.open(server.url).wait_for_app()
    browser.cdp("Browser.setPermission", permission={"name": "camera"}, setting="denied", origin=server.origin)
    s = Surveyor(browser)
    s.tap("home-read")
    s.tap("camera-on")
    s.wait_text("may not use the camera")
    assert "Nothing on this device was changed" in s.screen()
    s.wait_for("camera-on")
