"""What a tape and a box cost in taps and seconds, counted on the real app over the practice collection: `effort.py`.

The seconds are those of the Keystroke-Level Model (Card, Moran and Newell, "The keystroke-level model for user performance
time with interactive systems", Communications of the ACM 23(7), 1980, 396-410; The Psychology of Human-Computer
Interaction, 1983): K 0.28 s a key for somebody who types 40 words a minute, P 1.10 s to point, H 0.40 s to move the hands
to a device, M 1.35 s to prepare mentally. Looking at the tape is no operator of it and is left out on both sides.

Adaptations, from memory and without a source: a tap is P alone, since it has no separate button; a flick that scrolls is P;
taking up or putting down the phone or the pen is H; a tick with a pen is 0.40 s, a written character 0.50 s.
"""

import math
import shutil
import statistics
import tomllib

import harness
from fieldwork import PLACE, FieldWork
from practice import Practice
from surveyor import Surveyor
from test_journey import set_up

K, P, H, M = 0.28, 1.10, 0.40, 1.35
TICK, WRITTEN = 0.40, 0.50
# What a typist enters for an answer: a code of two keys and the key that goes on; for a name, its own characters.
CODE_KEYS = 3
SERIAL_KEYS = 8

# What is read from a label.
ON_LABEL = {"label", "speed", "tracks", "length_class", "label_base", "date_decade"}

# A median of fewer would hang on which tapes happened to be drawn.
LEAST = {"open reel": 60, "clean cassette": 25}
MARKS = [("open reel", "taps", 12), ("open reel", "seconds", 40), ("clean cassette", "taps", 5), ("box without its count", "taps", 5)]

# How many flicks of four fifths of the window bring the end of the screen, and a thing of this name, into sight.
FLICKS = """
const window_height = innerHeight - (document.querySelector(".dock")?.offsetHeight ?? 0);
const flicks = (distance) => Math.max(0, Math.ceil(distance / (0.8 * window_height)));
const named = [...document.querySelectorAll("[data-tap]")].filter((e) => e.dataset.tap === arguments[0] && e.getClientRects().length);
const inDock = named[0]?.closest(".dock");
const bottom = named.length && !inDock ? named[0].getBoundingClientRect().bottom : 0;
return { to: flicks(bottom - window_height), end: flicks(document.documentElement.scrollHeight - innerHeight - scrollY) };
"""


def own_look():
    """The questions that are looked at one by one on each tape."""
    text = (harness.ROOT / "src" / "tape" / "knowledge" / "item.toml").read_text(encoding="utf-8")
    return {q["key"] for q in tomllib.loads(text)["question"] if q.get("own_look")}


class Effort:
    """What one tape or box cost."""

    def __init__(self):
        self.taps = self.count_taps = self.screens = self.typed = self.flicks = 0

    def seconds(self):
        """Taps, flicks, keys; a thought for every screen; the phone taken up and put down."""
        return (self.taps + self.count_taps + self.flicks) * P + self.typed * K + self.screens * M + 2 * H


class Counted(FieldWork):
    """A surveyor whose taps are counted, and who takes the shortcuts that are true."""

    def __init__(self, surveyor, practice):
        super().__init__(surveyor, practice)
        self.effort, self.alike_keys, self.same, self.same_labels = {}, own_look(), 0, 0

    def here(self):
        """The tape or box the screen is about."""
        place = PLACE.search(self.surveyor.browser.run("return location.hash"))
        if not place:
            return None
        name = f"box {place[2]}" if place[1] == "box" else f"item {place[2]}/{place[3]}"
        return self.effort.setdefault(name, Effort())

    def tap(self, name):
        here = self.here()
        if here:
            here.flicks += self.surveyor.browser.run(FLICKS, name)["to"]
            is_count = name.startswith("check-count-") or (name == "check-done" and self.is_counting)
            here.count_taps += is_count
            here.taps += not is_count
        super().tap(name)

    is_counting = False

    def answer(self, subject, key, value):
        here = self.here()
        here.screens += 1
        if key == "carrier" and self.surveyor.is_there("check-same") and self.is_same(subject):
            self.tap("check-same")
            self.tap("check-same-confirm")
            self.same += 1
            return
        size = self.truth_of(subject, "size") if key == "carrier" and "size" in self.truth(subject) else {}
        if size and self.surveyor.is_there(f"check-kind-{value['one']}-{size['one']}"):
            self.tap(f"check-kind-{value['one']}-{size['one']}")
            self.tapped.update({(subject, "carrier"): value, (subject, "size"): size})
            return
        self.is_counting = key == "count"
        super().answer(subject, key, value)
        if self.is_counting:
            # Each kind: its field is tapped and the number typed.
            here.count_taps += len(value.get("counts", ()))
            here.typed += sum(len(str(n)) for n in value.get("counts", {}).values())
        self.is_counting = False

    def truth(self, subject):
        box, position = subject.split(" ")[1].split("/")
        return self.practice.boxes[self.row_of[box]]["items"][int(position) - 1]["answers"]

    def answer_together(self, look, subject):
        here = self.here()
        here.screens += 1
        if "check-label-cant_tell" in look["names"] and "check-same-confirm" in look["names"] and self.is_same(subject, ON_LABEL):
            self.tap("check-same-confirm")
            self.same_labels += 1
            if not any(f"check-{key}-cant_tell" in look["names"] for key in self.alike_keys):
                return
            # The signs of the same look are still to be marked.
            self.surveyor.wait_gone("check-label-cant_tell")
            look = self.look()
        # However little is marked: all of it was read once.
        here.flicks += self.surveyor.browser.run(FLICKS, "")["end"]
        before = here.flicks
        super().answer_together(look, subject)
        here.flicks = before

    def is_same(self, subject, of=None):
        """Whether the tape before says the same of these questions, or of everything that is not looked at one by one."""
        box, position = subject.split(" ")[1].split("/")
        done = [int(name.split("/")[1]) for name in self.items_done if name.split("/")[0] == box]
        if not done or max(done) > int(position):
            return False
        items = self.practice.boxes[self.row_of[box]]["items"]
        one, two = (items[p - 1]["answers"] for p in (max(done), int(position)))
        keys = of or (set(one) | set(two)) - self.alike_keys
        return all(one.get(key) == two.get(key) and "cant_tell" not in str(one.get(key)) for key in keys)


def on_paper(answers):
    """Seconds for the same answers on a form, the pen taken up and put down, and typed in afterwards."""
    form = 2 * H + SERIAL_KEYS * WRITTEN
    typed = SERIAL_KEYS * K + M
    for value in answers.values():
        written = len(value["text"]) if "text" in value else 0
        marks = len(value.get("many", "1"))
        form += M + marks * (P + TICK) + written * WRITTEN
        typed += M + (marks * CODE_KEYS + written) * K
    return form, typed


def main():
    folder = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(folder / "profile", folder / "downloads").emulate(harness.PHONE)
    try:
        practice = Practice(folder / "practice")
        browser.open(server.url).wait_for_app()
        work = Counted(Surveyor(browser), practice)
        set_up(work, practice, "The mill")
        work.effort.clear()
        work.work(lambda work: all(len(grouped(work, practice)[0][group]) >= least for group, least in LEAST.items()))
        report(work, practice)
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


def grouped(work, practice):
    """What each kind of tape or box cost here, and on paper."""
    groups = {"open reel": [], "clean cassette": [], "other tape": [], "box without its count": []}
    papers = {name: [] for name in groups}
    nothing = {"none", "flat", "even", "no_free_end", "leaves", "nobody_knows"}
    for name, effort in work.effort.items():
        box, _, position = name.split(" ")[1].partition("/")
        truth = practice.boxes[work.row_of[box]]
        if not position:
            if box in work.boxes_done and truth["answers"].get("outcome") == {"one": "found_opened"}:
                answers = {key: value for key, value in truth["answers"].items() if key not in ("count", "fullness")}
                groups["box without its count"].append(effort)
                papers["box without its count"].append(on_paper(answers))
            continue
        if name.split(" ")[1] not in work.items_done:
            continue
        answers = truth["items"][int(position) - 1]["answers"]
        carrier = answers["carrier"]["one"]
        signs = {key: set(answers[key].get("many") or [answers[key].get("one")]) for key in work.alike_keys & set(answers)}
        is_clean = all(values <= nothing for values in signs.values())
        group = "open reel" if carrier.startswith("reel") else "clean cassette" if carrier == "cassette" and is_clean else "other tape"
        groups[group].append(effort)
        papers[group].append(on_paper(answers))
    return groups, papers


def report(work, practice):
    groups, papers = grouped(work, practice)
    print(f"{len(work.effort)} boxes and tapes of the practice collection; the same as the last tape: {work.same} times, its label alone: {work.same_labels}\n")
    columns = ["n", "taps", "flicks", "screens", "keys", "s here", "s form", "s typed", "s paper"]
    print(f"{'median of':<24}" + "".join(f"{column:>9}" for column in columns))
    medians = {}
    for group, efforts in groups.items():
        if not efforts:
            continue
        of = lambda measure: statistics.median(measure(effort) for effort in efforts)  # noqa: E731
        form, typed = (statistics.median(paper[i] for paper in papers[group]) for i in (0, 1))
        medians[group] = {"taps": of(lambda e: e.taps), "seconds": of(Effort.seconds)}
        numbers = [of(lambda e: e.taps), of(lambda e: e.flicks), of(lambda e: e.screens), of(lambda e: e.typed)]
        times = [medians[group]["seconds"], form, typed, form + typed]
        print(f"{group:<24}{len(efforts):>9}" + "".join(f"{n:>9.1f}" for n in numbers + times))
    print()
    for group, measure, most in MARKS:
        found = medians.get(group, {}).get(measure, math.nan)
        print(f"{'met' if found <= most else 'MISSED':<8}{group}: {found:.1f} {measure}, at most {most}")


if __name__ == "__main__":
    main()
