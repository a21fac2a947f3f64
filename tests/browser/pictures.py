"""Makes a picture of every screen in every view and colour scheme: `pictures.py FOLDER [--language L] [NAME...]`."""

import argparse
import pathlib
import shutil

import harness
from screens import SCREENS
from surveyor import Surveyor


def main(folder, language, only):
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.png"):
        old.unlink()
    own = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(own / "profile", own / "downloads")
    try:
        browser.emulate(harness.PHONE).open(server.url)
        surveyor = Surveyor(browser)
        surveyor.speak(language)
        for number, (name, arrive) in enumerate(SCREENS, start=1):
            arrive(surveyor)
            if only and name not in only:
                continue
            for view, size, text in harness.VIEWS:
                for scheme in harness.SCHEMES:
                    browser.show_in(size, scheme, text)
                    browser.picture(folder / f"{number:02}-{name}-{view}-{scheme}.png", whole=view != "side")
            browser.show_in(harness.PHONE)
            print(f"{number:02} {name}")
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(own, ignore_errors=True)


if __name__ == "__main__":
    asked = argparse.ArgumentParser()
    asked.add_argument("folder", type=pathlib.Path)
    asked.add_argument("--language", default="en")
    asked.add_argument("names", nargs="*")
    asked = asked.parse_args()
    main(asked.folder, asked.language, asked.names)
