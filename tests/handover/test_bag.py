"""The reference validator of BagIt (bagit, Library of Congress) accepts the file, and refuses a changed one."""

import bagit
import pytest


def test_bagit_accepts(unpacked):
    bag = bagit.Bag(str(unpacked))
    bag.validate()
    assert bag.version == "1.0"
    assert set(bag.algorithms) == {"sha256"}
    assert bag.info["Quarterlight-Format"] == "1"
    assert not list(bag.missing_optional_tagfiles())


@pytest.mark.parametrize("name", ["data/log.ndjson", "bag-info.txt"])
def test_bagit_refuses_a_changed_file(unpacked, name):
    path = unpacked / name
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(unpacked)).validate()
