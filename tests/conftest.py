"""What all Python tests share: the word --long, and the mark for tests that wait for it."""

import pytest


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="also what takes longer than a change should wait")


def pytest_configure(config):
    config.addinivalue_line("markers", "long: runs only with --long")


def pytest_collection_modifyitems(config, items):
    if config.getoption("--long"):
        return
    for item in items:
        if "long" in item.keywords:
            item.add_marker(pytest.mark.skip(reason="takes long: cargo xtask test --long runs it"))
