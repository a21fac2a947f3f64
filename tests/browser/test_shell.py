"""The app's shell: it starts under its policy, from any path, without a network, and says so when it stops."""

import json
import re

import harness
from surveyor import Surveyor

# A module whose one function is `unreachable`: calling it is a real trap.
TRAP = """
setTimeout(() => {
  const bytes = [0,97,115,109,1,0,0,0,1,4,1,96,0,0,3,2,1,0,7,5,1,1,102,0,0,10,5,1,3,0,0,11];
  new WebAssembly.Instance(new WebAssembly.Module(new Uint8Array(bytes))).exports.f();
});
"""


def test_the_app_starts_and_its_policy_refuses_nothing_it_needs(server, chromium):
    chromium.open(server.url).wait_for_app()
    chromium.wait_for_worker()
    assert chromium.refused() == []
    assert chromium.console() == []


def test_the_policy_would_have_refused_inline_scripts_styles_and_other_origins(server, chromium):
    chromium.open(server.url).wait_for_app()
    chromium.run("const s = document.createElement('script'); s.textContent = 'window.ran = 1'; document.head.append(s)")
    chromium.run("document.body.insertAdjacentHTML('beforeend', '<p style=\"color: red\">x</p>')")
    outcome = chromium.run_async("try { await fetch('http://127.0.0.2:9/'); return 'sent' } catch { return 'refused' }")
    assert outcome == "refused"
    assert chromium.run("return window.ran") is None
    kinds = {line.split()[0] for line in chromium.refused()}
    assert {"script-src-elem", "style-src-attr", "connect-src"} <= kinds


def test_the_server_sends_the_page_s_policy_as_a_header_too(server, chromium):
    chromium.open(server.url)
    meta = chromium.run("return document.querySelector('meta[http-equiv=Content-Security-Policy]').content")
    header = chromium.run_async("return (await fetch('sw.js')).headers.get('content-security-policy')")
    assert meta == header
    assert "unsafe-inline" not in meta


def test_the_service_worker_keeps_every_file_of_the_site(server, chromium):
    chromium.open(server.url).wait_for_worker()
    names = chromium.cache_names()
    assert len(names) == 1 and re.fullmatch(r"quarterlight-[0-9a-f]{16}@/", names[0])
    kept = chromium.run_async("return (await (await caches.open(given[0])).keys()).map((r) => r.url)", names[0])
    files = {path.relative_to(harness.DIST).as_posix() for path in harness.DIST.rglob("*") if path.is_file()}
    expected = {server.url + ("" if name == "index.html" else name) for name in files - {"sw.js"}}
    assert set(kept) == expected


def test_with_the_server_gone_the_page_comes_back(server, chromium):
    chromium.open(server.url).wait_for_worker()
    server.stop()
    chromium.driver.refresh()
    chromium.wait_for_app()
    chromium.open(server.url + "index.html?from=home#/anywhere").wait_for_app()
    # The control: what was never kept cannot come from anywhere.
    missing = chromium.run_async("try { await fetch('never-kept.txt'); return 'came' } catch { return 'gone' }")
    assert missing == "gone"


def test_with_the_server_gone_a_killed_browser_opens_the_app_again(server, chromium):
    chromium.open(server.url).wait_for_worker()
    server.stop()
    chromium.kill()
    chromium.start().emulate().open(server.url).wait_for_app()


def test_the_app_works_below_any_path_and_stays_there(serve, chromium):
    server = serve(base="/some/deep-er/path/")
    chromium.open(server.url.rstrip("/")).wait_for_app()
    chromium.wait_for_worker()
    assert chromium.driver.current_url.startswith(server.url)
    asked = [path for _, path, status in server.requests if status == "200 OK"]
    assert asked and all(path.startswith("/some/deep-er/path/") for path in asked)
    lost = [path for _, path, status in server.requests if status.startswith("404") and "favicon" not in path]
    assert lost == []
    assert chromium.cache_names()[0].endswith("@/some/deep-er/path/")
    server.stop()
    chromium.driver.refresh()
    chromium.wait_for_app()


def test_no_request_leaves_for_another_origin(server, new_chromium, folder):
    log = folder / "net.json"
    browser = new_chromium(netlog=log)
    browser.open(server.url).wait_for_worker()
    browser.driver.refresh()
    browser.wait_for_app()
    browser.close()
    urls = harness.urls_of_netlog(log, server.origin)
    assert any(url.endswith(".wasm") for url in urls), "the log has not even the app's own requests"
    assert harness.other_origins(urls, server.origin) == []


def test_a_request_that_leaves_would_be_seen(server, new_chromium, folder):
    log = folder / "net.json"
    browser = new_chromium(netlog=log)
    # A page without a policy asks another origin: the same check must find it.
    foreign = "http://127.0.0.1:9/elsewhere"
    (folder / "bare.html").write_text("<!doctype html><title>bare</title>")
    with harness.bare_server(folder) as origin:
        browser.open(origin + "/bare.html")
        browser.run_async("try { await fetch(given[0], { mode: 'no-cors' }) } catch {}", foreign)
        browser.close()
        assert harness.other_origins(harness.urls_of_netlog(log, origin), origin) == [foreign]


def newer_version(site):
    """The same site under another version, as a later build would be."""
    path = site / "sw.js"
    text = path.read_text()
    version = re.search(r'VERSION = "([0-9a-f]{16})"', text)[1]
    path.write_text(text.replace(version, "f" * 16))
    return version


def test_a_newer_version_is_offered_not_forced_and_other_caches_stay(serve, chromium, folder):
    site = harness.copy_of_site(folder)
    server = serve(dist=site)
    chromium.open(server.url).wait_for_worker()
    others = ["another-app", "quarterlight-0000000000000000@/elsewhere/"]
    chromium.run_async("for (const name of given[0]) await caches.open(name)", others)
    version = newer_version(site)
    chromium.driver.refresh()
    harness.wait_until(lambda: chromium.run("return window.quarterlightOffline?.state") == "update", "the offer")
    old, new = f"quarterlight-{version}@/", f"quarterlight-{'f' * 16}@/"
    assert set(chromium.cache_names()) == {old, new, *others}
    chromium.run("window.sameP = 1")
    controller = "return navigator.serviceWorker.controller.state + (window.sameP ?? '')"
    assert chromium.run(controller) == "activated1", "nobody agreed, so nothing may change"
    chromium.run("window.quarterlightTakeOver()")
    harness.wait_until(lambda: chromium.run("return window.sameP") is None, "the page to be loaded anew")
    chromium.wait_for_app()
    harness.wait_until(lambda: set(chromium.cache_names()) == {new, *others}, "the old version to be cleared away")


def test_a_site_that_arrives_damaged_is_not_kept(serve, chromium, folder):
    site = harness.copy_of_site(folder)
    (site / "trap.css").write_text("/* cut sho")
    server = serve(dist=site)
    chromium.open(server.url)
    state = "return window.quarterlightOffline?.state === 'failed' && window.quarterlightOffline.why"
    why = harness.wait_until(lambda: chromium.run(state), "the word that the app could not be kept")
    assert "trap.css" in why
    assert chromium.cache_names() == []


def test_a_damaged_newer_version_leaves_the_older_at_work(serve, chromium, folder):
    site = harness.copy_of_site(folder)
    server = serve(dist=site)
    chromium.open(server.url).wait_for_worker()
    before = chromium.cache_names()
    newer_version(site)
    (site / "trap.css").write_text("/* cut sho")
    asked = len(server.requests)
    chromium.driver.refresh()
    harness.wait_until(lambda: any("trap.css" in path for _, path, _ in server.requests[asked:]), "the newer version")
    harness.wait_until(lambda: chromium.cache_names() == before, "the damaged version to be dropped")
    server.stop()
    chromium.driver.refresh()
    chromium.wait_for_app()


def put_entries(browser, records):
    """Writes into the store as the app does, through the browser itself."""
    return browser.run_async(
        """
        const database = await new Promise((resolve, reject) => {
          const asked = indexedDB.open("quarterlight");
          asked.onupgradeneeded = () => {
            asked.result.createObjectStore("entries", { keyPath: ["survey", "writer", "n"] });
            asked.result.createObjectStore("twins", { autoIncrement: true });
          };
          asked.onsuccess = () => resolve(asked.result);
          asked.onerror = () => reject(asked.error);
        });
        const transaction = database.transaction("entries", "readwrite");
        for (const [survey, writer, n, text] of given[0]) {
          transaction.objectStore("entries").put({ survey, writer, n, bytes: new TextEncoder().encode(text) });
        }
        await new Promise((resolve, reject) => {
          transaction.oncomplete = resolve;
          transaction.onabort = () => reject(transaction.error);
        });
        database.close();
        """,
        records,
    )


def test_after_a_trap_a_screen_says_so_and_hands_out_the_log(server, chromium):
    chromium.open(server.url).wait_for_app()
    lines = ['{"n":0,"said":"Größe"}', '{"n":1}']
    put_entries(chromium, [["s1", "w1", number, line] for number, line in enumerate(lines)])
    chromium.run(TRAP)
    surveyor = Surveyor(chromium)
    assert "Everything marked saved is safe" in surveyor.text_of("trap")
    assert "unreachable" in chromium.run("return document.querySelector('.trap details').textContent")
    chromium.emulate(harness.PHONE, dark=True)
    violations = chromium.axe()
    assert violations == [], harness.say_violations(violations)
    assert chromium.refused() == []
    surveyor.tap("trap-copy")
    copy = chromium.downloaded("quarterlight-log*.ndjson").read_bytes().decode("utf-8")
    assert [line for line in copy.splitlines() if line in lines] == lines
    assert all(json.loads(line) for line in copy.splitlines())
    surveyor.tap("trap-reload")
    chromium.wait_for_app()


def test_the_trap_screen_makes_no_database_that_was_not_there(server, chromium):
    # A page of the site without the app: only the trap screen's own script may touch the store.
    chromium.open(server.url + "trap.css")
    chromium.run("const s = document.createElement('script'); s.src = 'trap.js'; document.head.append(s)")
    harness.wait_until(lambda: chromium.run("return typeof window.quarterlightTrap") == "function", "the script")
    chromium.run("window.quarterlightTrap('on purpose')")
    surveyor = Surveyor(chromium)
    surveyor.tap("trap-copy")
    harness.wait_until(lambda: surveyor.text_of("trap-said"), "an answer")
    assert chromium.run_async("return (await indexedDB.databases()).map((d) => d.name)") == []


def test_an_app_that_did_not_arrive_says_that_it_could_not_start(serve, chromium, folder):
    site = harness.copy_of_site(folder)
    for path in site.glob("*.wasm"):
        path.unlink()
    chromium.open(serve(dist=site).url)
    assert "could not start" in Surveyor(chromium).text_of("trap")


def test_the_first_screen_has_no_accessibility_fault_in_either_light(server, chromium):
    chromium.open(server.url).wait_for_app()
    for size in (harness.PHONE, harness.TABLET):
        for dark in (False, True):
            chromium.emulate(size, dark)
            violations = chromium.axe()
            assert violations == [], f"{size}, dark: {dark}\n" + harness.say_violations(violations)


def test_the_accessibility_check_can_fail(server, chromium):
    chromium.open(server.url).wait_for_app()
    chromium.run("document.body.append(document.createElement('img'), document.createElement('button'))")
    assert {"image-alt", "button-name"} <= {found["id"] for found in chromium.axe()}


def test_the_manifest_lets_the_app_be_installed(server, chromium):
    chromium.open(server.url).wait_for_worker()
    answer = chromium.cdp("Page.getAppManifest")
    assert answer["errors"] == []
    manifest = json.loads(answer["data"])
    assert (manifest["start_url"], manifest["scope"], manifest["display"]) == ("./", "./", "standalone")
    assert chromium.cdp("Page.getInstallabilityErrors")["installabilityErrors"] == []


def test_the_webkit_engine_opens_the_app_and_again_without_the_server(server, webkit):
    webkit.open(server.url).wait_for_app()
    webkit.wait_for_worker()
    server.stop()
    webkit.driver.refresh()
    webkit.wait_for_app()
    webkit.run(TRAP)
    assert "Everything marked saved is safe" in Surveyor(webkit).text_of("trap")
