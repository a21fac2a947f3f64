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
def surveyed(tmp_path_factory, quarterlight):
    """A survey file of 8 rounds in an invented collection of 412 boxes, unless SURVEY_FILE names another."""
    given = os.environ.get("SURVEY_FILE")
    if given:
        return Path(given)
    folder = tmp_path_factory.mktemp("practice")
    done = quarterlight("practice", "--boxes", 412, "--seed", 7, "--out", folder, "--surveyed", 8)
    assert done.returncode == 0, done.stderr
    return folder / "survey.zip"


@pytest.fixture(scope="session", params=["surveyed", "saved"])
def survey_file(request):
    """The fresh file, and the saved one whose texts look like formulas."""
    return request.getfixturevalue("surveyed") if request.param == "surveyed" else SAVED


@pytest.fixture
def unpacked(survey_file, tmp_path):
    """The base folder of the bag, unpacked by Python's own zip reader."""
    with zipfile.ZipFile(survey_file) as archive:
        assert archive.testzip() is None
        archive.extractall(tmp_path)
    (base,) = tmp_path.iterdir()
    return base
