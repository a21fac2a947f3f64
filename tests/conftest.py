"""What all Python tests share: the word --long, and the mark for tests that wait for it."""

import pytest


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="also what takes longer than a change should wait")


def pytest_configure(config):
    config.addinivalue_line("markers", "long: runs only with --long")
    config.addinivalue_line("markers", "xdist_group: tests that one process runs, one after the other")


# What tests/browser/test_journey.py brings home is looked at in tests/handover.
ONE_AFTER_THE_OTHER = "journey"

# Files whose tests share what takes long to make: one process makes it once.
SHARE_MUCH = {"test_carrying.py", "test_papers.py", "test_review.py"}


def group_of(path):
    if path.parent.name == "handover" or path.name == "test_journey.py":
        return ONE_AFTER_THE_OTHER
    return path.name if path.name in SHARE_MUCH else None


# First of all: the processes' own plugin reads the marks in this same hook.
@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    for item in items:
        if group := group_of(item.path):
            item.add_marker(pytest.mark.xdist_group(group))
    if config.getoption("--long"):
        return
    for item in items:
        if "long" in item.keywords:
            item.add_marker(pytest.mark.skip(reason="takes long: cargo xtask test --long runs it"))


def pytest_collection_finish(session):
    """Groups that are lost on the way (a pytest too new for its processes' plugin) would only make everything twice."""
    if getattr(session.config.option, "loadgroup", False):
        lost = [item.nodeid for item in session.items if group_of(item.path) and "@" not in item.nodeid]
        if lost:
            raise pytest.UsageError(f"the processes' plugin does not see the group of {lost[0]}")
