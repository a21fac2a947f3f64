"""The reviewer's view, at its own address: an untouched file passes, one changed digit is found and named, nothing is kept."""

import re
import subprocess
import zipfile

import harness
import pytest
from surveyor import Surveyor


def desk(*words):
    subprocess.run([harness.DESK, *map(str, words)], check=True, capture_output=True)


@pytest.fixture(scope="module")
def sent(tmp_path_factory):
    """What a reviewer was sent: a survey file, and the report that lies in it."""
    folder = tmp_path_factory.mktemp("sent")
    desk("practice", "--boxes", 60, "--seed", 7, "--surveyed", 2, "--out", folder)
    with zipfile.ZipFile(folder / "survey.zip") as archive:
        (name,) = [n for n in archive.namelist() if n.endswith("data/report.html")]
        (folder / "report.html").write_bytes(archive.read(name))
    return folder


def reviewer(browser, server):
    browser.emulate(harness.PHONE)
    browser.open(server.url + "#/review").wait_for_app()
    return Surveyor(browser, patience=60)


def verdicts(s):
    return dict(
        s.browser.run(
            "return [...document.querySelectorAll('[data-check]')].map(li => [li.dataset.check, li.querySelector('.panel-title, .review-said').textContent])"
        )
    )


def test_an_untouched_file_and_its_report_pass_offline_and_leave_nothing(server, chromium, sent):
    s = reviewer(chromium, server)
    chromium.wait_for_worker()
    before = chromium.run_async("return (await indexedDB.databases()).map(d => d.name + d.version)")
    server.stop()
    s.give_file("review-file", sent / "survey.zip")
    s.wait_text("All of it holds")
    made = verdicts(s)
    assert list(made) == ["packing", "checksums", "log", "frame", "draw", "tables", "figures", "photos", "rest"]
    assert all(said.endswith(": holds") for said in made.values()), made
    rows = chromium.run("return [...document.querySelectorAll('tr[data-figure]')].map(tr => tr.dataset.figure)")
    assert len(rows) > 50 and "items.total" in rows
    s.give_file("review-report", sent / "report.html")
    s.wait_text("Every number of the report follows from the file")
    assert chromium.run_async("return (await indexedDB.databases()).map(d => d.name + d.version)") == before
    chromium.run("location.hash = '#/'")
    s.wait_for("home-start")
    assert "weir" not in s.screen(), "no survey was taken in"


def test_one_changed_digit_of_a_report_is_named(server, chromium, sent, tmp_path):
    page = (sent / "report.html").read_text()
    found = re.search(r'data-figure="(items.total)">[^<]*?(\d)', page)
    at, digit = found.start(2), found.group(2)
    (tmp_path / "report.html").write_text(page[:at] + ("3" if digit != "3" else "4") + page[at + 1 :])
    s = reviewer(chromium, server)
    s.give_file("review-file", sent / "survey.zip")
    s.wait_for("review-report")
    s.give_file("review-report", tmp_path / "report.html")
    s.wait_text("The report does not follow from the file")
    wrong = chromium.run("return [...document.querySelectorAll('[data-wrong]')].map(li => li.dataset.wrong)")
    assert wrong == ["items.total"]


def test_one_changed_digit_in_the_file_is_found(server, chromium, sent, tmp_path):
    whole = (sent / "survey.zip").read_bytes()
    at = whole.index(b'"items.total"')
    at = next(i for i in range(whole.index(b'"estimate"', at), len(whole)) if chr(whole[i]).isdigit())
    digit = b"3" if whole[at : at + 1] != b"3" else b"4"
    (tmp_path / "survey.zip").write_bytes(whole[:at] + digit + whole[at + 1 :])
    s = reviewer(chromium, server)
    s.give_file("review-file", tmp_path / "survey.zip")
    s.wait_text("It does not hold")
    made = verdicts(s)
    assert any(said.endswith("does not hold") for said in made.values()), made
    assert "figures.json" in s.screen()


def test_a_report_that_compares_with_an_earlier_visit_asks_for_its_file(server, chromium, sent, tmp_path):
    desk("practice", "--boxes", 60, "--seed", 7, "--surveyed", 2, "--visit", 2, "--out", tmp_path / "again")
    again = tmp_path / "again" / "survey.zip"
    desk("report", again, "--earlier", sent / "survey.zip", "--out", tmp_path)
    s = reviewer(chromium, server)
    s.give_file("review-file", again)
    s.wait_for("review-report")
    s.give_file("review-report", tmp_path / "report.html")
    s.wait_text("It compares with an earlier visit")
    # Another file than that visit's is said to be one; with the right one every number is computed again.
    s.give_file("review-earlier", again)
    s.wait_text("The file is of another earlier visit")
    s.give_file("review-report", tmp_path / "report.html")
    s.wait_for("review-earlier")
    s.give_file("review-earlier", sent / "survey.zip")
    s.wait_text("Every number of the report follows from the file")
    # A changed digit of the change itself is found.
    page = (tmp_path / "report.html").read_text()
    at = re.search(r'data-figure="(change[^"]*)">[^<]*?(\d)', page)
    (tmp_path / "report.html").write_text(page[: at.start(2)] + str((int(at[2]) + 1) % 10) + page[at.end(2) :])
    s.give_file("review-report", tmp_path / "report.html")
    s.wait_for("review-earlier")
    s.give_file("review-earlier", sent / "survey.zip")
    s.wait_text("The report does not follow from the file")
    wrong = chromium.run("return [...document.querySelectorAll('[data-wrong]')].map(li => li.dataset.wrong)")
    assert wrong == [at[1]]
