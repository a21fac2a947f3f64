"""What the app takes of a device's memory: `measure_memory.py PHOTOGRAPHED.zip ENTRIES.zip`.

First a survey with several hundred photographs is taken in and carried away again, at once and once more in the app opened
anew, at the full speed of this machine and beside `sha256sum` and `zip -0` on the same files; then a day's checking is
done, shortened: blocks of answers without a pause, an hour each. Memory is the proportional set size of the process that
the page runs in, its workers included. Run by `cargo xtask bench --browser` on the app as it is released, without its
server. It measures and asserts nothing.
"""

import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import threading
import time
import zipfile

import harness
from fieldwork import FieldWork, serial
from practice import Practice
from surveyor import Surveyor

HOURS = 8
ANSWERS_AN_HOUR = 150
# What is wanted: a share of the other programs' rate, megabytes at most, a share of the first hour's memory.
OF_THEIR_RATE, EXPORT_MB, GROWTH = 0.5, 300, 1.2


def proportional_mb(pid):
    """Megabytes of a process, what it shares counted in parts; nothing once it is gone."""
    try:
        text = pathlib.Path(f"/proc/{pid}/smaps_rollup").read_text()
    except (FileNotFoundError, ProcessLookupError):
        return None
    return next(int(line.split()[1]) / 1024 for line in text.splitlines() if line.startswith("Pss:"))


def page_process(browser):
    """The process of the page: of those in the browser's own group that draw, the largest."""
    groups = {os.getpgid(pid) for pid in browser.processes()}
    drawing = []
    for entry in pathlib.Path("/proc").iterdir():
        try:
            pid = int(entry.name) if entry.name.isdigit() else 0
            if pid and os.getpgid(pid) in groups and b"--type=renderer" in (entry / "cmdline").read_bytes():
                drawing.append(pid)
        except OSError:
            continue
    return max(drawing, key=lambda pid: proportional_mb(pid) or 0)


def readings(pid):
    """Five, a second apart: what was cleared up is given back a little later."""
    for _ in range(5):
        time.sleep(1)
        yield proportional_mb(pid)


class Watched:
    """The most memory that a process has while something is done."""

    def __init__(self, pid):
        self.pid, self.most, self.ended = pid, 0, threading.Event()

    def __enter__(self):
        self.before = proportional_mb(self.pid)
        self.thread = threading.Thread(target=self.watch)
        self.thread.start()
        return self

    def watch(self):
        while not self.ended.wait(0.05):
            self.most = max(self.most, proportional_mb(self.pid) or 0)

    def __exit__(self, *_):
        self.ended.set()
        self.thread.join()


def others_seconds(path, folder):
    """`sha256sum`, then `zip -0`, on the files of this one; nothing where they are not installed."""
    if not (shutil.which("sha256sum") and shutil.which("zip")):
        return None
    inside = folder / "inside"
    with zipfile.ZipFile(path) as archive:
        archive.extractall(inside)
    names = sorted(str(name.relative_to(inside)) for name in inside.rglob("*") if name.is_file())
    start = time.monotonic()
    subprocess.run(["sha256sum", *names], cwd=inside, stdout=subprocess.DEVNULL, check=True)
    subprocess.run(["zip", "-0", "-q", str(folder / "others.zip"), *names], cwd=inside, check=True)
    return time.monotonic() - start


def opened(browser, server, path):
    """The app with this survey on it, and the seconds from choosing its file to seeing it, beside the memory that took."""
    browser.open(server.url).wait_for_app()
    browser.wait_for_worker()
    s = Surveyor(browser, patience=900)
    with Watched(page_process(browser)) as watched:
        start = time.monotonic()
        s.give_file("home-open", path)
        s.wait_for("day-check")
        seconds = time.monotonic() - start
    return s, seconds, watched


def verdict(is_met):
    return "" if is_met else "  MISSED"


def carried_away(s):
    """The open survey's file saved: its size in bytes, the seconds from the tap until it lies there, the memory it took."""
    s.tap("day-handover")
    with Watched(page_process(s.browser)) as carrying:
        start = time.monotonic()
        s.tap("handover-save")
        saved = s.browser.downloaded("*.zip", 600)
        seconds = time.monotonic() - start
    size = saved.stat().st_size
    saved.unlink()
    return size, seconds, carrying


def measure_export(path):
    folder = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(folder / "profile", folder / "downloads").emulate(harness.PHONE)
    try:
        s, seconds, taking_in = opened(browser, server, path)
        server.stop()
        at_once = carried_away(s)
        browser.close()
        browser.start().emulate(harness.PHONE).open(server.url).wait_for_app()
        s.tap("home-go-on")
        another_day = carried_away(s)
        theirs = others_seconds(path, folder)
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)

    with zipfile.ZipFile(path) as archive:
        n_photos = sum("/photos/" in name for name in archive.namelist())
    megabytes = path.stat().st_size / 1e6
    print(f"\n{n_photos} photographs, a file of {megabytes:.0f} MB")
    print(f"  taking it in                       {seconds:7.1f} s, memory at most {taking_in.most:.0f} MB")
    for when, (size, taken, carrying) in (("at once after that", at_once), ("in the app opened anew", another_day)):
        print(f"  carrying it away, {when:22} {taken:6.1f} s, {size / 1e6:.0f} MB, {size / 1e6 / taken:.0f} MB/s")
        if theirs is None:
            print("    sha256sum and zip are not installed: no rate to compare with")
        else:
            rate = theirs / taken
            print(f"    sha256sum and zip -0: {theirs:.1f} s; rate {rate:.2f} of theirs "
                  f"(wanted: at least {OF_THEIR_RATE}){verdict(rate >= OF_THEIR_RATE)}")
        print(f"    memory at most {carrying.most:.0f} MB, {carrying.before:.0f} before "
              f"(wanted: at most {EXPORT_MB}){verdict(carrying.most <= EXPORT_MB)}")


def measure_day(path):
    folder = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(folder / "profile", folder / "downloads").emulate(harness.PHONE)
    try:
        s, _, _ = opened(browser, server, path)
        server.stop()
        begin = next((name for name in s.names_on_screen() if name.startswith("check-begin-")), None)
        if begin:
            s.tap(begin)
        s.wait_for("check-next")
        work = FieldWork(s, Practice(path.parent))
        work.row_of = {serial(row): row for row in work.practice.boxes}
        hours = []
        for hour in range(1, HOURS + 1):
            work.work(lambda _: False, until=lambda work: len(work.tapped) >= hour * ANSWERS_AN_HOUR)
            browser.let_go()
            browser.cdp("HeapProfiler.collectGarbage")
            hours.append(statistics.median(readings(page_process(browser))))
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)

    growth = hours[-1] / hours[0]
    print(f"\nA day of {HOURS} hours, each of {ANSWERS_AN_HOUR} answers: memory after each, MB")
    print("  " + ", ".join(f"{mb:.0f}" for mb in hours))
    print(f"  the last over the first {growth:.2f} (wanted: at most {GROWTH}){verdict(growth <= GROWTH)}")


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    photographed, entries = (pathlib.Path(word).resolve() for word in sys.argv[1:])
    measure_export(photographed)
    measure_day(entries)


if __name__ == "__main__":
    main()
