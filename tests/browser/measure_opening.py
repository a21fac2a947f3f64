"""How soon a long survey opens and answers: `measure_opening.py FILE.zip ...`, each beside the truth.json it was made with.

Chromium at a quarter of this machine's speed, the server stopped. Made by `quarterlight practice --entries N`; run by
`cargo xtask bench --browser` on the app as it is released. It measures and asserts nothing: times belong to a machine.
"""

import pathlib
import shutil
import statistics
import sys
import zipfile

import harness
from fieldwork import FieldWork, serial
from practice import Practice
from surveyor import Surveyor

SLOWER = 4
OPENINGS = 5
ANSWERS = 200
WRITES = 40
# What is wanted: milliseconds, by what is measured; usable by the number of entries.
USABLE = [(10_500, 1_000), (105_000, 2_000)]
PAINTED_P95, DURABLE_OVER_RAW, LONGEST = 50, 10, 100

# A second thread that reads the database: when it finds an entry, the strict transaction that wrote it is complete, whether
# or not the page has had time to hear so.
WATCH = """
const opened = new Promise((resolve) => {
  const asked = indexedDB.open("quarterlight");
  asked.onsuccess = () => resolve(asked.result);
});
addEventListener("message", async ({ data: { id, key } }) => {
  const database = await opened;
  for (;;) {
    const asked = database.transaction("entries").objectStore("entries").getKey(key);
    const found = await new Promise((resolve) => (asked.onsuccess = () => resolve(asked.result)));
    if (found) break;
  }
  postMessage({ id, now: performance.timeOrigin + performance.now() });
});
"""

# Notes, before any script of the page runs: when the checking can first be seen, long tasks, and for each click when the
# next screen was painted, when its strict transaction was complete and when the page heard so.
NOTE = """
const watch = () => new Worker(URL.createObjectURL(new Blob([`""" + WATCH + """`], { type: "text/javascript" })));
window.measured = { usable: null, taps: [], longest: 0, longs: [], clicks: [] };
(() => {
  const noted = window.measured;
  const paint = new MessageChannel();
  let waiting = [];
  paint.port1.onmessage = () => {
    const now = performance.now();
    for (const note of waiting.splice(0)) note(now);
  };
  // A frame is painted after its callbacks; the message comes after it.
  const painted = (note) => {
    waiting.push(note);
    paint.port2.postMessage(null);
  };
  const shown = () => {
    const all = [...document.querySelectorAll("main [data-tap]")].map((e) => e.dataset.tap).join();
    return location.hash + (document.querySelector("h1")?.textContent ?? "") + all;
  };
  const usable = () => {
    if (document.querySelector("[data-tap^=check-begin], [data-tap=check-next]")) painted((now) => (noted.usable ??= now));
    else requestAnimationFrame(usable);
  };
  requestAnimationFrame(usable);
  // What is compared is read between the taps, and after a tap only when the page has changed: reading costs time too.
  let tap = null;
  let rest = shown();
  let resting = 0;
  addEventListener(
    "click",
    (event) => {
      tap = { at: event.timeStamp, before: rest, painted: null, durable: null, heard: null, changed: false };
    },
    true,
  );
  const changed = () => {
    clearTimeout(resting);
    resting = setTimeout(() => (rest = shown()), 100);
    const here = tap;
    if (!here || here.changed || performance.now() - here.at > 5000 || shown() === here.before) return;
    here.changed = true;
    requestAnimationFrame(() =>
      painted((now) => {
        here.painted = now - here.at;
        noted.taps.push(here);
      }),
    );
  };
  const anything = { subtree: true, childList: true, characterData: true, attributes: true };
  new MutationObserver(changed).observe(document, anything);
  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const transaction = begin.call(this, stores, mode, options);
    if (mode === "readwrite" && [stores].flat().includes("entries")) {
      const of = tap;
      transaction.addEventListener("complete", () => {
        if (of) of.heard = performance.now() - of.at;
      });
    }
    return transaction;
  };
  const watched = [];
  // Not before somebody taps: opening is measured without it.
  let watcher = null;
  const add = IDBObjectStore.prototype.add;
  IDBObjectStore.prototype.add = function (value, ...rest) {
    const asked = add.call(this, value, ...rest);
    if (this.name === "entries" && tap) {
      watcher ??= Object.assign(watch(), { onmessage: found });
      watcher.postMessage({ id: watched.length, key: [value.survey, value.writer, value.n] });
      watched.push(tap);
    }
    return asked;
  };
  const found = ({ data: { id, now } }) => {
    const of = watched[id];
    of.durable = Math.max(of.durable ?? 0, now - performance.timeOrigin - of.at);
  };
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) noted.longs.push([entry.startTime, entry.duration]);
  }).observe({ type: "longtask", buffered: true });
  // Where the time of a tap goes: until its listeners are called, and until they and what they set off have ended.
  new PerformanceObserver((list) => {
    for (const { name, startTime, processingStart, processingEnd } of list.getEntries())
      if (name === "click") noted.clicks.push([startTime, processingStart - startTime, processingEnd - processingStart]);
  }).observe({ type: "event", durationThreshold: 16, buffered: true });
})();
"""

# One strict write of a record as large as an entry, this many times: from the call to its completion.
RAW_WRITES = """
const asked = indexedDB.open("quarterlight-raw-write", 1);
asked.onupgradeneeded = () => asked.result.createObjectStore("entries", { keyPath: "n" });
const database = await new Promise((resolve) => (asked.onsuccess = () => resolve(asked.result)));
const times = [];
for (let n = 0; n < given[0]; n += 1) {
  const start = performance.now();
  const writing = database.transaction("entries", "readwrite", { durability: "strict" });
  writing.objectStore("entries").put({ n, bytes: new Uint8Array(250) });
  await new Promise((resolve) => (writing.oncomplete = resolve));
  times.push(performance.now() - start);
  await new Promise((resolve) => setTimeout(resolve, 20));
}
database.close();
indexedDB.deleteDatabase("quarterlight-raw-write");
return times;
"""

# The same work in every hour: a shared machine is not always as quick, and this says how quick it was.
FIXED_WORK = """
const start = performance.now();
let last = 1;
for (let n = 0; n < 1e8; n += 1) last = (Math.imul(last, 1664525) + 1013904223) | 0;
return [performance.now() - start, last][0];
"""

SNAPSHOT_BYTES = """
const asked = indexedDB.open("quarterlight");
const database = await new Promise((resolve) => (asked.onsuccess = () => resolve(asked.result)));
const all = database.transaction("snapshots").objectStore("snapshots").getAll();
const found = await new Promise((resolve) => (all.onsuccess = () => resolve(all.result)));
database.close();
return found.reduce((sum, one) => sum + one.bytes.length, 0);
"""


class Unhurried(FieldWork):
    """Looks at the screen only when it has long been painted, so that the looking costs the measured tap nothing."""

    def tap(self, name):
        super().tap(name)
        self.surveyor.browser.run_async("await new Promise((resolve) => setTimeout(resolve, 250))")


def entries_of(path):
    with zipfile.ZipFile(path) as archive:
        name = next(name for name in archive.namelist() if name.endswith("data/log.ndjson"))
        return archive.read(name).count(b"\n")


def percentile(values, share):
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def wanted(value, most):
    return f"{value:7.0f} ms  (wanted: at most {most:.0f}){'' if value <= most else '  MISSED'}"


def open_checking(browser, at_check):
    """The app started anew at the checking; when that could be seen, milliseconds from the start of the navigation."""
    browser.open("about:blank")
    browser.open(at_check)
    return harness.wait_until(lambda: browser.run("return window.measured?.usable"), "the checking", 120)


def measure(path):
    n_entries = entries_of(path)
    folder = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(folder / "profile", folder / "downloads").emulate(harness.PHONE)
    browser.driver.set_script_timeout(300)
    try:
        browser.open(server.url).wait_for_app()
        browser.wait_for_worker()
        s = Surveyor(browser, patience=600)
        s.give_file("home-open", path)
        s.wait_for("day-check")
        survey = browser.run("return location.hash.split('/')[2]")
        at_check = f"{server.url}#/s/{survey}/check"
        snapshot = harness.wait_until(lambda: browser.run_async(SNAPSHOT_BYTES), "the snapshot", 600)
        server.stop()
        # The app's policy refuses workers of other scripts than its own.
        browser.cdp("Page.setBypassCSP", enabled=True)
        browser.cdp("Page.addScriptToEvaluateOnNewDocument", source=NOTE)
        browser.slow_down(SLOWER)
        usable = [open_checking(browser, at_check) for _ in range(OPENINGS)]
        longs = browser.run("return window.measured.longs")

        s.patience = 60
        begin = next((name for name in s.names_on_screen() if name.startswith("check-begin-")), None)
        if begin:
            s.tap(begin)
        s.wait_for("check-next")
        work = Unhurried(s, Practice(path.parent))
        work.row_of = {serial(row): row for row in work.practice.boxes}
        browser.run("window.measured.taps.length = window.measured.longs.length = window.measured.clicks.length = 0")
        start = browser.run("return performance.now()")
        answered = lambda: browser.run("return window.measured.taps.filter((tap) => tap.durable !== null).length")
        work.work(lambda _: False, until=lambda _: answered() >= ANSWERS)
        taps = browser.run("return window.measured.taps")
        clicks = {round(at): rest for at, *rest in browser.run("return window.measured.clicks")}
        session = [length for at, length in browser.run("return window.measured.longs") if at >= start]
        raw = statistics.median(browser.run_async(RAW_WRITES, WRITES))
        fixed = statistics.median(browser.run(FIXED_WORK) for _ in range(3))
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)

    painted = [tap["painted"] for tap in taps]
    parts = [(*clicks[at], tap["painted"] - sum(clicks[at])) for tap in taps if (at := round(tap["at"])) in clicks]
    durable, heard = ([tap[name] for tap in taps if tap[name] is not None] for name in ("durable", "heard"))
    most = next((ms for up_to, ms in USABLE if n_entries <= up_to), USABLE[-1][1])
    print(f"\n{n_entries} entries, snapshot of {snapshot / 1e6:.1f} MB; a fixed piece of work took {fixed:.0f} ms in this hour")
    print(f"  usable, median of {OPENINGS}           {wanted(statistics.median(usable), most)}")
    print(f"    each {', '.join(f'{ms:.0f}' for ms in usable)}; tasks over 50 ms of the last: "
          + (", ".join(f"{length:.0f} at {at:.0f}" for at, length in longs) or "none"))
    print(f"  tap to next screen painted, median {statistics.median(painted):7.0f} ms  ({len(painted)} taps)")
    print(f"  the same, p95                      {wanted(percentile(painted, 0.95), PAINTED_P95)}")
    for share, name in [(0.5, "median"), (0.95, "p95")]:
        waited, script, rest = (percentile([part[k] for part in parts], share) for k in range(3))
        print(f"    {name:<6} of {len(parts)}: until heard {waited:.0f}, the app's own script {script:.0f}, then style, layout and "
              f"paint {rest:.0f} ms")
    print(f"  tap to durable, median             {wanted(statistics.median(durable), raw + DURABLE_OVER_RAW)}; "
          f"a raw strict write {raw:.0f}; p95 {percentile(durable, 0.95):.0f}")
    print(f"  the same, heard by the page, median{statistics.median(heard):8.0f} ms")
    print(f"  longest task of the session        {wanted(max(session, default=0), LONGEST)}; over 50 ms: {len(session)}")


def main():
    files = [pathlib.Path(word).resolve() for word in sys.argv[1:]]
    if not files:
        sys.exit(__doc__)
    print(f"Chromium at 1/{SLOWER} of this machine's speed, without a server; {ANSWERS} answers.")
    for path in files:
        measure(path)


if __name__ == "__main__":
    main()
