"""A survey file to check, made by the program itself or given in SURVEY_FILE (one that a browser exported, say).

QUARTERLIGHT is the program; without it, target/debug/quarterlight or target/release/quarterlight is taken.
"""

import json
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


PRICES = {
    "money.labour": (28, 34, 45),
    "money.machine": (2, 4, 9),
    "money.storage": (0.02, 0.03, 0.06),
    "money.specialist": (20, 60, 200),
    "money.cleaning": (10, 25, 60),
    "money.packing": (3, 5, 9),
    "money.transport": (400, 900, 2000),
    "money.oncost": (20, 25, 30),
    "money.contingency": (5, 10, 20),
    "money.tax": (19, 19, 19),
    "time.clean": (10, 30, 90),
}
OWN = [
    {"label": "=Hire of a hall", "driver": "once", "low": 100, "likely": 250, "high": 400, "source": "+the hall", "date": "2031"},
    {"label": "A second pair of hands", "driver": "staff-hours", "low": 1, "likely": 2, "high": 3, "source": "invented", "date": "2031"},
]


def prices():
    """Invented prices: everything that a cost can hang on is in it once."""
    values = {
        key: dict(zip(("low", "likely", "high"), ends), source=f"invented quotation for {key}", date="2031-05-02")
        for key, ends in PRICES.items()
    }
    return {"format": "quarterlight-assumptions-1", "name": "A plan", "currency": "EUR", "values": values, "own": OWN}


@pytest.fixture(scope="session")
def planned(tmp_path_factory, quarterlight, practised):
    """The practice survey with prices, a purpose and somebody who set them."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "set.json").write_text(json.dumps(prices()))
    done = quarterlight(
        "plan", practised, "--assumptions", folder / "set.json", "--for-whom", "=the weir's trustees", "--purpose",
        "A grant for transfer", "--person", "Hazel Vole", "--out", folder / "survey.zip",
    )
    assert done.returncode == 0, done.stderr
    return folder / "survey.zip"


@pytest.fixture(scope="session")
def reported(tmp_path_factory, quarterlight, planned):
    """The folder of the planned survey's report and its companions."""
    folder = tmp_path_factory.mktemp("reported") / "out"
    done = quarterlight("report", planned, "--out", folder, "--author", "Ash Reed")
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(scope="session")
def closed(tmp_path_factory, quarterlight, planned):
    """The same for outsiders."""
    folder = tmp_path_factory.mktemp("closed") / "out"
    done = quarterlight("report", planned, "--out", folder, "--without-places")
    assert done.returncode == 0, done.stderr
    return folder


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
