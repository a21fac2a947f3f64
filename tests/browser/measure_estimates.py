"""What the estimates take in the browser beside a desk: `measure_estimates.py FILE.zip TIMES.tsv`.

The second module as it is released, in Chromium at full speed, is asked what `src/labour/examples/speed.rs` asked at the
desk, whose times are in TIMES.tsv. Run by `cargo xtask bench --browser`. It measures and asserts nothing.
"""

import pathlib
import shutil
import statistics
import sys
import zipfile

import harness

TIMES, MOST = 5, 3
ASKED = ["reading", "fold and figures", "figures", "draws"]

# A worker of its own, told of a whole log, then asked; milliseconds from each question to its answer.
ASK = """
const [survey, lines] = given;
const worker = new Worker(document.querySelector("meta[name=quarterlight-labour]").content);
await new Promise((resolve) => (worker.onmessage = resolve));
const encoder = new TextEncoder();
let id = 0;
const ask = async (known, ask, ...more) => {
  id += 1;
  const parts = [encoder.encode(JSON.stringify({ id, known, ask })), ...more];
  const start = performance.now();
  worker.postMessage(parts, parts.map((part) => part.buffer));
  for (;;) {
    const { data } = await new Promise((resolve) => (worker.onmessage = resolve));
    if (data.fault) throw new Error(data.fault);
    const told = JSON.parse(new TextDecoder().decode(data[0]));
    if (told.what.Refused) throw new Error(told.what.Refused);
    if (told.what === "Done") return performance.now() - start;
  }
};
const taken = [
  await ask({ survey, anew: true }, "Nothing", encoder.encode(lines)),
  await ask(null, "Figures"),
  await ask(null, "Figures"),
  await ask(null, "Outlook"),
];
worker.terminate();
return taken;
"""


def main():
    path, times = map(pathlib.Path, sys.argv[1:])
    desk = dict(line.split("\t") for line in times.read_text().splitlines())
    with zipfile.ZipFile(path) as archive:
        name = next(name for name in archive.namelist() if name.endswith("data/log.ndjson"))
        lines = archive.read(name).decode()
    survey = lines[lines.index('"survey":"') + 10 :][:32]
    folder = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(folder / "profile", folder / "downloads")
    browser.driver.set_script_timeout(300)
    try:
        browser.open(server.url).wait_for_app()
        browser.wait_for_worker()
        taken = [browser.run_async(ASK, survey, lines) for _ in range(TIMES)]
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)
    print(f"\nThe second module in Chromium beside a desk, {lines.count(chr(10))} entries, medians of {TIMES}:")
    for name, ms in zip(ASKED, zip(*taken)):
        here, there = statistics.median(ms), float(desk[name])
        missed = "" if here <= MOST * there else "  MISSED"
        print(f"  {name:<18} {here:8.1f} ms, at a desk {there:8.1f} ms: {here / there:.1f} times (wanted: at most {MOST}){missed}")


if __name__ == "__main__":
    main()
