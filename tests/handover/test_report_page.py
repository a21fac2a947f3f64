"""The report in a real browser: on a phone and a wide screen, in the light and in the dark, with axe-core, and on paper."""

import base64
import re
import sys
import zlib

import pytest

from conftest import ROOT

sys.path.insert(0, str(ROOT / "tests" / "browser"))
import harness  # noqa: E402

# A4 less the margins that the report's style sheet sets, in CSS pixels (96 to the inch).
PAPER = round((210 - 2 * 16) / 25.4 * 96)


@pytest.fixture(scope="module")
def chromium(tmp_path_factory):
    folder = tmp_path_factory.mktemp("chromium")
    browser = harness.Chromium(folder / "profile", folder / "downloads")
    yield browser
    browser.driver.quit()


def seen(chromium, path, width, scheme="light", media="screen"):
    chromium.driver.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride", {"width": width, "height": 1200, "deviceScaleFactor": 1, "mobile": False}
    )
    chromium.driver.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"media": media, "features": [{"name": "prefers-color-scheme", "value": scheme}]}
    )
    chromium.open(path.as_uri())


@pytest.mark.parametrize("version", ["reported", "closed"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1024])
def test_on_screens(chromium, request, version, width, scheme):
    path = request.getfixturevalue(version) / "report.html"
    seen(chromium, path, width, scheme)
    assert chromium.run("return document.documentElement.scrollWidth <= window.innerWidth"), "the page scrolls sideways"
    violations = chromium.axe()
    assert violations == [], harness.say_violations(violations)
    background = chromium.run("return getComputedStyle(document.body).backgroundColor")
    light = sum(map(int, re.findall(r"\d+", background)[:3])) > 380
    assert light == (scheme == "light"), background


def test_nothing_is_run_and_nothing_is_loaded(reported):
    page = (reported / "report.html").read_text()
    assert len(page.encode()) < 1_500_000
    assert "default-src 'none'; style-src 'unsafe-inline'" in page
    assert not re.search(r"<script|<img|<link|<iframe|\son\w+=|url\(|@import|javascript:", page)


def test_no_table_is_cut_on_paper(chromium, reported):
    seen(chromium, reported / "report.html", PAPER, media="print")
    cut = chromium.run(
        "return [...document.querySelectorAll('table')].filter((t) => t.getBoundingClientRect().right > arguments[0] + 1)"
        ".map((t) => t.caption?.textContent ?? t.outerHTML.slice(0, 80))",
        PAPER,
    )
    assert cut == []


@pytest.mark.parametrize("version", ["reported", "closed"])
def test_what_those_who_decide_read_fits_on_one_page(chromium, request, version):
    seen(chromium, request.getfixturevalue(version) / "report.html", PAPER, media="print")
    height = chromium.run("return document.querySelector('#board').getBoundingClientRect().height")
    # A4 less the margins above and below.
    assert 300 < height <= (297 - 18 - 20) / 25.4 * 96


def test_paper_has_numbered_pages(chromium, reported):
    seen(chromium, reported / "report.html", PAPER, media="print")
    made = chromium.driver.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "displayHeaderFooter": False})
    pdf = base64.b64decode(made["data"])
    assert len(pdf) < 1_500_000
    pages = len(re.findall(rb"/Type\s*/Page\b", pdf))
    assert 10 < pages < 60
    # The footers are text of the page: one more string a page than without them, in the streams that draw it.
    plain = (reported / "report.html").read_text()
    assert "counter(page)" in plain and "counter(pages)" in plain
    streams = [zlib.decompress(s) for s in re.findall(rb"stream\r?\n(.*?)endstream", pdf, re.S) if s[:1] == b"x"]
    assert sum(b"BT" in stream for stream in streams) >= pages


def test_contents_lead_to_their_sections(chromium, reported):
    seen(chromium, reported / "report.html", 1024)
    links = chromium.run(
        "return [...document.querySelectorAll('nav a')].map((a) => [a.textContent, document.querySelector(a.hash)?.querySelector('h2')?.textContent])"
    )
    assert len(links) == 13
    for label, heading in links:
        assert label == heading


def test_grey_is_enough(chromium, reported):
    """Every colour of the style sheet is a grey, so nothing can be lost without colour."""
    style = re.search(r"<style>(.*?)</style>", (reported / "report.html").read_text(), re.S)[1]
    colours = re.findall(r"#([0-9a-f]{6}|[0-9a-f]{3})\b", style)
    assert len(colours) > 10
    for colour in colours:
        parts = [int(colour[i:i + 2], 16) for i in (0, 2, 4)] if len(colour) == 6 else [int(c * 2, 16) for c in colour]
        assert max(parts) - min(parts) <= 12, colour
