"""A survey file to check, made by the program itself or given in SURVEY_FILE (one that a browser exported, say).

QUARTERLIGHT is the program; without it, target/debug/quarterlight or target/release/quarterlight is taken.
"""

import os
import subprocess
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SAVED = ROOT / "tests" / "formats" / "survey-1.zip"
# Written by tests/browser/test_journey.py, which takes an older one away before it begins.
BROUGHT_HOME = ROOT / "target" / "brought-home.zip"


def program():
    named = os.environ.get("QUARTERLIGHT")
    candidates = [Path(named)] if named else [ROOT / "target" / p / "quarterlight" for p in ("debug", "release")]
    for path in candidates:
        if path.is_file():
            return str(path)
    raise FileNotFoundError(f"no quarterlight in {candidates}: build it with `cargo build -p desk`")


@pytest.fixture(scope="session")
def quarterlight():
    """Runs the program and gives what it said; it never crashes (101) whatever it is given."""
    path = program()

    def run(*arguments):
        done = subprocess.run([path, *map(str, arguments)], capture_output=True, text=True)
        assert done.returncode in (0, 1, 2), done.stderr
        return done

    return run


@pytest.fixture(scope="session")
def practised(tmp_path_factory, quarterlight):
    """A survey file of 8 rounds in an invented collection of 412 boxes, unless SURVEY_FILE names another."""
    given = os.environ.get("SURVEY_FILE")
    if given:
        return Path(given)
    folder = tmp_path_factory.mktemp("practice")
    done = quarterlight("practice", "--boxes", 412, "--seed", 7, "--out", folder, "--surveyed", 8)
    assert done.returncode == 0, done.stderr
    return folder / "survey.zip"


def brought_home():
    """The file that the scripted surveyor's browser exported a moment ago, in the tests of the browser."""
    if not BROUGHT_HOME.is_file():
        pytest.skip("no browser has exported a file: run tests/browser/test_journey.py first, in the same run or before")
    if BROUGHT_HOME.stat().st_mtime < Path(program()).stat().st_mtime:
        pytest.skip("the browser's file is older than the program, whose figures may differ: run tests/browser/test_journey.py")
    return BROUGHT_HOME


@pytest.fixture(scope="session", params=["practised", "brought_home"])
def surveyed(request, practised):
    """A fresh file: the program's own, and the browser's."""
    return practised if request.param == "practised" else brought_home()


@pytest.fixture(scope="session", params=["practised", "brought_home", "saved"])
def survey_file(request, practised):
    """The fresh files, and the saved one whose texts look like formulas."""
    return {"practised": lambda: practised, "brought_home": brought_home, "saved": lambda: SAVED}[request.param]()


@pytest.fixture
def unpacked(survey_file, tmp_path):
    """The base folder of the bag, unpacked by Python's own zip reader."""
    with zipfile.ZipFile(survey_file) as archive:
        assert archive.testzip() is None
        archive.extractall(tmp_path)
    (base,) = tmp_path.iterdir()
    return base
