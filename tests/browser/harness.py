"""Real parts for the browser tests: the site's own server as a process, Chromium, the WebKit engine, downloads.

Everything is started by a test and ended by it: a server or a browser that is killed here is really gone.
"""

import base64
import contextlib
import functools
import http.server
import json
import os
import pathlib
import re
import shutil
import signal
import socket
import subprocess
import tempfile
import threading
import time
import urllib.parse

from selenium import webdriver
from selenium.common.exceptions import WebDriverException

ROOT = pathlib.Path(__file__).resolve().parents[2]
TARGET = ROOT / "target"
DIST = pathlib.Path(os.environ.get("QUARTERLIGHT_DIST", TARGET / "dist-test"))
XTASK = pathlib.Path(os.environ.get("QUARTERLIGHT_XTASK", TARGET / "debug" / "xtask"))
# The desk program that QUARTERLIGHT names, or the one that is there.
DESKS = [TARGET / kind / "quarterlight" for kind in ("debug", "release")]
DESK = pathlib.Path(os.environ.get("QUARTERLIGHT") or next((p for p in DESKS if p.is_file()), DESKS[0]))
AXE = TARGET / "tools" / "node" / "node_modules" / "axe-core" / "axe.min.js"

PHONE = (390, 844)
PHONE_ON_ITS_SIDE = (844, 390)
TABLET = (1024, 768)
# What the screens are looked at in: a name, the size in CSS pixels, the size of the text in hundredths.
VIEWS = [
    ("phone", PHONE, 100),
    ("side", PHONE_ON_ITS_SIDE, 100),
    ("tablet", TABLET, 100),
    ("large-text", PHONE, 200),
]
SCHEMES = ("light", "dark", "cellar")


def wait_until(condition, what, seconds=20):
    """The first true value of `condition()`, or a failure that says what was waited for."""
    end = time.monotonic() + seconds
    last = None
    while time.monotonic() < end:
        try:
            value = condition()
            if value:
                return value
        except WebDriverException as fault:
            last = fault
        time.sleep(0.05)
    raise AssertionError(f"waited {seconds} s in vain for {what}" + (f" (last fault: {last.msg})" if last else ""))


class Server:
    """`xtask serve` over a built site, on a port of its own that it keeps when started again."""

    def __init__(self, dist=DIST, base="/"):
        self.dist, self.base, self.port = pathlib.Path(dist), base, 0
        self.process, self.lines = None, []
        self.start()

    @property
    def origin(self):
        return f"http://localhost:{self.port}"

    @property
    def url(self):
        return self.origin + self.base

    def start(self):
        command = [XTASK, "serve", "--no-build", "--requests", "--dist", self.dist, "--base", self.base]
        self.process = subprocess.Popen(
            [*map(str, command), "--port", str(self.port)], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        said = []
        for line in self.process.stdout:
            said.append(line)
            address = re.search(r"http://localhost:(\d+)", line)
            if address:
                self.port = int(address[1])
                break
        else:
            raise AssertionError("the server did not start:\n" + "".join(said))
        threading.Thread(target=self._listen, args=(self.process.stdout,), daemon=True).start()

    def _listen(self, stream):
        for line in stream:
            self.lines.append(line.rstrip("\n"))

    def stop(self):
        """Kills the server and makes sure that nobody answers on its port any more."""
        if self.process is None:
            return
        self.process.kill()
        self.process.wait()
        self.process = None
        with socket.socket() as probe:
            assert probe.connect_ex(("127.0.0.1", self.port)) != 0, "the server still answers after it was killed"

    @property
    def requests(self):
        """What was asked for since the start, as (method, path, status)."""
        parts = [line.split(" ", 2) for line in list(self.lines)]
        return [tuple(part) for part in parts if len(part) == 3 and part[0].isupper()]


class Browser:
    """What both engines have in common; `driver` is selenium's."""

    driver = None

    def open(self, url):
        self.driver.get(url)
        return self

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def run_async(self, body, *arguments):
        """Runs the body of an async function and gives what it returns; its failure is the test's."""
        script = (
            "const done = arguments[arguments.length - 1];"
            "(async function (...given) {" + body + "})(...Array.from(arguments).slice(0, -1))"
            ".then((value) => done({ value }), (fault) => done({ fault: String(fault) }));"
        )
        answer = self.driver.execute_async_script(script, *arguments)
        assert "fault" not in answer, answer["fault"]
        return answer.get("value")

    def wait_for_worker(self):
        """Waits until the service worker has stored everything and serves this page."""
        script = "return !!navigator.serviceWorker.controller && window.quarterlightOffline?.state === 'ready'"
        wait_until(lambda: self.run(script), "the service worker to take control", 60)

    def wait_for_app(self):
        """Waits until the app has painted something that can be tapped."""
        found = (
            "const trap = document.querySelector('[data-tap=trap]');"
            "if (trap) return trap.textContent;"
            "return !!document.querySelector('main h1') && !!document.querySelector('main [data-tap]')"
        )
        answer = wait_until(lambda: self.run(found), "the app's first screen", 60)
        assert answer is True, answer

    def cache_names(self):
        return sorted(self.run_async("return await caches.keys()"))

    def painted(self, frames, at_most_ms=10_000):
        """Waits for so many frames, of which the first may have been under way; a window that nobody sees paints none."""
        self.run_async(
            "const enough = new Promise((next) => setTimeout(next, given[1]));"
            "const frame = () => new Promise((next) => requestAnimationFrame(next));"
            "const all = async () => { for (let n = 0; n < given[0]; n += 1) await frame(); };"
            "await Promise.race([all(), enough]);",
            frames,
            at_most_ms,
        )

    def settle(self):
        """Waits until the page has been painted after its last change and nothing on it moves any more."""
        self.painted(3)
        self.run_async(
            "const still = Promise.allSettled(document.getAnimations().map((moving) => moving.finished));"
            # What never ends (a turning mark, say) is not waited for.
            "await Promise.race([still, new Promise((enough) => setTimeout(enough, 1500))]);"
        )

    def axe(self, **options):
        """The violations axe-core finds on the page as it stands. It comes through the driver, past the page's policy."""
        self.settle()
        self.driver.execute_script(AXE.read_text(encoding="utf-8"))
        return self.run_async("return (await axe.run(document, given[0])).violations", options)


def say_violations(violations):
    """Axe's findings as lines for a failed test."""
    return "\n".join(
        f"{found['id']} ({found['impact']}): {found['help']}: " + "; ".join(n["html"][:160] for n in found["nodes"][:3])
        for found in violations
    )


class Chromium(Browser):
    """Chromium through chromedriver. The profile outlives the browser: `kill` and `start` again with the same one."""

    def __init__(self, profile, downloads, netlog=None, language="en", flags=()):
        self.profile, self.downloads = pathlib.Path(profile), pathlib.Path(downloads)
        self.netlog, self.language, self.flags = netlog, language, flags
        self.let_go_of = {}
        self.downloads.mkdir(parents=True, exist_ok=True)
        self.start()

    def start(self):
        options = webdriver.ChromeOptions()
        options.binary_location = found_program("chromium", "chromium-browser", "google-chrome")
        for flag in [
            "--headless",
            "--disable-gpu",
            "--disable-quic",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-features=OptimizationHints,MediaRouter,Translate",
            # Nothing leaves this computer, whatever the browser would like to ask its maker.
            "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1",
            f"--lang={self.language}",
            f"--user-data-dir={self.profile}",
            *self.flags,
        ]:
            options.add_argument(flag)
        if os.geteuid() == 0:
            # Chromium refuses its own sandbox to the administrator, as whom build machines run.
            options.add_argument("--no-sandbox")
        if self.netlog:
            options.add_argument(f"--log-net-log={self.netlog}")
        options.add_experimental_option("prefs", {"download.default_directory": str(self.downloads)})
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        service = webdriver.ChromeService(found_program("chromedriver"), popen_kw={"start_new_session": True})
        self.driver = webdriver.Chrome(options=options, service=service)
        self.driver.set_script_timeout(60)
        self.cdp("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(self.downloads))
        self.cdp(
            "Page.addScriptToEvaluateOnNewDocument",
            source="window.refusedByPolicy = [];"
            "addEventListener('securitypolicyviolation', (e) => window.refusedByPolicy.push("
            "`${e.violatedDirective} ${e.blockedURI} ${e.sourceFile}:${e.lineNumber}`));",
        )
        return self

    def cdp(self, command, **arguments):
        return self.driver.execute_cdp_cmd(command, arguments)

    def emulate(self, size=PHONE, dark=False, touch=True):
        """A screen of this size in CSS pixels, light or dark."""
        width, height = size
        self.cdp(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=touch
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.cdp("Emulation.setEmulatedMedia", features=[scheme])
        return self

    def show_in(self, size, scheme="light", text=100):
        """A screen of this size, in a colour scheme of the app's own, with letters of this size in hundredths."""
        self.emulate(size, dark=scheme == "dark")
        self.cdp("Page.setFontSizes", fontSizes={"standard": 16 * text // 100, "fixed": 13 * text // 100})
        # As the app itself names it when the scheme is chosen on the device's screen.
        name = "cellar" if scheme == "cellar" else None
        self.run("const root = document.documentElement.dataset;"
                 "if (arguments[0]) root.scheme = arguments[0]; else delete root.scheme", name)
        self.settle()
        return self

    def slow_down(self, factor):
        """A processor `factor` times slower than this one."""
        self.cdp("Emulation.setCPUThrottlingRate", rate=factor)

    def let_go(self):
        """Has the driver give back what scripts gave it on this page: it holds every element for ever, and with each the
        whole screen that the element was on."""
        newest = self.cdp("Runtime.evaluate", expression="({})")["result"]["objectId"]
        context, number = newest.rsplit(".", 1)
        for gone in range(self.let_go_of.get(context, 0) + 1, int(number) + 1):
            # What it has given back already is no fault.
            with contextlib.suppress(WebDriverException):
                self.cdp("Runtime.releaseObject", objectId=f"{context}.{gone}")
        self.let_go_of[context] = int(number)

    def limit_storage(self, origin, quota):
        """No more than `quota` bytes for this origin: a full disk."""
        self.cdp("Storage.overrideQuotaForOrigin", origin=origin, quotaSize=quota)

    def refused(self):
        """What the content security policy refused on this page."""
        return self.run("return window.refusedByPolicy")

    def console(self):
        """Console lines since the last call, without those of a network that is switched off on purpose."""
        lines = [entry for entry in self.driver.get_log("browser") if entry["level"] in ("SEVERE", "WARNING")]
        return [entry["message"] for entry in lines if "net::ERR_" not in entry["message"]]

    def picture(self, path, whole=True):
        """The whole page as if the screen were as long as it, or only what the screen shows."""
        if whole:
            width, height = self.run("return [innerWidth, Math.max(innerHeight, document.documentElement.scrollHeight)]")
            self.cdp("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=True)
            self.settle()
        shot = self.cdp("Page.captureScreenshot", format="png")
        pathlib.Path(path).write_bytes(base64.b64decode(shot["data"]))

    def downloaded(self, pattern, seconds=30):
        """The path of a finished download whose name matches."""

        def ready():
            if any(self.downloads.glob("*.crdownload")):
                return None
            return next(iter(sorted(self.downloads.glob(pattern))), None)

        return wait_until(ready, f"a download named {pattern}", seconds)

    def processes(self):
        """The process numbers of this browser: those that were started on this profile."""
        found = []
        wanted = f"--user-data-dir={self.profile}".encode()
        for entry in pathlib.Path("/proc").iterdir():
            try:
                if entry.name.isdigit() and wanted in (entry / "cmdline").read_bytes().split(b"\0"):
                    found.append(int(entry.name))
            except OSError:
                continue
        return found

    def kill(self):
        """Ends the browser as a dead battery would: SIGKILL to all of it, no farewell."""
        groups = {os.getpgid(pid) for pid in self.processes()}
        assert groups, "there was no browser to kill"
        assert os.getpgid(0) not in groups, "the browser shares the tests' own process group"
        for group in groups:
            os.killpg(group, signal.SIGKILL)
        # The driver shares the browser's group or has lost its browser: either way nothing is left to say to it.
        driver = self.driver.service.process
        driver.kill()
        driver.wait()
        self.driver.service.process = None
        self.driver = None
        wait_until(lambda: not self.processes(), "the killed browser to be gone")
        for name in ("SingletonLock", "SingletonCookie", "SingletonSocket"):
            (self.profile / name).unlink(missing_ok=True)

    def close(self):
        if self.driver is not None:
            self.driver.quit()
            self.driver = None


def free_port():
    """A port of this computer that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def found_program(*names):
    """The first of these programs that is installed."""
    for name in names:
        path = shutil.which(name)
        if path:
            return path
    raise AssertionError(f"{names[0]} is not installed: cargo xtask test installs what the tests need")


def urls_of_netlog(path, origin):
    """Every address that pages and workers of `origin` asked for, as the browser's own network log has it.

    The browser's chatter for itself (its clock, its updates) is told apart by the log's own account of who asked.
    """
    text = pathlib.Path(path).read_text(encoding="utf-8")
    try:
        log = json.loads(text)
    except json.JSONDecodeError:
        log = json.loads(text.rstrip().rstrip(",") + "]}")
    wanted = log["constants"]["logEventTypes"]["URL_REQUEST_START_JOB"]
    site = origin.rsplit(":", 1)[0]
    urls = []
    for event in log["events"]:
        about = event.get("params", {})
        if event["type"] == wanted and "url" in about:
            asker = f"{about.get('initiator')} {about.get('network_isolation_key')} {about.get('site_for_cookies')}"
            if site in asker:
                urls.append(about["url"])
    return urls


def other_origins(urls, origin):
    """Those of `urls` that lead to the network and not to `origin`."""
    ours = urllib.parse.urlsplit(origin)
    parts = [(url, urllib.parse.urlsplit(url)) for url in urls]
    return [u for u, p in parts if p.scheme in ("http", "https", "ws", "wss") and (p.scheme, p.netloc) != (ours.scheme, ours.netloc)]


class WebKit(Browser):
    """The WebKit engine (that of iPhones and iPads) in its small browser, on a screen that nobody sees.

    Its driver forgets storage when it ends, so there is no starting again with the same profile.
    """

    def __init__(self):
        self.screen = Screen()
        browsers = sorted(pathlib.Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
        assert browsers, "webkit2gtk-driver is not installed: cargo xtask test installs what the tests need"
        options = webdriver.WebKitGTKOptions()
        options.binary_location = str(browsers[-1])
        options.add_argument("--automation")
        environment = {**os.environ, "DISPLAY": self.screen.name, "WEBKIT_DISABLE_COMPOSITING_MODE": "1"}
        service = webdriver.WebKitGTKService(found_program("WebKitWebDriver"), env=environment)
        self.driver = webdriver.WebKitGTK(options=options, service=service)
        self.driver.set_script_timeout(60)

    def close(self):
        try:
            if self.driver is not None:
                self.driver.quit()
                self.driver = None
        finally:
            self.screen.close()


class Screen:
    """An Xvfb of our own on the first free display."""

    def __init__(self):
        reading, writing = os.pipe()
        command = [found_program("Xvfb"), "-displayfd", str(writing), "-screen", "0", "1280x1024x24", "-nolisten", "tcp"]
        self.process = subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL)
        os.close(writing)
        with os.fdopen(reading) as answer:
            number = answer.readline().strip()
        assert number, "Xvfb did not start"
        self.name = f":{number}"

    def close(self):
        self.process.terminate()
        self.process.wait()


@contextlib.contextmanager
def bare_server(folder):
    """A server without any policy, for controls: gives its origin."""
    handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=folder)
    handler.log_message = lambda *_: None
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://localhost:{server.server_address[1]}"
        server.shutdown()


def copy_of_site(folder, dist=DIST):
    """A copy of the built site that a test may spoil."""
    copy = pathlib.Path(folder) / "site"
    shutil.copytree(dist, copy)
    return copy


def fresh_folder():
    return pathlib.Path(tempfile.mkdtemp(prefix="quarterlight-test-"))
