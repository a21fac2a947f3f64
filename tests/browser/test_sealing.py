"""A file sealed on one phone opens on another with its words, and with no others."""

import harness
import pyrage
from fieldwork import at_the_list, shelf_of, wait_saved
from surveyor import Surveyor


def test_a_sealed_file_opens_elsewhere_with_its_words_and_with_no_others(server, new_chromium):
    one, other = new_chromium().emulate(harness.PHONE), new_chromium().emulate(harness.PHONE)
    s = at_the_list(one, server.url)
    shelf_of(s, 8)
    wait_saved(s)
    s.tap("day-handover")
    s.tap("handover-seal")
    made = s.value_of("seal-passphrase")
    s.tap("seal-another")
    harness.wait_until(lambda: s.value_of("seal-passphrase") != made, "another passphrase")
    words = s.value_of("seal-passphrase")
    assert len(words) == 34, "seven words of four letters"
    assert "nobody can make them anew" in s.screen()
    s.tap("handover-save-sealed")
    sealed = one.downloaded("quarterlight-*.zip.age")
    inside = pyrage.passphrase.decrypt(sealed.read_bytes(), words)
    assert inside.startswith(b"PK\x03\x04")
    assert words.encode() not in sealed.read_bytes()
    other.open(server.url).wait_for_app()
    s = Surveyor(other)
    s.give_file("home-open", sealed)
    s.type_into("unseal-passphrase", made)
    s.tap("unseal-open")
    s.wait_text("does not fit")
    s.type_into("unseal-passphrase", words)
    s.tap("unseal-open")
    s.wait_for("day-check")
    harness.wait_until(lambda: "/check" in other.run("return location.hash"), "the survey to open")
    # A reviewer checks the sealed file without taking it in.
    s.tap("day-handover")
    s.give_file("handover-check", sealed)
    s.type_into("unseal-passphrase", words)
    s.tap("unseal-open")
    s.wait_text("Everything in the file follows from its log")
