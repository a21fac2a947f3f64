"""The commands on files good and bad: what they say, and their exit codes."""

import json
import zipfile

import pytest


def test_verify_accepts(quarterlight, surveyed):
    done = quarterlight("verify", surveyed)
    assert done.returncode == 0, done.stdout
    assert "FAILS" not in done.stdout
    assert done.stdout.count("holds") >= 7
    report = json.loads(quarterlight("verify", surveyed, "--json").stdout)
    assert {check["name"] for check in report["checks"]} == {
        "packing", "checksums", "log", "frame", "draw", "tables", "figures", "photos", "rest",
    }


def test_a_changed_byte_of_any_file_is_refused_with_its_name(quarterlight, surveyed, tmp_path):
    whole = surveyed.read_bytes()
    with zipfile.ZipFile(surveyed) as archive:
        files = archive.infolist()
    assert len(files) >= 14
    for file in files:
        # Behind the local header (30 bytes) and the name, in the middle of the contents.
        at = file.header_offset + 30 + len(file.filename.encode()) + file.file_size // 2
        changed = tmp_path / "changed.zip"
        changed.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1:])
        done = quarterlight("verify", changed)
        assert done.returncode == 1
        inside = file.filename.split("/", 1)[1]
        assert f"{inside} was changed" in done.stdout, inside


def test_a_zip_packed_anew_is_refused(quarterlight, surveyed, tmp_path):
    for method in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        anew = tmp_path / f"anew-{method}.zip"
        with zipfile.ZipFile(surveyed) as archive, zipfile.ZipFile(anew, "w", method) as other:
            for name in archive.namelist():
                other.writestr(name, archive.read(name))
        done = quarterlight("verify", anew)
        assert done.returncode == 1
        assert "not packed as a survey file is" in done.stdout


@pytest.mark.parametrize("part", [0.001, 0.3, 0.9, 0.999])
def test_a_file_cut_short_is_said_to_be(quarterlight, surveyed, tmp_path, part):
    whole = surveyed.read_bytes()
    cut = tmp_path / "cut.zip"
    cut.write_bytes(whole[: int(len(whole) * part)])
    done = quarterlight("verify", cut)
    assert done.returncode == 1
    assert "cut short" in done.stdout
    assert "Ask for it again" in done.stderr


def test_no_zip_and_no_file(quarterlight, tmp_path):
    other = tmp_path / "letter.txt"
    other.write_text("Dear colleague")
    assert quarterlight("verify", other).returncode == 2
    assert "no zip file" in quarterlight("verify", other).stdout
    done = quarterlight("verify", tmp_path / "nothing.zip")
    assert done.returncode == 2
    assert "cannot be read" in done.stderr


def test_figures_are_those_in_the_file(quarterlight, surveyed):
    printed = json.loads(quarterlight("figures", surveyed, "--json").stdout)
    with zipfile.ZipFile(surveyed) as archive:
        (name,) = [n for n in archive.namelist() if n.endswith("figures.json")]
        said = json.loads(archive.read(name))
    assert printed == said
    assert said["headline"]["items.total"]["estimate"] > 0


def test_a_file_merged_with_itself_is_the_same_survey(quarterlight, surveyed, tmp_path):
    merged = tmp_path / "merged.zip"
    done = quarterlight("merge", surveyed, surveyed, "-o", merged)
    assert done.returncode == 0, done.stderr
    assert quarterlight("verify", merged).returncode == 0

    def log(path):
        with zipfile.ZipFile(path) as archive:
            (name,) = [n for n in archive.namelist() if n.endswith("log.ndjson")]
            return archive.read(name)

    assert log(merged) == log(surveyed)
    again = quarterlight("merge", surveyed, "-o", merged)
    assert again.returncode == 2, "nobody's file is overwritten"


def test_files_of_two_surveys_do_not_merge(quarterlight, surveyed, tmp_path):
    from conftest import SAVED

    done = quarterlight("merge", surveyed, SAVED, "-o", tmp_path / "both.zip")
    assert done.returncode == 2
    assert "one survey" in done.stderr
    assert not (tmp_path / "both.zip").exists()


def test_the_tables_are_what_the_estimate_command_reads(quarterlight, surveyed, tmp_path):
    with zipfile.ZipFile(surveyed) as archive:
        for name in archive.namelist():
            if name.endswith((".csv", "figures.json")):
                (tmp_path / name.rsplit("/", 1)[1]).write_bytes(archive.read(name))
    done = quarterlight("estimate", "--boxes", tmp_path / "boxes.csv", "--items", tmp_path / "items.csv", "--json")
    assert done.returncode == 0, done.stderr
    estimates = json.loads(done.stdout)
    figures = json.loads((tmp_path / "figures.json").read_text())["headline"]
    assert estimates["items"]["estimate"] == figures["items.total"]["estimate"]
    assert estimates["conditions"]
    for name, condition in estimates["conditions"].items():
        figure = "action." + name.removeprefix("action_") if name.startswith("action_") else f"condition.{name}"
        if condition["share"]["estimate"] is None:
            assert f"{figure}.share" not in figures
            continue
        for part in ("share", "count"):
            said = figures[f"{figure}.{part}"]
            found = condition[part]
            assert [said[k] for k in ("estimate", "se", "low", "high")] == [found[k] for k in ("estimate", "se", "low", "high")]
