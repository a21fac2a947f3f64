"""What is on this device only, deleting with a way back, and the word about what a browser forgets."""

import datetime

import fieldwork
import harness
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

# The number beside the way to hand over.
COUNT = "return document.querySelector('.only-here')?.dataset.count ?? '0'"


def survey_with_an_answer(browser, url):
    s = at_the_list(browser, url)
    shelf_of(s, 8)
    s.tap("check-outcome-found_opened")
    s.wait_for("check-mould-none")
    wait_saved(s)
    return s, browser.run("return location.hash.match(/[0-9a-f]{32}/)[0]")


def count(browser):
    return int(browser.run(COUNT))


def test_what_is_on_this_device_only_is_counted_and_a_file_carried_away_makes_it_none(server, chromium):
    s, _ = survey_with_an_answer(chromium, server.url)
    kept = len(fieldwork.entries_kept(chromium))
    assert count(chromium) == kept > 5
    s.tap("day-handover")
    s.tap("handover-save")
    chromium.downloaded("quarterlight-*.zip")
    harness.wait_until(lambda: count(chromium) == 0, "nothing to be on this device only")
    s.tap("day-check")
    s.tap("check-next")
    # Mould and animals are one screen, written when both are answered.
    s.tap("check-mould-none")
    s.tap("check-vermin-none")
    s.wait_for("check-odour_box-none")
    wait_saved(s)
    assert count(chromium) == 2
    chromium.driver.refresh()
    s.wait_for("check-odour_box-none")
    harness.wait_until(lambda: count(chromium) == 2, "the count after a reload")


def test_what_a_colleague_s_file_brought_is_not_on_this_device_only(server, new_chromium):
    one, other = new_chromium().emulate(harness.PHONE), new_chromium().emulate(harness.PHONE)
    s, _ = survey_with_an_answer(one, server.url)
    s.tap("day-handover")
    s.tap("handover-save")
    file = one.downloaded("quarterlight-*.zip")
    other.open(server.url).wait_for_app()
    s = Surveyor(other)
    s.give_file("home-open", file)
    s.wait_for("day-check")
    assert count(other) == 0


def zone_where_it_is(hour):
    """A fixed zone in which this moment is in that hour of the day."""
    west = (datetime.datetime.now(datetime.timezone.utc).hour - hour) % 24
    # Etc/GMT+5 is five hours west of Greenwich; zones reach 12 west and 14 east.
    return f"Etc/GMT+{west}" if west <= 12 else f"Etc/GMT-{24 - west}"


def test_in_the_evening_and_not_at_noon_it_asks_for_a_file(server, chromium):
    chromium.cdp("Emulation.setTimezoneOverride", timezoneId=zone_where_it_is(11))
    s, _ = survey_with_an_answer(chromium, server.url)
    s.tap("day-check")
    s.wait_text("Check")
    assert not s.is_there("nudge-file"), "it is late in the morning"
    chromium.cdp("Emulation.setTimezoneOverride", timezoneId=zone_where_it_is(18))
    chromium.driver.refresh()
    s.wait_for("nudge-file")
    assert "on this device only" in s.screen()
    s.tap("day-setup")
    s.tap("setup-go-on")
    s.wait_gone("nudge-file")
    s.tap("day-check")
    s.wait_for("nudge-file")
    s.tap("nudge-later")
    s.wait_gone("nudge-file")
    chromium.driver.refresh()
    s.tap("nudge-file")
    s.tap("handover-save")
    chromium.downloaded("quarterlight-*.zip")
    s.wait_text("was handed to the browser")
    s.tap("day-check")
    s.wait_for("check-next")
    assert not s.is_there("nudge-file"), "everything was carried away"


def test_a_deleted_survey_comes_back_when_asked_and_is_gone_after_the_next_start(server, chromium):
    s, survey = survey_with_an_answer(chromium, server.url)
    before = fieldwork.entries_kept(chromium)
    s.tap("day-handover")
    s.tap("delete")
    s.wait_text("on this device only")
    s.tap("delete-keep")
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for(f"bring-back-{survey}")
    assert not s.is_there(f"survey-{survey}") and not s.is_there("home-go-on")
    assert fieldwork.entries_kept(chromium) == before, "it is off the list, not off the disk"
    chromium.run("location.hash = `#/s/${arguments[0]}/check`", survey)
    s.wait_text("not on this device")
    s.tap("home")
    s.tap(f"bring-back-{survey}")
    s.tap(f"survey-{survey}")
    s.wait_for("day-check")
    assert fieldwork.entries_kept(chromium) == before
    # Deleted again, and the app started anew.
    s.tap("day-handover")
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for(f"bring-back-{survey}")
    chromium.driver.refresh()
    harness.wait_until(lambda: fieldwork.entries_kept(chromium) == [], "the survey to be gone for good")
    chromium.driver.refresh()
    s.wait_for("home-start")
    assert not s.is_there(f"survey-{survey}") and not s.is_there(f"bring-back-{survey}")


def test_while_another_window_is_open_a_start_takes_nothing_for_good(server, chromium):
    s, survey = survey_with_an_answer(chromium, server.url)
    s.tap("day-handover")
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for(f"bring-back-{survey}")
    first = chromium.driver.current_window_handle
    chromium.driver.switch_to.new_window("tab")
    chromium.emulate(harness.PHONE).open(server.url).wait_for_app()
    s.wait_for(f"bring-back-{survey}")
    chromium.driver.switch_to.window(first)
    s.tap(f"bring-back-{survey}")
    s.wait_for(f"survey-{survey}")
    assert fieldwork.entries_kept(chromium)


def test_a_file_of_a_deleted_survey_brings_it_back(server, chromium):
    s, survey = survey_with_an_answer(chromium, server.url)
    s.tap("day-handover")
    s.tap("handover-save")
    file = chromium.downloaded("quarterlight-*.zip")
    s.tap("delete")
    s.tap("delete-yes")
    s.tap("delete-really")
    s.wait_for(f"bring-back-{survey}")
    s.give_file("home-open", file)
    s.wait_for("day-check")
    chromium.driver.refresh()
    s.wait_for("day-check")
    s.tap("home")
    s.wait_for(f"survey-{survey}")


def test_before_the_first_answer_each_engine_says_what_it_may_forget(server, chromium, webkit):
    for browser, words in [(chromium, "when the device runs full"), (webkit, "seven days")]:
        browser.open(server.url).wait_for_app()
        s = Surveyor(browser)
        promised = browser.run_async("return await navigator.storage?.persisted?.() ?? null")
        assert promised is not True, "this browser promised to keep it, so nothing is to be feared"
        assert words in s.text_of("keeping-risk")
        s.tap("home-start")
        s.wait_for("setup-hours")
        assert words in s.text_of("keeping-risk")


# A page that runs from the home screen: the driver cannot put it there, so its answer to the question is given.
STANDALONE = """
const ask = window.matchMedia.bind(window);
window.matchMedia = (query) => (query === "(display-mode: standalone)" ? { matches: true, media: query } : ask(query));
"""


def test_from_the_home_screen_there_is_nothing_to_be_feared(server, chromium):
    chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=STANDALONE)
    chromium.open(server.url).wait_for_app()
    s = Surveyor(chromium)
    s.wait_for("home-start")
    chromium.settle()
    assert not s.is_there("keeping-risk")


# A device with a sheet for sending: what it is given is kept for the test.
SHEET = """
window.sent = [];
navigator.canShare = (data) => data.files?.every((file) => file.type === "application/zip") ?? false;
navigator.share = async (data) => {
  if (window.refuse) throw new DOMException("closed", "AbortError");
  for (const file of data.files) window.sent.push({ name: file.name, bytes: [...new Uint8Array(await file.arrayBuffer())] });
};
"""


def test_the_device_s_own_sheet_gets_the_very_file(server, chromium):
    chromium.cdp("Page.addScriptToEvaluateOnNewDocument", source=SHEET)
    s, _ = survey_with_an_answer(chromium, server.url)
    s.tap("day-handover")
    s.tap("handover-save")
    file = chromium.downloaded("quarterlight-*.zip")
    chromium.run("window.refuse = true")
    s.tap("handover-send")
    s.wait_text("Not sent")
    chromium.run("window.refuse = false")
    s.tap("handover-send")
    s.wait_text("Handed to the other app")
    sent = chromium.run("return window.sent")
    assert [one["name"] for one in sent] == [file.name]
    assert bytes(sent[0]["bytes"]) == file.read_bytes()


def test_without_a_sheet_there_is_no_button_for_it(server, chromium):
    s, _ = survey_with_an_answer(chromium, server.url)
    s.tap("day-handover")
    s.tap("handover-save")
    chromium.downloaded("quarterlight-*.zip")
    s.wait_text("was handed to the browser")
    assert not s.is_there("handover-send")
