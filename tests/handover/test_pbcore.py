"""The catalogue records validate against the schema of PBCore 2.1 (see README.md), and a broken record does not."""

from pathlib import Path

import pytest
from lxml import etree

NS = "{http://www.pbcore.org/PBCore/PBCoreNamespace.html}"
# Terms of PBCore's vocabulary of physical formats for audio, as its page lists them (see the source beside each carrier).
TERMS = {
    "Open reel audiotape", "1/4 inch audio tape", "1/2 inch audio tape", "1 inch audio tape", "2 inch audio tape",
    "Audio cassette", "1/4 inch audio cassette", "8-track", "DAT", "Mini-cassette", "Wire recording",
}


@pytest.fixture(scope="session")
def schema():
    return etree.XMLSchema(etree.parse(str(Path(__file__).with_name("pbcore-2.1.xsd"))))


@pytest.fixture(scope="session")
def records(reported):
    return etree.parse(str(reported / "pbcore.xml"))


def test_the_schema_accepts(schema, records, closed):
    schema.assertValid(records)
    schema.assertValid(etree.parse(str(closed / "pbcore.xml")))


def test_the_saved_survey_with_hostile_texts_validates(schema, quarterlight, tmp_path):
    from conftest import SAVED

    done = quarterlight("report", SAVED, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    schema.assertValid(etree.parse(str(tmp_path / "out" / "pbcore.xml")))


@pytest.mark.parametrize("name", ["instantiationLocation", "instantiationIdentifier", "pbcoreTitle", "pbcoreDescription"])
def test_the_schema_refuses_a_record_without(schema, reported, name):
    broken = etree.parse(str(reported / "pbcore.xml"))
    element = broken.find(f".//{NS}{name}")
    element.getparent().remove(element)
    assert not schema.validate(broken)


def test_one_record_an_item_that_was_looked_at(records, planned):
    import csv
    import io
    import zipfile

    with zipfile.ZipFile(planned) as archive:
        (name,) = [n for n in archive.namelist() if n.endswith("tables/items.csv")]
        rows = list(csv.DictReader(io.StringIO(archive.read(name).decode())))
    looked_at = {f"{row['box_id']}/{row['item_id']}" for row in rows if row["item_id"] != "*"}
    found = [e.text for e in records.iterfind(f".//{NS}instantiationIdentifier")]
    assert len(found) == len(set(found))
    # An item whose kind nobody asked for (it was put down at once) has no record.
    assert set(found) <= looked_at and len(found) >= 0.9 * len(looked_at)


def test_a_carrier_without_a_term_has_its_plain_name_and_says_so(records, tmp_path, quarterlight):
    physical = list(records.iterfind(f".//{NS}instantiationPhysical"))
    assert physical
    for element in physical:
        noted = element.get("annotation") == "term not in PBCore vocabulary"
        assert noted == (element.text not in TERMS), element.text
    assert any(element.get("annotation") for element in physical), "the practice survey has a microcassette"


def test_times_are_marked_as_estimates(records):
    durations = list(records.iterfind(f".//{NS}instantiationDuration"))
    assert durations
    for element in durations:
        assert element.get("annotation").startswith("estimated")
        hours, minutes, seconds = element.text.split(":")
        assert int(minutes) < 60 and seconds == "00" and int(hours) >= 0
