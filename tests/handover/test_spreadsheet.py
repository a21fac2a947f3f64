"""LibreOffice opens the tables and runs nothing in them."""

import csv
import re
import shutil
import subprocess

import pytest

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")


@pytest.fixture(scope="session")
def profile(tmp_path_factory):
    return tmp_path_factory.mktemp("profile")


def opened(profile, paths, out):
    """The tables as LibreOffice holds them after opening: flat XML, in which a formula is an attribute of its cell."""
    assert OFFICE, "LibreOffice is needed: apt-get install libreoffice-calc"
    # Comma, double quote, UTF-8, first row, detect types, evaluate formulas: what a user who clicks it away gets, or worse.
    reading = "--infilter=CSV:44,34,76,1,,0,false,true,false,false,false,0,true"
    subprocess.run(
        [OFFICE, f"-env:UserInstallation=file://{profile}", "--headless", reading, "--convert-to", "fods",
         "--outdir", str(out), *map(str, paths)],
        check=True, capture_output=True, timeout=300,
    )
    return {path.stem: (out / f"{path.stem}.fods").read_text() for path in paths}


def formulas(sheet):
    return re.findall(r'table:formula="([^"]*)"', sheet)


def test_no_cell_is_a_formula(unpacked, profile, tmp_path):
    control = tmp_path / "control.csv"
    control.write_text("text,number\n=1+1,2\n'=1+1,2\n")
    tables = sorted((unpacked / "data" / "tables").glob("*.csv"))
    assert {"boxes", "items", "counts", "observations", "figures"} <= {table.stem for table in tables}
    sheets = opened(profile, [control, *tables], tmp_path)
    # The control shows that a formula would be seen, and that the quote in front stops it.
    assert formulas(sheets["control"]) == ["of:=1+1"]
    for table in tables:
        assert formulas(sheets[table.stem]) == [], table.name


def test_numbers_arrive_as_numbers(unpacked, profile, tmp_path):
    table = unpacked / "data" / "tables" / "figures.csv"
    sheet = opened(profile, [table], tmp_path)["figures"]
    with open(table, newline="") as rows:
        estimates = [float(row["estimate"]) for row in csv.DictReader(rows)]
    values = [float(value) for value in re.findall(r'office:value="([^"]*)"', sheet)]
    assert estimates
    for estimate in estimates:
        assert any(abs(value - estimate) <= 1e-12 * abs(estimate) for value in values), estimate


def test_texts_that_look_like_formulas_are_there():
    """The saved file has them, or the first test would show nothing."""
    import zipfile

    from conftest import SAVED

    with zipfile.ZipFile(SAVED) as archive:
        (name,) = [n for n in archive.namelist() if n.endswith("observations.csv")]
        cells = [cell for row in csv.reader(archive.read(name).decode().split("\n")) for cell in row]
    assert "'=1+1" in cells and any(cell.startswith("'@") for cell in cells)
