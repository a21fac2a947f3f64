//! A small server of static files for this computer alone: to try the app, and to be really stopped by the tests.

use crate::site::{self, Kind};
use crate::{Options, Outcome, finish, house, tools};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

const PORT: u16 = 8420;
const LONGEST_REQUEST: u64 = 16 * 1024;
const MOST_AT_ONCE: usize = 128;
const PATIENCE: Duration = Duration::from_secs(15);

/// What is served, and under which path.
struct Site {
    folder: PathBuf,
    base: String,
    policy: String,
    says_requests: bool,
}

/// An answer before it is written.
struct Answer {
    status: &'static str,
    headers: Vec<(&'static str, String)>,
    body: Vec<u8>,
}

pub(crate) fn command(options: &Options) -> Outcome {
    let port = match options.value("--port") {
        None => PORT,
        Some(text) => text
            .parse()
            .map_err(|_| format!("'{text}' is no port: a number up to 65535 is."))?,
    };
    let base = base_path(options.value("--base").unwrap_or("/"))?;
    let kind = Kind::chosen(options.has("--test"));
    if !options.has("--no-build") {
        tools::setup()?;
        site::build(kind)?;
    }
    let folder = options
        .value("--dist")
        .map_or_else(|| kind.dist(), |given| Ok(PathBuf::from(given)))?;
    let folder = folder
        .canonicalize()
        .map_err(|why| format!("there is no site in {}: {why}", folder.display()))?;
    let page = house::read(&folder.join("index.html"))?;
    let policy = finish::policy(&page)
        .ok_or("the site's index.html has no content security policy.")?
        .to_string();
    let has_practice = folder.join("practice.zip").is_file();
    let listener = TcpListener::bind(("127.0.0.1", port))
        .map_err(|why| format!("port {port} cannot be had ({why}); try --port with another number."))?;
    let port = listener
        .local_addr()
        .map_err(|why| format!("the port was lost: {why}"))?
        .port();
    println!("Quarterlight is at http://localhost:{port}{base}");
    if has_practice {
        println!(
            "Open it in a browser; an invented survey to practise with is one tap away on its first screen."
        );
    }
    println!("Stop with Ctrl+C; the app goes on working in a browser that has opened it once.");
    listen(
        &listener,
        Arc::new(Site {
            folder,
            base,
            policy,
            says_requests: options.has("--requests"),
        }),
    );
    Ok(())
}

/// `/`, or a path that starts and ends with a slash.
fn base_path(given: &str) -> Outcome<String> {
    let inner = given.trim_matches('/');
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_./".contains(c);
    if !inner.chars().all(is_plain) || inner.split('/').any(|part| part.starts_with('.')) {
        return Err(format!(
            "'{given}' is no path to serve under: letters, digits, '-', '_' and '/' are."
        ));
    }
    Ok(if inner.is_empty() {
        "/".to_string()
    } else {
        format!("/{inner}/")
    })
}

fn listen(listener: &TcpListener, site: Arc<Site>) {
    let busy = Arc::new(AtomicUsize::new(0));
    for stream in listener.incoming() {
        let Ok(stream) = stream else { continue };
        if busy.load(Ordering::Relaxed) >= MOST_AT_ONCE {
            continue;
        }
        busy.fetch_add(1, Ordering::Relaxed);
        let (site, busy) = (Arc::clone(&site), Arc::clone(&busy));
        std::thread::spawn(move || {
            // A browser that goes away in the middle is no fault of ours.
            let _gone = converse(&stream, &site);
            busy.fetch_sub(1, Ordering::Relaxed);
        });
    }
}

fn converse(stream: &TcpStream, site: &Site) -> std::io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut reader = BufReader::new(stream).take(LONGEST_REQUEST);
    let mut first = String::new();
    if reader.read_line(&mut first)? == 0 {
        return Ok(());
    }
    let mut line = String::new();
    while reader.read_line(&mut line)? > 2 {
        line.clear();
    }
    let mut words = first.split_whitespace();
    let (method, target) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
    let answer = answer(method, target, site);
    if site.says_requests {
        println!("{method} {target} {}", answer.status);
    }
    let mut head = format!(
        "HTTP/1.1 {}\r\nContent-Length: {}\r\nConnection: close\r\n",
        answer.status,
        answer.body.len()
    );
    for (name, value) in &answer.headers {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str("\r\n");
    let mut stream = stream;
    stream.write_all(head.as_bytes())?;
    if method != "HEAD" {
        stream.write_all(&answer.body)?;
    }
    stream.flush()
}

fn answer(method: &str, target: &str, site: &Site) -> Answer {
    let mut headers = vec![
        ("Content-Security-Policy", policy_of(target, site)),
        ("X-Content-Type-Options", "nosniff".to_string()),
        ("Referrer-Policy", "no-referrer".to_string()),
        ("Cross-Origin-Opener-Policy", "same-origin".to_string()),
    ];
    if method != "GET" && method != "HEAD" {
        headers.push(("Allow", "GET, HEAD".to_string()));
        return plain("405 Method Not Allowed", headers);
    }
    let path = target.split(['?', '#']).next().unwrap_or("");
    if format!("{path}/") == site.base {
        headers.push(("Location", site.base.clone()));
        return plain("301 Moved Permanently", headers);
    }
    let Some(name) = path.strip_prefix(site.base.as_str()).and_then(file_name) else {
        return plain("404 Not Found", headers);
    };
    let Some(body) = read_inside(&site.folder, &name) else {
        return plain("404 Not Found", headers);
    };
    headers.push(("Content-Type", kind_of(&name).to_string()));
    let keeping = if is_named_by_content(&name) {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    headers.push(("Cache-Control", keeping.to_string()));
    Answer {
        status: "200 OK",
        headers,
        body,
    }
}

/// The page's policy for all but one file: a worker has the policy that comes with its script, and this one's work is to
/// reach the folder that a person names.
fn policy_of(target: &str, site: &Site) -> String {
    const FOLDER: &str = "default-src 'none'; connect-src https: http://localhost:* http://127.0.0.1:*";
    let path = target.split(['?', '#']).next().unwrap_or("");
    match path.strip_prefix(site.base.as_str()) {
        Some("folder.js") => FOLDER.to_string(),
        _ => site.policy.clone(),
    }
}

fn plain(status: &'static str, mut headers: Vec<(&'static str, String)>) -> Answer {
    headers.push(("Content-Type", "text/plain; charset=utf-8".to_string()));
    Answer {
        status,
        headers,
        body: format!("{status}\n").into_bytes(),
    }
}

/// The file that a path under the base asks for, or nothing when a part of it is hidden, empty or leads upwards.
fn file_name(path: &str) -> Option<String> {
    let name = percent_decoded(path)?;
    if name.is_empty() {
        return Some("index.html".to_string());
    }
    let is_fair =
        |part: &str| !part.is_empty() && !part.starts_with('.') && !part.contains(['\\', '\0', ':']);
    name.split('/').all(is_fair).then_some(name)
}

fn percent_decoded(path: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
        let (high, low) = (digit(rest.next())?, digit(rest.next())?);
        bytes.push(u8::try_from(high * 16 + low).ok()?);
    }
    String::from_utf8(bytes).ok()
}

/// Reads a file of the site; a link that leads out of its folder is no file of it.
fn read_inside(folder: &Path, name: &str) -> Option<Vec<u8>> {
    let path = folder.join(name).canonicalize().ok()?;
    if !path.starts_with(folder) || !path.is_file() {
        return None;
    }
    std::fs::read(path).ok()
}

fn kind_of(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "zip" => "application/zip",
        "txt" | "ftl" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// Whether the name carries a digest of the content (16 hexadecimal digits), so that it may be kept for ever.
fn is_named_by_content(name: &str) -> bool {
    name.split(['-', '.', '_'])
        .any(|part| part.len() == 16 && part.bytes().all(|b| b.is_ascii_hexdigit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(base: &str) -> Site {
        static MADE: AtomicUsize = AtomicUsize::new(0);
        // Tests run side by side: each gets a folder of its own.
        let number = MADE.fetch_add(1, Ordering::Relaxed);
        let folder = std::env::temp_dir().join(format!("quarterlight-serve-{}-{number}", std::process::id()));
        std::fs::create_dir_all(folder.join("icons")).unwrap();
        std::fs::write(folder.join("index.html"), "page").unwrap();
        std::fs::write(folder.join("app-0123456789abcdef_bg.wasm"), "wasm").unwrap();
        std::fs::write(folder.join("icons/a.svg"), "svg").unwrap();
        let folder = folder.canonicalize().unwrap();
        Site {
            folder,
            base: base.to_string(),
            policy: "default-src 'self'".to_string(),
            says_requests: false,
        }
    }

    impl Drop for Site {
        fn drop(&mut self) {
            std::fs::remove_dir_all(&self.folder).unwrap();
        }
    }

    fn header<'a>(answer: &'a Answer, name: &str) -> Option<&'a str> {
        answer
            .headers
            .iter()
            .find(|(given, _)| *given == name)
            .map(|(_, value)| value.as_str())
    }

    #[test]
    fn files_are_served_with_their_kind_their_policy_and_their_time_to_keep() {
        let page = answer("GET", "/?source=home", &site("/"));
        assert_eq!(
            (page.status, page.body.as_slice()),
            ("200 OK", b"page".as_slice())
        );
        assert_eq!(header(&page, "Cache-Control"), Some("no-cache"));
        assert_eq!(
            header(&page, "Content-Security-Policy"),
            Some("default-src 'self'")
        );
        let wasm = answer("GET", "/app-0123456789abcdef_bg.wasm", &site("/"));
        assert_eq!(header(&wasm, "Content-Type"), Some("application/wasm"));
        assert!(header(&wasm, "Cache-Control").is_some_and(|value| value.contains("immutable")));
    }

    #[test]
    fn a_base_path_is_served_alone() {
        assert_eq!(
            answer("GET", "/some/path/icons/a.svg", &site("/some/path/")).status,
            "200 OK"
        );
        assert_eq!(
            answer("GET", "/some/path", &site("/some/path/")).status,
            "301 Moved Permanently"
        );
        for outside in ["/", "/icons/a.svg", "/some/pathology/", "/some/path//icons/a.svg"] {
            assert_eq!(
                answer("GET", outside, &site("/some/path/")).status,
                "404 Not Found",
                "{outside}"
            );
        }
        assert_eq!(base_path("some/path").unwrap(), "/some/path/");
        assert!(base_path("/a/../b").is_err() && base_path("/a b/").is_err());
    }

    #[test]
    fn nothing_outside_the_folder_can_be_asked_for() {
        let hostile = [
            "/../Cargo.toml",
            "/%2e%2e/x",
            "/icons/..%2f..%2fx",
            "/..%5cx",
            "/%00",
            "/%zz",
            "//etc/passwd",
            "/C:/x",
        ];
        for target in hostile {
            assert_eq!(
                answer("GET", target, &site("/")).status,
                "404 Not Found",
                "{target}"
            );
        }
        assert_eq!(answer("POST", "/", &site("/")).status, "405 Method Not Allowed");
    }
}
