"""One day from an empty form to a file that checks out, with no network and a browser that dies in between.

A scripted surveyor who knows the truth about an invented collection does what a person does: reads the question on the
screen, taps the answer, goes where the app says. What was tapped is kept beside the app and compared with what it kept.
"""

import hashlib
import json
import shutil
import subprocess
import types
import zipfile

import fieldwork
import harness
import pytest
from fieldwork import FieldWork
from practice import Practice
from surveyor import Surveyor

SEED = "3 1 4 1 5 2 6 5 3 5"
# The one place whose boxes are counted along the shelf; the others come as a pasted list.
COUNTED = "Meeting room, cupboards"
BOXES, ITEMS = 24, 100
# What this day's browser exported, for the other programs in tests/handover.
BROUGHT_HOME = harness.ROOT / "target" / "brought-home.zip"


def set_up(work, practice, title):
    """From the empty home screen to a drawn sample."""
    s = work.surveyor
    pasted = [place["place"] for place in practice.places if place["place"] != COUNTED]
    work.begin(title)
    s.tap("setup-place-list")
    work.take_list(practice.list_of(pasted))
    work.listed(practice.rows_of(pasted))
    s.tap("day-setup")
    go_to(s, "places")
    # The list named three groups beside the one that every survey begins with: S4 is the last of them.
    work.add_place(COUNTED, group_key="S4")
    s.tap("setup-go-on")
    counted = practice.rows_of([COUNTED])
    work.count_shelf("P7", len(counted))
    work.listed(counted)
    s.tap("setup-other-places")
    s.wait_text(f"{len(practice.boxes)} boxes")
    s.tap("setup-go-on")
    s.tap("setup-close")
    s.wait_for("setup-seal")
    s.tap("setup-to-sample")
    work.draw(SEED, 4)


def the_screen_itself(browser):
    """The words between the head and the foot of the page: the head says what is on this device only."""
    return browser.run("return document.querySelector('main').innerText")


def go_to(surveyor, screen):
    """By the address, as a bookmark would."""
    surveyor.browser.run("location.hash = location.hash.replace(/setup.*$/, 'setup/' + arguments[0])", screen)


def in_the_middle_of_a_tape(work):
    """Some boxes are done, and a tape has been begun: its carrier is told, its next question is on the screen."""
    asked = work.asked(work.look())
    return len(work.boxes_done) >= 9 and asked and asked[0].startswith("item") and asked[1] in ("light", "back", "shape")


@pytest.fixture(scope="module")
def day():
    BROUGHT_HOME.unlink(missing_ok=True)
    folder = harness.fresh_folder()
    server = harness.Server()
    browser = harness.Chromium(folder / "profile", folder / "downloads").emulate(harness.PHONE)
    try:
        practice = Practice(folder / "practice")
        work = FieldWork(Surveyor(browser), practice)
        browser.open(server.url).wait_for_app()
        browser.wait_for_worker()
        set_up(work, practice, "The mill")
        asked_before = len(server.requests)
        server.stop()
        browser.driver.refresh()
        browser.wait_for_app()
        work.work(lambda work: False, until=in_the_middle_of_a_tape)

        # The battery dies with one answer tapped and not yet called saved.
        work.wait_saved()
        subject, key = work.asked(work.look())
        before_death = dict(work.saved)
        work.answer(subject, key, work.truth_of(subject, key))
        browser.kill()
        last = (subject, key)
        browser.start().emulate(harness.PHONE).open(server.url).wait_for_app()
        kept = fieldwork.entries_kept(browser)
        missing = work.missing(kept)
        last_was_kept = last in fieldwork.answers_that_count(kept)
        if not last_was_kept:
            del work.tapped[last]
        work.surveyor.wait_for("home-go-on")
        after, taps = work.go_on()

        work.work(lambda work: len(work.boxes_done) >= BOXES and len(work.items_done) >= ITEMS and work.round_is_over())
        work.wait_saved()
        kept_at_end = fieldwork.entries_kept(browser)

        s = work.surveyor
        s.tap("day-results")
        s.wait_for("results-to-handover")
        results = the_screen_itself(browser)
        s.tap("results-to-handover")
        s.tap("handover-save")
        file = browser.downloaded("quarterlight-*.zip")
        shutil.copy(file, BROUGHT_HOME)
        yield types.SimpleNamespace(
            work=work,
            browser=browser,
            server=server,
            asked_while_gone=server.requests[asked_before:],
            before_death=before_death,
            missing=missing,
            last=last,
            last_was_kept=last_was_kept,
            after=after,
            taps=taps,
            kept_at_end=kept_at_end,
            results=results,
            file=file,
            folder=folder,
        )
    finally:
        browser.close()
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


def inside(file):
    """The files of a survey file, by their names without the base folder."""
    with zipfile.ZipFile(file) as archive:
        return {name.split("/", 1)[1]: archive.read(name) for name in archive.namelist()}


def desk(*words):
    return subprocess.run([str(harness.DESK), *map(str, words)], capture_output=True, text=True)


def test_enough_was_done_without_the_server(day):
    assert len(day.work.boxes_done) >= BOXES and len(day.work.items_done) >= ITEMS
    assert day.work.quick_looks > 5, "the quick look was hardly used"
    assert day.asked_while_gone == []
    with pytest.raises(Exception, match="(?i)failed|refused|network"):
        day.browser.run_async("return (await fetch('never-kept.txt?' + Math.random())).status")


def test_nothing_called_saved_was_lost_when_the_browser_was_killed(day):
    assert len(day.before_death) > 150, "the browser died before much was saved"
    assert day.missing == {}


def test_after_the_kill_the_app_leads_back_to_the_same_question(day):
    subject, key = day.last
    if day.last_was_kept:
        assert day.after[0] == subject and day.after[1] != key
    else:
        assert day.after == (subject, key)
    assert day.taps == 1


def test_leaving_and_returning_comes_back_to_the_very_same_place(day):
    address = day.browser.run("return location.hash")
    day.browser.open("about:blank")
    day.browser.open(day.server.url).wait_for_app()
    day.work.surveyor.tap("home-go-on")
    harness.wait_until(lambda: day.browser.run("return location.hash") == address, "the same place")


def test_everything_tapped_is_in_the_log_as_it_was_tapped(day):
    assert day.work.missing(day.kept_at_end) == {}
    in_log = fieldwork.answers_that_count(day.kept_at_end)
    about_boxes = {name for name in in_log if name[0].startswith(("box ", "item "))}
    assert about_boxes == set(day.work.tapped), "the app wrote an answer that nobody tapped"


def test_the_file_holds_the_log_of_the_database(day):
    lines = inside(day.file)["data/log.ndjson"].decode("utf-8").splitlines()
    in_file = {(entry["writer"], entry["n"]) for entry in map(json.loads, lines)}
    in_database = {(entry["writer"], entry["n"]) for entry in day.kept_at_end}
    assert in_file == in_database


def test_the_desk_finds_the_same_figures_to_the_last_digit(day):
    of_browser = inside(day.file)["data/figures.json"].decode("utf-8")
    answer = desk("figures", day.file, "--json")
    assert answer.returncode == 0, answer.stderr
    assert json.loads(of_browser) == json.loads(answer.stdout)
    assert of_browser.strip() == answer.stdout.strip()
    assert len(json.loads(of_browser)["headline"]) > 20


def test_the_desk_accepts_the_file(day):
    answer = desk("verify", day.file)
    assert answer.returncode == 0, answer.stdout + answer.stderr


def test_the_screen_shows_the_figures_of_the_file(day):
    """Large numbers are said with three digits on the screen; all digits are in the file."""
    total = json.loads(inside(day.file)["data/figures.json"])["headline"]["items.total"]
    for value in (total["estimate"], total["low"], total["high"]):
        said = f"{float(f'{value:.3g}'):,.0f}"
        assert said in day.results, f"{value} is nowhere on the screen:\n{day.results[:800]}"


def test_another_device_takes_the_file_in_and_finds_the_same(day, serve, new_chromium):
    server, other = serve(), new_chromium().emulate(harness.PHONE)
    other.open(server.url).wait_for_app()
    s = Surveyor(other)
    s.give_file("home-open", day.file)
    s.wait_for("day-results")
    harness.wait_until(lambda: "/check" in other.run("return location.hash"), "the survey to open")
    s.tap("day-results")
    s.wait_for("results-to-handover")
    assert the_screen_itself(other) == day.results
    s.tap("results-to-handover")
    s.tap("handover-save")
    again = other.downloaded("quarterlight-*.zip")
    ours, theirs = inside(day.file), inside(again)
    assert ours["data/log.ndjson"] == theirs["data/log.ndjson"]
    assert ours["data/figures.json"] == theirs["data/figures.json"]
    assert desk("figures", again, "--json").stdout == desk("figures", day.file, "--json").stdout


def rank(seed, purpose, group, name):
    return hashlib.sha256("\n".join(["quarterlight-rank-1", seed, purpose, group, name]).encode()).hexdigest()


def draw_again(seed, size, groups):
    """Rounds of (group, box): rank by hash, two of each group first, then always the group that lags most behind."""
    order = {group: sorted(boxes, key=lambda box: rank(seed, "boxes", group, box)) for group, boxes in groups.items()}
    total = sum(map(len, order.values()))
    taken = {group: min(2, len(boxes)) for group, boxes in order.items()}
    rounds, current = [], [(group, box) for group in sorted(order) for box in order[group][: taken[group]]]
    while True:
        if len(current) >= size:
            rounds.append(current)
            current = []
        unfinished = [group for group in order if taken[group] < len(order[group])]
        if not unfinished:
            return rounds + ([current] if current else [])
        drawn = sum(taken.values())
        lag = {group: (drawn + 1) * len(order[group]) - taken[group] * total for group in unfinished}
        group = min(unfinished, key=lambda group: (-lag[group], group))
        current.append((group, order[group][taken[group]]))
        taken[group] += 1


def test_the_draw_can_be_done_again_from_the_log_in_a_few_lines(day):
    files = inside(day.file)
    record = json.loads(files["data/draw.json"])
    draw = record["draw"]
    entries = [json.loads(line) for line in files["data/log.ndjson"].decode("utf-8").splitlines()]
    group_of = {entry["key"]: entry["stratum"] for entry in entries if entry["kind"] == "place"}
    groups = {}
    for entry in entries:
        if entry["kind"] == "boxes":
            groups.setdefault(group_of[entry["place"]], []).extend(box["serial"] for box in entry["boxes"])
    listed = sorted((box, group) for group, boxes in groups.items() for box in boxes)
    frame = "quarterlight-frame-1\n" + "".join(f"{group}\t{box}\n" for box, group in listed)
    assert hashlib.sha256(frame.encode()).hexdigest() == record["frame"]["digest"]
    assert draw["seed"] == SEED
    rounds = draw_again(SEED, draw["round_size"], groups)
    said = [(box["round"], box["stratum"], box["serial"], box["rank"]) for box in draw["boxes"]]
    ours = [(n, g, box, rank(SEED, "boxes", g, box)) for n, boxes in enumerate(rounds, 1) for g, box in boxes]
    assert said == ours
    first = {box for boxes in rounds[: len(day.work.rounds_done)] for _, box in boxes}
    assert first == day.work.boxes_done, "the boxes that were checked are not those of the first rounds"
    for box in draw["items"]:
        ranked = sorted(
            range(1, box["n_items"] + 1),
            key=lambda position: rank(SEED, "items", box["stratum"], f"{box['serial']}/{position}"),
        )
        assert box["drawn"] == sorted(ranked[: draw["items_per_box"]])
    checked = {f"{box['serial']}/{position}" for box in draw["items"] for position in box["drawn"]}
    assert checked == day.work.items_done


def test_a_short_day_in_the_webkit_engine(serve, webkit, folder):
    server = serve()
    practice = Practice(folder / "practice", boxes=90)
    work = FieldWork(Surveyor(webkit), practice)
    webkit.open(server.url).wait_for_app()
    webkit.wait_for_worker()
    set_up(work, practice, "The mill, a few boxes")
    server.stop()
    webkit.driver.refresh()
    webkit.wait_for_app()
    work.work(lambda work: work.round_is_over())
    work.wait_saved()
    assert len(work.boxes_done) >= 6
    webkit.driver.refresh()
    webkit.wait_for_app()
    assert work.missing(fieldwork.entries_kept(webkit)) == {}
    s = work.surveyor
    s.tap("day-results")
    s.wait_for("results-to-handover")
    assert "boxes" in s.screen()


def test_the_comparison_can_fail(day):
    """The control: with one saved answer taken away or altered, the comparison says which."""
    entries = [entry for entry in day.kept_at_end if entry["kind"] == "answer" and entry["of"].startswith("item")]
    victim = entries[len(entries) // 2]
    without = [entry for entry in day.kept_at_end if entry is not victim]
    assert set(day.work.missing(without)) == {(victim["of"], victim["q"])}
    altered = [entry | {"a": {"one": "something_else"}} if entry is victim else entry for entry in day.kept_at_end]
    assert set(day.work.missing(altered)) == {(victim["of"], victim["q"])}
