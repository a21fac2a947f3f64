"""The browser dies at random moments of a day's checking, over and over: what was called saved is there.

`cargo xtask torture --kills N` runs it as long as wanted. A SIGKILL loses what the browser has not handed to the
operating system; a power cut would lose what the disk has not either, which no test here can do: that every tap asks
the disk to write (`fdatasync`) is as far as the last check goes.
"""

import collections
import os
import random
import re
import subprocess
import threading
import time

import fieldwork
import harness
import pytest
from fieldwork import FieldWork, at_the_list, shelf_of, wait_saved
from practice import Practice
from selenium.common.exceptions import WebDriverException
from surveyor import Surveyor

KILLS = int(os.environ.get("QUARTERLIGHT_KILLS", "20"))
# The shortest and the longest life of the browser, seconds from its first tap.
LIFE = (0.05, 4.0)


def set_up(work, practice):
    """One pasted list, drawn, the first round begun."""
    s = work.surveyor
    places = [place["place"] for place in practice.places]
    work.begin("The mill, torn")
    s.tap("setup-place-list")
    work.take_list(practice.list_of(places))
    work.listed(practice.rows_of(places))
    s.browser.run("location.hash = location.hash.replace(/setup.*$/, 'setup/close')")
    s.tap("setup-close")
    s.tap("setup-to-sample")
    work.draw("4 4 2", 4)
    work.wait_saved()


# A database that is made anew was lost by the browser: it says so to whoever makes it.
MADE_ANEW = """
(() => {
  window.databasesMade = [];
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (...given) {
    const asked = open.apply(this, given);
    asked.addEventListener("upgradeneeded", ({ oldVersion, dataLoss, dataLossMessage }) =>
      window.databasesMade.push([given[0], "from version", oldVersion, "lost:", dataLoss, dataLossMessage].join(" ")),
    );
    return asked;
  };
})();
"""


def words_of_the_database(browser):
    """What the browser's own database wrote of itself, and which files it has."""
    folders = list(browser.profile.glob("*/IndexedDB/*.leveldb"))
    files = [path for folder in folders for path in sorted(folder.iterdir())]
    listed = "\n".join(f"{path.name} {path.stat().st_size}" for path in files)
    texts = [path for path in files if path.name.startswith("LOG") or path.suffix == ".json"]
    return listed + "".join(f"\n{path.name}:\n{path.read_text(errors='replace')}" for path in texts)


def after_the_death(work, left_behind=""):
    """The entries that are there when the app has come up again, and whether the browser had lost any."""
    browser = work.surveyor.browser
    made = browser.run("return window.databasesMade")
    if not made:
        return fieldwork.entries_kept(browser), False
    # Told with what the browser's own database wrote of itself: why it was lost is what we want to know.
    print(
        f"the browser lost its database; made anew: {made}\n"
        f"dead, it had:\n{left_behind}\nnow it has:\n{words_of_the_database(browser)}",
        flush=True,
    )
    work.surveyor.wait_for("lost")
    work.surveyor.tap("lost-read")
    return fieldwork.entries_kept(browser), True


def check_what_is_kept(work, entries, practice):
    """Everything called saved is there; everything there is the truth; every writer's numbers have no hole."""
    missing = work.missing(entries)
    assert not missing, f"{len(missing)} answers called saved are gone, or are others: {missing}"
    numbers = collections.defaultdict(list)
    for entry in entries:
        numbers[entry["writer"]].append(entry["n"])
    for writer, found in numbers.items():
        assert sorted(found) == list(range(len(found))), f"writer {writer} has a hole"
    kept = fieldwork.answers_that_count(entries)
    for (subject, key), value in kept.items():
        if subject.startswith(("box ", "item ")):
            assert fieldwork.same(value, work.truth_of(subject, key)), f"{subject}, {key}: nobody tapped {value}"
    return kept


def agree(work, kept):
    """What was tapped and not called saved may be there or not: from here on it is as the browser has it."""
    about = {name: value for name, value in kept.items() if name[0].startswith(("box ", "item "))}
    unsure = set(work.tapped) - set(about)
    work.tapped, work.saved = dict(about), dict(about)
    return len(unsure)


def at_work_until(work, moment, end):
    """Works until `end` is called at that moment, in the middle of whatever is going on."""
    ended = threading.Event()

    def now():
        end()
        ended.set()

    timer = threading.Timer(moment, now)
    timer.start()
    try:
        while not ended.is_set():
            look = work.look()
            if "home-go-on" in look["names"]:
                work.tap("home-go-on")
                work.next_look(look)
            work.work(lambda _: False, until=lambda _: ended.is_set())
    except (WebDriverException, AssertionError, AttributeError, OSError, ConnectionError) as fault:
        # The fault must be the death of the browser, and nothing that came before it.
        assert ended.wait(30), f"something else went wrong: {fault}"
    except Exception as fault:  # noqa: BLE001 - the driver's own client throws what its socket threw
        assert "onnection" in repr(fault) or "Max retries" in repr(fault), repr(fault)
        assert ended.wait(30)
    timer.join()


def test_killed_over_and_over_in_the_middle_of_checking(server, new_chromium, folder):
    dice = random.Random(os.environ.get("QUARTERLIGHT_SEED", "torture"))
    practice = Practice(folder / "practice")
    browser = new_chromium().emulate(harness.PHONE)
    work = FieldWork(Surveyor(browser), practice)
    browser.open(server.url).wait_for_app()
    browser.wait_for_worker()
    set_up(work, practice)
    unsure, n_lost, start = 0, 0, time.monotonic()
    for kill in range(1, KILLS + 1):
        saved_before = len(work.saved)
        at_work_until(work, dice.uniform(*LIFE), browser.kill)
        left_behind = words_of_the_database(browser)
        browser.start().emulate(harness.PHONE)
        browser.cdp("Page.addScriptToEvaluateOnNewDocument", source=MADE_ANEW)
        browser.open(server.url).wait_for_app()
        entries, is_lost = after_the_death(work, left_behind)
        kept = check_what_is_kept(work, entries, practice)
        unsure += agree(work, kept)
        if is_lost:
            n_lost += 1
            # Where the work was went with it.
            browser.open(f"{server.url}#/s/{entries[0]['survey']}/check").wait_for_app()
        if kill % 50 == 0 or kill == KILLS:
            print(
                f"{kill} kills: {len(work.saved)} answers kept, {unsure} tapped and not yet called saved were lost, "
                f"{n_lost} databases were lost by the browser and brought back, "
                f"{len({e['writer'] for e in entries})} sessions, {time.monotonic() - start:.0f} s",
                flush=True,
            )
        assert len(work.saved) >= saved_before
    assert len(work.saved) > KILLS, "hardly anything was answered between the deaths"
    # The desk folds the same log anew: no gap, no contradiction, every figure.
    s = work.surveyor
    s.tap("home-go-on")
    s.tap("day-handover")
    s.tap("handover-save")
    file = browser.downloaded("quarterlight-*.zip", 120)
    answer = subprocess.run([str(harness.DESK), "verify", str(file)], capture_output=True, text=True)
    assert answer.returncode == 0, answer.stdout + answer.stderr


def test_a_page_that_crashes_loses_nothing_that_was_called_saved(server, chromium, folder):
    practice = Practice(folder / "practice")
    work = FieldWork(Surveyor(chromium), practice)
    chromium.open(server.url).wait_for_app()
    set_up(work, practice)
    for _ in range(3):
        keeper = chromium.driver.current_window_handle
        # The crash is asked for by a timer of the page's own, so that work goes on until it comes.
        at_work_until(work, 1.0, lambda: crash(chromium))
        others = [handle for handle in chromium.driver.window_handles if handle != keeper]
        chromium.driver.switch_to.window(others[0]) if others else chromium.driver.switch_to.new_window("tab")
        chromium.emulate(harness.PHONE)
        chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=MADE_ANEW)
        chromium.open(server.url).wait_for_app()
        entries, _ = after_the_death(work)
        agree(work, check_what_is_kept(work, entries, practice))
    assert len(work.saved) > 3


def renderers(browser):
    """The processes that run this browser's pages."""
    parents = set(browser.processes())
    found = []
    for pid in os.listdir("/proc"):
        try:
            if pid.isdigit():
                words = open(f"/proc/{pid}/cmdline", "rb").read().split(b"\0")
                group = os.getpgid(int(pid))
                if b"--type=renderer" in words and group in {os.getpgid(parent) for parent in parents}:
                    found.append(int(pid))
        except OSError:
            continue
    return found


def crash(browser):
    """Kills what runs the page, and leaves the browser."""
    for pid in renderers(browser):
        os.kill(pid, 9)


def test_every_answered_screen_asks_the_disk_to_write(server, chromium, folder):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    trace = folder / "trace"
    traced = [word for pid in chromium.processes() for word in ("-p", str(pid))]
    # With the paths, since a browser writes other things too, whenever it likes.
    command = [harness.found_program("strace"), "-f", "-y", "-e", "trace=fsync,fdatasync", "-o", str(trace), *traced]
    tracer = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)

    def calls():
        return len(re.findall(r"\bf(?:data)?sync\(\d+<[^>]*IndexedDB[^>]*>", trace.read_text(errors="replace")))

    try:
        harness.wait_until(lambda: "attached" in (tracer.stderr.readline() or ""), "strace to hold the browser")
        time.sleep(1)
        quiet = calls()
        time.sleep(3)
        assert calls() == quiet, "the database is written while nobody taps, so nothing would be shown"
        # Mould and animals are one screen, written when both are answered.
        for names in (["outcome-found_opened"], ["mould-none", "vermin-none"], ["odour_box-none"]):
            before = calls()
            for name in names:
                s.tap(f"check-{name}")
            s.wait_gone(f"check-{names[-1]}")
            wait_saved(s)
            assert calls() > before, f"{names} was called saved, and the disk was not asked"
    finally:
        tracer.terminate()
        tracer.wait()
