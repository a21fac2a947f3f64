"""Makes a picture of every screen at two sizes, light and dark: `pictures.py FOLDER`."""

import pathlib
import shutil
import sys

import harness
from screens import SCREENS
from surveyor import Surveyor

SIZES = {"phone": harness.PHONE, "tablet": harness.TABLET}


def main(folder):
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.png"):
        old.unlink()
    own = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(own / "profile", own / "downloads")
    try:
        browser.emulate(harness.PHONE).open(server.url)
        surveyor = Surveyor(browser)
        for number, (name, arrive) in enumerate(SCREENS, start=1):
            arrive(surveyor)
            for size_name, size in SIZES.items():
                for light in ("light", "dark"):
                    browser.emulate(size, dark=light == "dark")
                    browser.settle()
                    browser.picture(folder / f"{number:02}-{name}-{size_name}-{light}.png")
            browser.emulate(harness.PHONE)
            print(f"{number:02} {name}")
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(own, ignore_errors=True)


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]))
