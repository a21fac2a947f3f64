"""R's survey package, run on the tables by the script in the file, gives the same totals, shares and standard errors."""

import csv
import io
import json
import shutil
import subprocess

import pytest

TOLERANCE = 1e-9


def recompute(unpacked):
    """What recompute.R prints: figure, estimate, standard error."""
    assert shutil.which("Rscript"), "R with its survey package is needed: apt-get install r-cran-survey"
    done = subprocess.run(
        ["Rscript", "--vanilla", "recompute.R"], cwd=unpacked / "data", capture_output=True, text=True, timeout=600
    )
    assert done.returncode == 0, done.stderr
    return {row["id"]: row for row in csv.DictReader(io.StringIO(done.stdout))}


def far(said, found):
    """Relative, or absolute where a standard error is 0 up to rounding."""
    return abs(said - found) > TOLERANCE * max(abs(said), 1e-6)


def differing(figures, recomputed):
    wrong = []
    for figure, row in recomputed.items():
        said = figures[figure]
        if far(said["estimate"], float(row["estimate"])):
            wrong.append((figure, "estimate", said["estimate"], row["estimate"]))
        if said["se"] is not None and far(said["se"], float(row["se"])):
            wrong.append((figure, "se", said["se"], row["se"]))
    return wrong


def test_r_gives_the_same(unpacked):
    figures = json.loads((unpacked / "data" / "figures.json").read_text())["headline"]
    recomputed = recompute(unpacked)
    # Every figure of the headline is recomputed, strata too.
    assert set(recomputed) == set(figures)
    assert differing(figures, recomputed) == []


def test_a_changed_table_gives_others(unpacked):
    """So that the test above could fail."""
    figures = json.loads((unpacked / "data" / "figures.json").read_text())["headline"]
    boxes = unpacked / "data" / "tables" / "boxes.csv"
    rows = list(csv.DictReader(boxes.read_text().splitlines()))
    checked = next(row for row in rows if row["status"] == "checked" and int(row["items_in_box"]) > 0)
    checked["items_in_box"] = int(checked["items_in_box"]) + 1
    with open(boxes, "w", newline="") as out:
        writer = csv.DictWriter(out, rows[0].keys(), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    assert ("items.total", "estimate") in [(figure, what) for figure, what, *_ in differing(figures, recompute(unpacked))]
