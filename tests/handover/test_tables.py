"""The tables of many surveys as Parquet, queried by an engine of other people's: DuckDB (https://duckdb.org)."""

import csv
import io
import re
import zipfile

import duckdb
import pytest
from conftest import ROOT


@pytest.fixture(scope="module")
def surveys(tmp_path_factory, quarterlight, practised):
    """Two surveys of invented collections."""
    folder = tmp_path_factory.mktemp("another")
    done = quarterlight("practice", "--boxes", 60, "--seed", 11, "--out", folder, "--surveyed", 3)
    assert done.returncode == 0, done.stderr
    return [practised, folder / "survey.zip"]


@pytest.fixture(scope="module")
def out(tmp_path_factory, quarterlight, surveys):
    out = tmp_path_factory.mktemp("tables") / "all"
    done = quarterlight("tables", *surveys, "--out", out)
    assert done.returncode == 0, done.stderr
    return out


def as_csv(survey, table):
    with zipfile.ZipFile(survey) as bag:
        (name,) = [name for name in bag.namelist() if name.endswith(f"tables/{table}.csv")]
        return list(csv.DictReader(io.StringIO(bag.read(name).decode())))


@pytest.mark.parametrize("table", ["boxes", "items", "counts", "observations", "figures"])
def test_every_row_and_value_of_the_csv_is_there_with_its_type(out, surveys, table):
    wanted = [row for survey in surveys for row in as_csv(survey, table)]
    found = duckdb.sql(f"SELECT * FROM read_parquet('{out}/{table}/*.parquet', union_by_name = true)")
    assert found.columns[:2] == ["survey", "survey_title"]
    rows = [dict(zip(found.columns[2:], row[2:])) for row in found.fetchall()]
    assert len(rows) == len(wanted) > 0

    def same(value, cell):
        if value is None:
            return cell == ""
        if isinstance(value, bool):
            return cell == str(int(value))
        if isinstance(value, (int, float)):
            return float(cell) == value
        return value == cell or "'" + value == cell

    names = list(wanted[0])
    texts = [name for name, kind in zip(found.columns, found.types) if str(kind) == "VARCHAR" and name in names]
    assert texts and len(texts) < len(names)
    # The engine promises no order: rows are matched by all that they hold.
    by_text = {}
    for row in rows:
        by_text.setdefault(tuple((row[name] or "").removeprefix("'") for name in texts), []).append(row)
    for row in wanted:
        candidates = by_text.get(tuple(row[name].removeprefix("'") for name in texts), [])
        match = next((c for c in candidates if all(same(c[name], row[name]) for name in names)), None)
        assert match is not None, row
        candidates.remove(match)
    assert not any(by_text.values())


def test_the_query_of_the_readme_runs_and_counts_what_the_files_say(out, surveys):
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (query,) = re.findall(r"```sql\n(.*?)```", readme, re.DOTALL)
    found = duckdb.sql(query.replace("'all/", f"'{out}/")).fetchall()
    items = [as_csv(survey, "items") for survey in surveys]
    wanted = sorted((len(rows), sum(row["action_first"] == "1" for row in rows)) for rows in items)
    assert sorted((checked, int(first or 0)) for _, checked, first in found) == wanted
    assert wanted[0] != wanted[1]


def test_one_survey_twice_is_refused_and_nothing_is_overwritten(tmp_path, quarterlight, surveys, out):
    done = quarterlight("tables", surveys[0], surveys[0], "--out", tmp_path / "twice")
    assert done.returncode == 2 and "quarterlight merge" in done.stderr
    done = quarterlight("tables", surveys[0], "--out", out)
    assert done.returncode == 2 and "cannot be written" in done.stderr


def test_the_same_surveys_give_the_same_bytes(tmp_path, quarterlight, surveys, out):
    done = quarterlight("tables", *surveys, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    names = [path.relative_to(tmp_path) for path in tmp_path.rglob("*.parquet")]
    assert len(names) >= 10
    assert all((tmp_path / name).read_bytes() == (out / name).read_bytes() for name in names)
