"""What all Python tests share: the word --long, and the mark for tests that wait for it."""

import pytest


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="also what takes longer than a change should wait")


def pytest_configure(config):
    config.addinivalue_line("markers", "long: runs only with --long")
    config.addinivalue_line("markers", "xdist_group: tests that one process runs, one after the other")


# What tests/browser/test_journey.py brings home is looked at in tests/handover.
ONE_AFTER_THE_OTHER = "the journey and its file"


def group_of(path):
    return ONE_AFTER_THE_OTHER if path.parent.name == "handover" or path.name == "test_journey.py" else path.name


def pytest_collection_modifyitems(config, items):
    for item in items:
        item.add_marker(pytest.mark.xdist_group(group_of(item.path)))
    if config.getoption("--long"):
        return
    for item in items:
        if "long" in item.keywords:
            item.add_marker(pytest.mark.skip(reason="takes long: cargo xtask test --long runs it"))
