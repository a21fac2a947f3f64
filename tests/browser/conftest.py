"""Fixtures of the browser tests: a served site and browsers, each test's own, ended with it."""

import shutil

import harness
import pytest


@pytest.fixture(scope="session", autouse=True)
def built_site():
    assert (harness.DIST / "index.html").is_file(), "there is no built site: cargo xtask build --test makes it"
    assert harness.XTASK.is_file(), "there is no server: cargo build -p xtask makes it"


@pytest.fixture
def serve():
    """Starts servers: `serve()`, `serve(base="/some/path/")`, `serve(dist=folder)`."""
    servers = []

    def start(**options):
        servers.append(harness.Server(**options))
        return servers[-1]

    yield start
    for server in servers:
        server.stop()


@pytest.fixture
def server(serve):
    return serve()


@pytest.fixture
def folder():
    """A folder of this test's own, removed after it."""
    path = harness.fresh_folder()
    yield path
    shutil.rmtree(path, ignore_errors=True)


@pytest.fixture
def new_chromium(folder):
    """Starts Chromium, each call with a profile of its own: another device."""
    browsers = []

    def start(**options):
        place = folder / f"device-{len(browsers)}"
        browsers.append(harness.Chromium(place / "profile", place / "downloads", **options))
        return browsers[-1]

    yield start
    for browser in browsers:
        browser.close()


@pytest.fixture
def chromium(new_chromium):
    return new_chromium().emulate(harness.PHONE)


@pytest.fixture
def webkit():
    browser = harness.WebKit()
    yield browser
    browser.close()
