"""The Data Package validates with frictionless, and a wrong cell does not."""

import json

from frictionless import Package, validate


def test_frictionless_accepts(unpacked):
    path = unpacked / "data" / "datapackage.json"
    report = validate(str(path))
    assert report.valid, report.to_summary()
    described = json.loads(path.read_text())
    names = {resource["name"] for resource in described["resources"]}
    # An empty list of resources would pass the validator.
    # Two tables are there only where there is something to put into them.
    assert names - {"origins", "photos"} == {"boxes", "items", "counts", "observations", "figures"}
    for resource in described["resources"]:
        assert (path.parent / resource["path"]).stat().st_size == resource["bytes"]
    assert {p.stem for p in (path.parent / "tables").iterdir()} == names


def test_every_table_has_the_columns_it_says(unpacked):
    package = Package(str(unpacked / "data" / "datapackage.json"))
    for resource in package.resources:
        with resource:
            assert resource.header == resource.schema.field_names
            assert resource.header


def test_frictionless_refuses_a_wrong_cell(unpacked):
    boxes = unpacked / "data" / "tables" / "boxes.csv"
    lines = boxes.read_text().split("\n")
    cells = lines[1].split(",")
    cells[2] = "perhaps"
    lines[1] = ",".join(cells)
    boxes.write_text("\n".join(lines))
    report = validate(str(unpacked / "data" / "datapackage.json"))
    found = {error.type for task in report.tasks for error in task.errors}
    assert "type-error" in found
