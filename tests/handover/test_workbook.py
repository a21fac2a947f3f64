"""The workbook: real numbers, no formula from a typed text, and sums that LibreOffice computes to the report's figures."""

import csv
import io
import re
import shutil
import subprocess
import zipfile

import openpyxl
import pytest
from lxml import html

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")


@pytest.fixture(scope="session")
def profile(tmp_path_factory):
    return tmp_path_factory.mktemp("office")


def recalculated(profile, book, out):
    """The book as LibreOffice computes it. openpyxl wrote it, without any result, so every value is LibreOffice's own."""
    assert OFFICE, "LibreOffice is needed: apt-get install libreoffice-calc"
    path = out / "in" / "book.xlsx"
    path.parent.mkdir(exist_ok=True)
    book.save(path)
    subprocess.run(
        [OFFICE, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", "xlsx", "--outdir", str(out), str(path)],
        check=True, capture_output=True, timeout=300,
    )
    return openpyxl.load_workbook(out / "book.xlsx", data_only=True)


def column(sheet, key="A", value="E"):
    return {row[0].value: sheet[f"{value}{row[0].row}"].value for row in sheet.iter_rows(min_row=2, max_col=1) if row[0].value}


@pytest.fixture
def book(reported):
    return openpyxl.load_workbook(reported / "workbook.xlsx")


def test_the_only_formulas_are_ours(book):
    formulas = {
        name: [cell.value for row in book[name].iter_rows() for cell in row if cell.data_type == "f"] for name in book.sheetnames
    }
    assert {name for name, found in formulas.items() if found} == {"Costs"}
    for formula in formulas["Costs"]:
        assert re.fullmatch(r"=[A-Za-z0-9!$:,()*/+.\-]+", formula), formula
    texts = [cell.value for row in book["Assumptions"].iter_rows() for cell in row]
    assert "=Hire of a hall" in texts and "+the hall" in texts, "the test would show nothing"
    assert "=the weir's trustees" in [cell.value for row in book["observations"].iter_rows() for cell in row]


def test_tables_are_sheets_with_real_numbers(book, planned):
    with zipfile.ZipFile(planned) as archive:
        tables = {n.rsplit("/", 1)[1][:-4]: archive.read(n).decode() for n in archive.namelist() if "/tables/" in n}
    assert set(tables) <= set(book.sheetnames)
    for name, text in tables.items():
        rows = list(csv.reader(io.StringIO(text)))
        sheet = book[name]
        assert sheet.max_row == len(rows), name
        assert [cell.value for cell in sheet[1]] == rows[0]
    said = list(csv.DictReader(io.StringIO(tables["figures"])))
    for row, cells in zip(said, book["figures"].iter_rows(min_row=2)):
        estimate = cells[3].value
        assert isinstance(estimate, (int, float)) and estimate == pytest.approx(float(row["estimate"]), rel=1e-14, abs=1e-300)


def test_formulas_give_the_reports_figures(book, profile, reported, tmp_path):
    stored = column(openpyxl.load_workbook(reported / "workbook.xlsx", data_only=True)["Costs"])
    computed = column(recalculated(profile, book, tmp_path)["Costs"])
    assert len(computed) > 30 and set(computed) == set(stored)
    for key, value in computed.items():
        assert value == pytest.approx(stored[key], rel=1e-9, abs=1e-6), key
    page = html.parse(str(reported / "report.html")).getroot()
    (shown,) = {s.text_content() for s in page.xpath("//span[@data-figure='likely.cost.total']")}
    number = float(re.sub(r"[^\d.]", "", shown))
    assert number == pytest.approx(computed["cost.total"], rel=0.006), "to the three figures that the report shows"
    assert computed["cost.total"] > 1000


def test_a_changed_rate_changes_the_total(book, profile, tmp_path):
    sheet = book["Assumptions"]
    before = column(recalculated(profile, openpyxl.load_workbook(io.BytesIO(saved(book))), tmp_path)["Costs"])
    rows = {row[0].value: row[0].row for row in sheet.iter_rows(min_row=2, max_col=1)}
    place = sheet[f"D{rows['money.labour']}"]
    place.value = place.value * 2
    # A price that nobody gave is filled in.
    sheet[f"D{rows['money.insurance']}"].value = 1000
    sheet[f"D{rows['time.metadata']}"].value += 60
    after = column(recalculated(profile, book, tmp_path)["Costs"])
    items = sum(cell.value for (cell,) in book["Amounts"].iter_rows(min_row=2, min_col=7, max_col=7) if cell.value) - boxes(book)
    assert after["staff.metadata"] - before["staff.metadata"] == pytest.approx(items, rel=1e-9)
    assert after["cost.labour"] == pytest.approx(2 * before["cost.labour"] * after["staff_hours"] / before["staff_hours"], rel=1e-9)
    assert after["cost.insurance"] == pytest.approx(1000)
    assert after["cost.oncost"] > before["cost.oncost"] and after["cost.total"] > before["cost.total"] + 1000


def test_a_price_that_nobody_gave_is_no_nought(profile, reported, tmp_path):
    """As a reader sees it: LibreOffice's own text of the sheet's cells."""
    subprocess.run(
        [OFFICE, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", "html", "--outdir", str(tmp_path),
         str(reported / "workbook.xlsx")],
        check=True, capture_output=True, timeout=300,
    )
    page = html.parse(str(tmp_path / "workbook.html")).getroot()
    shown = [[re.sub(r"\s+", " ", cell.text_content()).strip() for cell in row] for row in page.iter("tr")]
    # The sheet Costs stands before the one of ranges, which has the same keys.
    rows = {row[0]: row for row in reversed(shown) if row and row[0].startswith("cost.") and len(row) > 4}
    assert rows["cost.insurance"][3:5] == ["no price", "no price"]
    assert rows["cost.labour"][3] == "34.00" and re.fullmatch(r"[\d,]+\.\d\d", rows["cost.labour"][4])
    assert re.fullmatch(r"[\d,]+\.\d\d", rows["cost.total"][4])
    assert rows["cost.transfer_bought"][1].endswith("(instead of own work)")


def boxes(book):
    (found,) = [row[6].value for row in book["Amounts"].iter_rows(min_row=2) if row[0].value == "boxes"]
    return found


def saved(book):
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_the_workbook_is_the_same_bytes_again(quarterlight, planned, reported, tmp_path):
    done = quarterlight("report", planned, "--out", tmp_path / "again", "--author", "Ash Reed")
    assert done.returncode == 0
    for name in ("workbook.xlsx", "report.html", "pbcore.xml", "paragraph.txt"):
        assert (tmp_path / "again" / name).read_bytes() == (reported / name).read_bytes(), name


def test_it_says_that_ranges_do_not_move(book):
    said = " ".join(str(cell.value) for (cell,) in book["Read me"].iter_rows(max_col=1) if cell.value)
    assert "do not move" in said and "likely value" in said
    ranges = column(book["Ranges"], value="B")
    assert ranges["cost.total"] > 0
