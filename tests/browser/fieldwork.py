"""A day's work in the app, tapped in from the truth: what the surveyor tapped is kept beside what the app says it kept."""

import json
import re

import harness
from selenium.common.exceptions import ElementClickInterceptedException, StaleElementReferenceException
from selenium.webdriver.common.keys import Keys
from surveyor import Surveyor

# What one look at the screen takes in.
LOOK = """
const visible = [...document.querySelectorAll("[data-tap]")].filter((e) => e.getClientRects().length);
return {
  hash: location.hash,
  names: visible.map((e) => e.dataset.tap),
  mark: document.querySelector("[data-tap=save-mark]")?.dataset.state ?? null,
  title: document.querySelector("h1")?.innerText ?? "",
  here: document.querySelector(".here")?.innerText ?? "",
};
"""

# Where in the checking the address is: a box, or a tape of it.
PLACE = re.compile(r"/check/(box|item)/([0-9-]+)(?:/(\d+))?")

# Answers that go with no other: one tap answers the question.
ALONE = {"none", "flat", "even", "nothing", "cant_tell", "photographed"}

# The kinds of carrier that are counted without opening the list of rarer ones.
COMMON = ("reel_quarter", "cassette", "microcassette")

# The one thing of a name that can be tapped now, brought into sight; nothing if it is not there yet.
FIND = """
const named = [...document.querySelectorAll("[data-tap]")].filter((e) => e.dataset.tap === arguments[0]);
const ready = named.filter((e) => e.getClientRects().length && !e.disabled);
ready[0]?.scrollIntoView({ block: "center", behavior: "instant" });
return ready.length === 1 ? ready[0] : null;
"""

READ_ENTRIES = """
const database = await new Promise((resolve, reject) => {
  const asked = indexedDB.open("quarterlight");
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
try {
  const all = database.transaction("entries").objectStore("entries").getAll();
  const records = await new Promise((resolve, reject) => {
    all.onsuccess = () => resolve(all.result);
    all.onerror = () => reject(all.error);
  });
  return records.map((record) => new TextDecoder().decode(record.bytes));
} finally {
  database.close();
}
"""


def entries_kept(browser):
    """Every entry in the browser's own database, as it would be found by anyone."""
    return [json.loads(line) for line in browser.run_async(READ_ENTRIES)]


def answers_that_count(entries):
    """The answers that nothing undoes and nothing takes the place of, by subject and question."""
    undone = {entry["of"] for entry in entries if entry["kind"] == "undo"}
    counting = [entry for entry in entries if f"{entry['writer']}.{entry['n']}" not in undone]
    replaced = {name for entry in counting for name in entry.get("instead", ())}
    return {
        (entry["of"], entry["q"]): entry["a"]
        for entry in counting
        if entry["kind"] == "answer" and f"{entry['writer']}.{entry['n']}" not in replaced
    }


def at_the_list(browser, url):
    """A fresh survey, at the screen that takes a list."""
    browser.open(url).wait_for_app()
    s = Surveyor(browser)
    s.tap("home-start")
    s.wait_for("setup-hours")
    browser.run("location.hash = location.hash.replace(/setup.*$/, 'setup/boxes/list')")
    s.wait_for("setup-list-text")
    return s


def wait_saved(s):
    harness.wait_until(lambda: s.browser.run(LOOK)["mark"] == "saved", "the word saved")


def shelf_of(s, n):
    """A survey with one place of `n` boxes, drawn and begun."""
    s.paste_into("setup-list-text", "place,label\n" + "".join(f"Attic,A {k}\n" for k in range(1, n + 1)))
    s.tap("setup-list-take")
    s.wait_for("setup-list-undo")
    s.browser.run("location.hash = location.hash.replace(/setup.*$/, 'setup/close')")
    s.tap("setup-close")
    s.tap("setup-to-sample")
    s.type_into("sample-seed", "4 4 2")
    s.tap("sample-draw")
    s.tap("sample-begin")
    s.tap("check-next")


def fill_number(s, test_id, n):
    element = s.wait_for(test_id)
    s.browser.run("arguments[0].focus(); arguments[0].select()", element)
    element.send_keys(str(n) + Keys.ENTER)
    harness.wait_until(lambda: element.get_property("value") == str(n), f"{n} in {test_id}")


class FieldWork:
    """One survey of the practice collection."""

    def __init__(self, surveyor, practice):
        self.surveyor, self.practice = surveyor, practice
        self.keys = practice.questions()
        # Row of the list by serial: the app gives serials in the order boxes are listed.
        self.row_of = {}
        # What was tapped, and of that what the screen has called saved since.
        self.tapped, self.saved, self.quick_looks = {}, {}, 0
        self.boxes_done, self.items_done, self.rounds_done = set(), set(), set()

    # Set up and draw.

    def begin(self, title):
        s = self.surveyor
        s.tap("home-start")
        s.tap("setup-go-on")
        s.type_into("setup-title", title)
        s.type_into("setup-person", "Practice surveyor")
        s.tap("setup-go-on")
        s.wait_for("setup-scope-originals")
        s.tap("setup-go-on")
        s.wait_for("setup-before-permission")
        s.tap("setup-go-on")
        s.wait_for("setup-place-name")

    def add_group(self, name):
        s = self.surveyor
        if not s.is_there("setup-group-name"):
            s.tap("setup-groups")
        s.type_into("setup-group-name", name)
        s.tap("setup-group-add")
        s.wait_text(name)

    def add_place(self, name, group_key=None):
        s = self.surveyor
        s.type_into("setup-place-name", name)
        if group_key:
            s.tap(f"setup-place-group-{group_key}")
        s.tap("setup-place-add")
        s.wait_text(name)

    def take_list(self, text):
        """Pastes a list; the caller says which rows it holds with `listed`."""
        s = self.surveyor
        s.paste_into("setup-list-text", text)
        s.tap("setup-list-take")
        s.wait_for("setup-list-undo")

    def listed(self, rows):
        """These rows of the practice list were listed now, in this order."""
        start = len(self.row_of)
        for number, row in enumerate(rows, start + 1):
            self.row_of[serial(number)] = row

    def count_shelf(self, place_key, n):
        """Boxes counted along a shelf: no labels, serials only."""
        s = self.surveyor
        s.tap(f"setup-place-{place_key}")
        s.tap("setup-several-open")
        fill_number(self.surveyor, "setup-several", n)
        s.tap("setup-several-add")

    def draw(self, seed, items):
        s = self.surveyor
        s.tap("sample-source-dice")
        s.type_into("sample-seed", seed)
        s.tap(f"sample-items-{items}")
        s.tap("sample-draw")
        s.tap("sample-begin")
        # A reload may come next, and only what is called saved is sure to be there after it.
        s.wait_for("check-next")
        self.wait_saved()

    # Check.

    def look(self):
        return self.surveyor.browser.run(LOOK)

    def tap(self, name):
        """A click of the driver as always; two thousand of them are found in one step instead of five."""
        try:
            element = self.surveyor.browser.run(FIND, name)
            if element is not None:
                return element.click()
        except (ElementClickInterceptedException, StaleElementReferenceException):
            # The page was still scrolling to its heading, or its screen was just put in place: wait, as a person would.
            pass
        self.surveyor.tap(name)

    def asked(self, look):
        """The subject and the question on the screen; nothing where no question is."""
        place = PLACE.search(look["hash"])
        if not place:
            return None
        subject = f"box {place[2]}" if place[1] == "box" else f"item {place[2]}/{place[3]}"
        for key in self.keys:
            if any(name.startswith(f"check-{key}-") for name in look["names"]):
                return subject, key
        return None

    def truth_of(self, subject, key):
        """What the surveyor sees there."""
        kind, name = subject.split(" ")
        box = self.practice.boxes[self.row_of[name.split("/")[0]]]
        answers = box["answers"] if kind == "box" else box["items"][int(name.split("/")[1]) - 1]["answers"]
        assert answers is not None and key in answers, f"the app asks {key} of {subject}, of which nothing can be seen"
        return answers[key]

    def answer(self, subject, key, value):
        """Gives an answer by taps alone; where several questions are put together, all of them."""
        s = self.surveyor
        if s.is_there("check-explain"):
            return self.answer_together(self.look(), subject)
        if "one" in value:
            self.tap(f"check-{key}-{value['one']}")
        elif "many" in value:
            for choice in value["many"]:
                self.tap(f"check-{key}-{choice}")
            if not (len(value["many"]) == 1 and value["many"][0] in ALONE):
                self.tap("check-done")
        elif "counts" in value:
            rare = [carrier for carrier in value["counts"] if carrier not in COMMON]
            if rare and not s.is_there(f"check-count-{rare[0]}"):
                self.tap("check-count-others")
            for carrier, n in value["counts"].items():
                fill_number(self.surveyor, f"check-count-{carrier}", n)
            self.tap("check-done")
        elif "number" in value:
            for digit in str(int(value["number"])):
                self.tap(f"check-{key}-{digit}")
            self.tap(f"check-{key}-done")
        self.tapped[subject, key] = value

    def answer_together(self, look, subject):
        """Marks what is there of several questions, and says that the rest is not."""
        keys = [key for key in self.keys if any(name.startswith(f"check-{key}-") for name in look["names"])]
        serial_of, _, position = subject.split(" ")[1].partition("/")
        box = self.practice.boxes[self.row_of[serial_of]]
        truth = box["items"][int(position) - 1]["answers"] if position else box["answers"]
        # What the label does not say is on the screen and has no truth.
        seen = {key: truth[key] for key in keys if key in truth}
        marks = 0
        for key, value in seen.items():
            for choice in value.get("many") or [value["one"]]:
                if choice != "none" and f"check-{key}-{choice}" in look["names"]:
                    self.tap(f"check-{key}-{choice}")
                    marks += 1
        is_label = "label" in keys
        # Mould is told at once: nothing else is looked for then.
        if seen.get("mould", {}).get("one") not in ("seen", "suspected"):
            self.tap("check-done" if is_label else "check-quick-look")
        self.tapped.update({(subject, key): value for key, value in seen.items()})
        self.quick_looks += bool(position) and not is_label and not marks

    def shown(self, look):
        """What tells one screen from another. Not the address: it changes a moment before the screen does."""
        asked = self.asked(look)
        return asked and asked[1], look["title"], look["here"]

    def next_look(self, before):
        """The screen once it is another one than before."""

        def another():
            look = self.look()
            if not look["title"] or self.shown(look) == self.shown(before):
                return None
            # A clean tape's sheet is passed on the way to the next tape: the screen that stays counts.
            return look if self.shown(self.look()) == self.shown(look) else None

        look = harness.wait_until(another, f"the screen after {self.shown(before)}")
        self.note_saved(look)
        return look

    def note_saved(self, look):
        if look["mark"] == "saved":
            self.saved.update(self.tapped)

    def wait_saved(self):
        """Waits until the screen says that everything is saved."""
        harness.wait_until(lambda: self.look()["mark"] == "saved", "the word saved")
        self.saved.update(self.tapped)

    def go_on(self):
        """From the home screen to the next open question by the app's own ways on; gives it and the taps it took."""
        look, taps = self.look(), 0
        while not self.asked(look):
            ways = [name for name in ("home-go-on", "check-onward", "check-next") if name in look["names"]]
            assert ways, f"no way on at {look}"
            self.tap(ways[0])
            taps += 1
            look = self.next_look(look)
        return self.asked(look), taps

    def round_is_over(self):
        return "check-results" in self.look()["names"]

    def work(self, enough, until=None):
        """Goes where the app says and answers what it asks, until `enough(self)` at a round's end or `until(self)`."""
        look = self.look()
        while not (until and until(self)):
            asked = self.asked(look)
            self.note_left(look)
            if asked:
                if "check-explain" in look["names"]:
                    self.answer_together(look, asked[0])
                else:
                    self.answer(*asked, self.truth_of(*asked))
            elif "check-onward" in look["names"]:
                self.note_end(look)
                self.tap(self.addition(look) or "check-onward")
            elif "check-next" in look["names"]:
                self.tap("check-next")
            elif "check-results" in look["names"]:
                self.rounds_done.add(len(self.rounds_done) + 1)
                if enough(self):
                    return
                begin = next(name for name in look["names"] if name.startswith("check-begin-"))
                self.tap(begin)
            else:
                raise AssertionError(f"no way on at {look}\n{self.surveyor.screen()[:1500]}")
            look = self.next_look(look)

    def addition(self, look):
        """A question that may be left out, which this surveyor answers of every third box."""
        place = PLACE.search(look["hash"])
        row = self.row_of[place[2]]
        if place[1] == "item" or row % 3:
            return None
        answers = self.practice.boxes[row]["answers"]
        return next((name for name in look["names"] if name.startswith("check-add-") and name[10:] in answers), None)

    def note_left(self, look):
        """A tape that shows nothing ends without its sheet: the next tape of its box begins."""
        place = PLACE.search(look["hash"])
        here = f"{place[2]}/{place[3]}" if place and place[1] == "item" else None
        if here and self.tape not in (None, here) and self.tape.split("/")[0] == place[2] and "check-before" in look["names"]:
            self.items_done.add(self.tape)
        self.tape = here

    tape = None

    def note_end(self, look):
        place = PLACE.search(look["hash"])
        if place[1] == "box":
            self.boxes_done.add(place[2])
        else:
            self.items_done.add(f"{place[2]}/{place[3]}")

    # What was kept.

    def missing(self, entries):
        """Answers that the screen had called saved and that are not among these entries as they were tapped."""
        kept = answers_that_count(entries)
        return {name: (value, kept.get(name)) for name, value in self.saved.items() if not same(kept.get(name), value)}


def same(left, right):
    """Whether two answers are the same; the marks of a question have no order."""
    if left is None or right is None:
        return left is right
    if "many" in left and "many" in right:
        return set(left["many"]) == set(right["many"])
    return left == right


def serial(number):
    """A box's serial with its check digit: ISO/IEC 7064 MOD 11,10, written down here anew."""
    digits = f"{number:04d}"
    product = 10
    for digit in digits:
        total = (product + int(digit)) % 10 or 10
        product = total * 2 % 11
    return f"{digits}-{(11 - product) % 10}"
