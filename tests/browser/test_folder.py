"""Phones that meet in a team's folder alone: a real Apache httpd with mod_dav, stopped and started in between."""

import random

import fieldwork
import harness
import pytest
import team_folder
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor

PHONES = 4


@pytest.fixture
def team(server, folder):
    team = team_folder.TeamFolder(folder / "team", server.origin)
    yield team
    team.stop()


def to_folder(s, team, password=team_folder.PASSWORD):
    """From anywhere in the survey to the folder's screen, filled in."""
    s.tap("day-handover")
    s.tap("handover-folder")
    s.type_into("folder-address", team.address)
    s.type_into("folder-user", team_folder.USER)
    s.type_into("folder-password", password)


def exchange(s, end="over"):
    """One exchange; gives how many entries are not in the folder after it."""
    s.browser.run("document.querySelectorAll('[data-folder]').forEach((e) => delete e.dataset.folder)")
    s.tap("folder-exchange")
    s.patience = 60
    seen = "const e = document.querySelector('[data-folder]'); return e && [e.dataset.folder, e.dataset.left]"
    ended, left = harness.wait_until(lambda: s.browser.run(seen), "the exchange to end", 60)
    assert ended == end, s.screen()[:1500]
    return int(left)


def kept(browser):
    return {f"{entry['writer']}.{entry['n']}": entry for entry in fieldwork.entries_kept(browser)}


def test_four_phones_meet_in_a_folder_alone(server, team, new_chromium):
    dice = random.Random(4)
    phones = [new_chromium().emulate(harness.PHONE) for _ in range(PHONES)]
    first = at_the_list(phones[0], server.url)
    shelf_of(first, 8)
    wait_saved(first)
    first.tap("day-handover")
    first.tap("handover-save")
    file = phones[0].downloaded("quarterlight-*.zip")
    surveyors = [first]
    for phone in phones[1:]:
        phone.open(server.url).wait_for_app()
        s = Surveyor(phone)
        s.give_file("home-open", file)
        s.wait_for("day-check")
        surveyors.append(s)
    for s in surveyors:
        s.tap("day-check")
        s.tap("check-next")
        s.tap("check-outcome-found_opened")
        s.wait_for("check-mould-none")
        if dice.random() < 0.5:
            s.tap("check-mould-none")
            s.tap("check-vermin-none")
            s.wait_for("check-odour_box-none")
        wait_saved(s)
        to_folder(s, team)
    union = {}
    for phone in phones:
        union.update(kept(phone))
    assert len(union) > len(kept(phones[0])), "the phones have nothing to tell each other"
    # A wrong password is told, and nothing happens.
    surveyors[0].type_into("folder-password", "guessed")
    exchange(surveyors[0], end="broke")
    assert "does not fit" in surveyors[0].screen() and team.parts == []
    surveyors[0].type_into("folder-password", team_folder.PASSWORD)
    # The line is there and gone: whoever meets no server is told so, and loses nothing.
    order = [0, 1, 2, 3, 2, 0, 3, 1]
    for turn, at in enumerate(order):
        if turn in (2, 5):
            team.stop()
            left = exchange(surveyors[at], end="broke")
            assert left > 0 or turn == 5, "what has not gone is not told"
            team.start()
        assert exchange(surveyors[at]) == 0
    for at in range(PHONES):
        assert exchange(surveyors[at]) == 0
    for phone in phones:
        assert kept(phone) == union
        assert phone.refused() == []
    # Nothing was ever put twice, changed or removed.
    puts = [path for method, path, status in team.requests if method == "PUT" and status == "201"]
    assert len(puts) == len(set(puts)) == len(team.parts)
    assert {method for method, _, _ in team.requests} <= {"OPTIONS", "MKCOL", "PROPFIND", "GET", "PUT"}
    sizes = [part.stat().st_size for part in team.parts]
    assert max(sizes) <= 4 << 20


def test_a_cut_upload_goes_on_and_a_changed_part_is_refused_by_name(server, team, new_chromium, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    to_folder(s, team)
    assert exchange(s) == 0
    (part,) = team.parts
    whole = part.read_bytes()
    # The server kept half of it only; the phone does not know.
    part.write_bytes(whole[: len(whole) // 2])
    other = new_chromium().emulate(harness.PHONE)
    s.tap("folder-back")
    s.tap("handover-save")
    file = chromium.downloaded("quarterlight-*.zip")
    other.open(server.url).wait_for_app()
    r = Surveyor(other)
    r.give_file("home-open", file)
    r.wait_for("day-check")
    before = kept(other)
    to_folder(r, team)
    # The other phone has the same entries: it names the remains, and puts the part beside them.
    assert exchange(r) == 0
    assert len(team.parts) == 2 and part.read_bytes() == whole[: len(whole) // 2]
    assert (team.parts[1].read_bytes() == whole) and team.parts[1].name.endswith("-2.part")
    # A made-up part, whole under its name's pattern and with another content.
    forged = part.with_name(part.name.replace(part.name.split("-")[3], "0" * 64))
    forged.write_bytes(whole)
    assert exchange(r) == 0
    assert forged.name in r.screen() and "changed" in r.screen()
    assert kept(other) == before
    # The password was kept nowhere: after a reload it is asked for again.
    other.open(other.driver.current_url)
    other.driver.refresh()
    other.wait_for_app()
    assert r.value_of("folder-password") == "" and r.value_of("folder-address") == team.address


def test_nothing_goes_to_an_address_that_others_could_read(server, chromium):
    s = at_the_list(chromium, server.url)
    shelf_of(s, 8)
    s.tap("day-handover")
    s.tap("handover-folder")
    s.type_into("folder-address", "http://files.example/team")
    s.tap("folder-exchange")
    s.wait_text("https://, so that nobody")
    # The page itself reaches no other host, whatever it tries.
    tried = chromium.run_async("return await fetch('http://127.0.0.1:9/').then(() => 'sent', (fault) => String(fault))")
    assert tried != "sent" and any("connect-src" in line for line in chromium.refused())
