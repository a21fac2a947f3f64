"""The second copy where it is hard: thousands of taps, two windows, a disk that refuses it, a locked survey's twin."""

import json

import fieldwork
import harness
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor
from test_locking import lock, open_it
from test_second_copy import (
    COPIES,
    PUT,
    REMOVE_ALL,
    TWINS,
    copied,
    database_of,
    frame_of,
    frames,
    is_loss_told,
    kept,
    started_again,
    take_away,
    told,
    wait_copied,
)
from test_storage import practice_lines
from test_windows import Windows

# More than the worker leaves side by side.
SESSIONS = 40


def test_thousands_of_taps_in_many_sessions_come_back_and_become_one_file(server, chromium, folder):
    lines = practice_lines(folder, "--boxes", "60", "--entries", "4000")
    survey = json.loads(lines[0])["survey"]
    chromium.open(server.url + "trap.css")
    for session in range(SESSIONS):
        own = b"".join(frame_of([line]) for line in lines[session::SESSIONS])
        chromium.run_async(PUT, survey, f"{session}-taps", list(own))
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    assert f"{len(lines):,} entries were missing" in told(s)
    assert kept(chromium) == sorted(lines)
    s.tap("lost-read")
    s.tap(f"survey-{survey}")
    harness.wait_until(lambda: len(chromium.run_async(COPIES)[survey]) == 1, "one file of many")
    assert sorted(copied(chromium)) == sorted(lines)


def test_of_two_windows_every_answer_is_copied_while_one_takes_in_a_file(server, new_chromium, folder):
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    wait_saved(s)
    windows = Windows(chromium)
    windows.open_another()
    other = windows.at(1)
    practice_lines(folder)
    chromium.open(server.url).wait_for_app()
    other.give_file("home-open", folder / "made" / "survey.zip")
    # While the other window takes it in, this one is answered.
    s = windows.at(0)
    s.tap("check-mould-none")
    s.tap("check-vermin-none")
    s.wait_for("check-odour_box-none")
    wait_saved(s)
    windows.at(1).wait_for("day-handover")
    # And the survey that was taken in is answered here, while the first goes on there.
    before = wait_copied(chromium)
    windows.at(0).tap("check-odour_box-none")
    wait_saved(s)
    after = wait_copied(chromium)
    assert set(before) < set(after) and len({json.loads(line)["survey"] for line in after}) == 2
    chromium.kill()
    take_away(database_of(chromium))
    s = started_again(chromium, server.url)
    told(s)
    assert kept(chromium) == after


def test_the_window_that_is_left_copies_what_the_other_did_not(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    before = wait_copied(chromium)
    windows = Windows(chromium)
    windows.open_another()
    windows.at(1).wait_for("write-here")
    chromium.run_async(REMOVE_ALL)
    assert copied(chromium) == []
    # The one that wrote is closed before it did anything about it.
    windows.at(0)
    chromium.driver.close()
    windows.at(1).wait_gone("write-here")
    assert wait_copied(chromium) == before


# Put before the worker's own script: the place takes nothing more from the third transaction on.
FULL = """{
  const write = FileSystemSyncAccessHandle.prototype.write;
  let left = 2;
  FileSystemSyncAccessHandle.prototype.write = function (...given) {
    left -= 1;
    if (left < 0) throw new DOMException("no room", "QuotaExceededError");
    return write.apply(this, given);
  };
}
"""


def test_where_the_disk_refuses_the_copy_answers_are_kept_and_it_says_so(serve, folder, new_chromium):
    site = harness.copy_of_site(folder)
    script = (site / "second.js").read_text()
    (site / "second.js").write_text(FULL + script)
    server = serve(dist=site)
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    for name in ("outcome-found_opened", "mould-none", "vermin-none"):
        s.tap(f"check-{name}")
    s.wait_for("check-odour_box-none")
    wait_saved(s)
    where, before = s.driver.current_url, kept(chromium)
    assert len(copied(chromium)) < len(before), "the copy lacks something"
    s.tap("device")
    s.wait_text("could not be written")
    assert "no room" in s.text_of("trial-copy")
    # With room again the copy is filled up when the survey is next opened, and nothing is told as lost.
    (site / "second.js").write_text(script)
    chromium.open("about:blank")
    chromium.open(where).wait_for_app()
    s.wait_for("check-odour_box-none")
    assert wait_copied(chromium) == before
    assert not is_loss_told(chromium)
    s.tap("device")
    s.wait_text("A second copy of every answer is kept")


def test_a_locked_surveys_twin_comes_back_locked(server, new_chromium):
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_gone("check-outcome-found_opened")
    wait_saved(s)
    lines, where = wait_copied(chromium), s.driver.current_url
    last = json.loads(lines[-1])
    twin = lines[-1].replace(f'"at":{last["at"]}', f'"at":{last["at"] + 1}')
    assert twin != lines[-1]
    # As a phone that was restored from a backup writes: another entry under a number that is taken.
    chromium.open(server.url + "trap.css")
    chromium.run_async(PUT, last["survey"], "1-restored", list(frame_of([twin])))
    chromium.open(where).wait_for_app()
    harness.wait_until(lambda: chromium.run_async(TWINS, "twins") == [twin], "the twin to come in")
    s.wait_for("check-mould-none")
    lock(s)

    def sealed():
        files = [bytes(data) for files in chromium.run_async(COPIES).values() for data in files.values()]
        return [text for data in files for records in frames(data)[0] for _, _, text in records]

    harness.wait_until(lambda: len(sealed()) == len(lines) + 1, "all of it, the twin too, to be copied anew")
    assert not any(text.startswith(b"{") for text in sealed())
    before = sorted(sealed())
    chromium.kill()
    take_away(database_of(chromium))
    s = started_again(chromium, where)
    told(s)
    open_it(s, "plum orchard, kept apart")
    s.wait_for("check-mould-none")
    harness.wait_until(lambda: len(chromium.run_async(TWINS, "twins")) == 1, "the twin")
    assert sorted(sealed()) == before, "nothing is copied twice"


# Put before the worker's own script: bringing back takes its time.
SLOW = """{
  const listen = self.addEventListener;
  self.addEventListener = (kind, hear) =>
    listen.call(self, kind, (event) => (event.data?.act === "restore" ? setTimeout(hear, 3000, event) : hear(event)));
}
"""


def test_while_a_long_survey_is_brought_back_it_says_so(serve, folder, new_chromium):
    site = harness.copy_of_site(folder)
    (site / "second.js").write_text(SLOW + (site / "second.js").read_text())
    server = serve(dist=site)
    chromium = new_chromium().emulate(harness.PHONE)
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    before = wait_copied(chromium)
    chromium.kill()
    take_away(database_of(chromium))
    s = started_again(chromium, server.url)
    s.wait_text("Answers are being brought back")
    assert not s.is_there("lost-read") and not kept(chromium)
    assert f"{len(before)} entries were missing" in told(s)
    assert kept(chromium) == before
