"""Sealed files: what the desk seals, another age program opens, and the other way round.

The other programs are rage's Python binding (pyrage, from PyPI), which shares no code with ours, and the format's own
document (C2SP, "The age file encryption format").
"""

import re

import pyrage
import pytest

WORDS = "seven quiet boxes of tape"


@pytest.fixture
def desk(quarterlight):
    return quarterlight


@pytest.fixture
def folder(tmp_path, practised):
    (tmp_path / "words").write_text(WORDS + "\n", encoding="utf-8")
    (tmp_path / "survey.zip").write_bytes(practised.read_bytes())
    return tmp_path


def seal(desk, folder, *more):
    answer = desk("seal", folder / "survey.zip", "--out", folder / "sealed.age", *more)
    assert answer.returncode == 0, answer.stderr
    return answer


def test_what_is_sealed_here_another_program_opens(desk, folder):
    seal(desk, folder, "--passphrase-file", folder / "words")
    sealed = (folder / "sealed.age").read_bytes()
    assert pyrage.passphrase.decrypt(sealed, WORDS) == (folder / "survey.zip").read_bytes()
    assert re.match(rb"age-encryption\.org/v1\n-> scrypt [A-Za-z0-9+/]{22} 15\n", sealed), "the work factor"


def test_what_another_program_sealed_opens_here(desk, folder):
    plain = (folder / "survey.zip").read_bytes()
    for contents in (plain, b"", plain[: 2 * 65536]):
        (folder / "theirs.age").write_bytes(pyrage.passphrase.encrypt(contents, WORDS))
        (folder / "opened").unlink(missing_ok=True)
        answer = desk("unseal", folder / "theirs.age", "--out", folder / "opened", "--passphrase-file", folder / "words")
        assert answer.returncode == 0, answer.stderr
        assert (folder / "opened").read_bytes() == contents


def test_every_command_takes_a_sealed_file_with_its_passphrase_and_not_without(desk, folder):
    seal(desk, folder, "--passphrase-file", folder / "words")
    plain = desk("figures", folder / "survey.zip", "--json")
    for words in (["figures", "--json"], ["verify"]):
        answer = desk(*words, folder / "sealed.age", "--passphrase-file", folder / "words")
        assert answer.returncode == 0, answer.stdout + answer.stderr
        without = desk(*words, folder / "sealed.age")
        assert without.returncode == 2 and "--passphrase-file" in without.stderr
    sealed = desk("figures", "--json", folder / "sealed.age", "--passphrase-file", folder / "words")
    assert sealed.stdout == plain.stdout
    (folder / "words").write_text("another\n", encoding="utf-8")
    wrong = desk("verify", folder / "sealed.age", "--passphrase-file", folder / "words")
    assert wrong.returncode == 2 and "does not fit" in wrong.stderr


def test_a_passphrase_that_is_made_is_printed_once_and_opens_the_file(desk, folder):
    answer = seal(desk, folder)
    made = answer.stdout.strip()
    assert re.fullmatch(r"([bdfghjklmnprstvz][aeio]){2}(-([bdfghjklmnprstvz][aeio]){2}){6}", made)
    assert "nobody can help" in answer.stderr
    assert pyrage.passphrase.decrypt((folder / "sealed.age").read_bytes(), made) == (folder / "survey.zip").read_bytes()


def test_no_file_is_overwritten_and_nothing_is_sealed_twice(desk, folder):
    seal(desk, folder, "--passphrase-file", folder / "words")
    again = desk("seal", folder / "survey.zip", "--out", folder / "sealed.age", "--passphrase-file", folder / "words")
    assert again.returncode == 2
    twice = desk("seal", folder / "sealed.age", "--out", folder / "twice.age", "--passphrase-file", folder / "words")
    assert twice.returncode == 2 and "sealed already" in twice.stderr
