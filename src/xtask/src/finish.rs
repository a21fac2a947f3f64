//! The finishing step after Trunk: no script or style inside the page (the policy forbids them), the modules made
//! smaller, and a service worker that knows every file by its digest.

use crate::site::Kind;
use crate::{Outcome, digest, house, modules, second};
use std::path::Path;

/// What was made.
pub(crate) struct Summary {
    pub(crate) files: usize,
    pub(crate) bytes: usize,
    pub(crate) version: String,
}

/// Turns Trunk's output in `staged`, with `extra` files by their names on the site, into the site in `dist`.
pub(crate) fn finish(
    staged: &Path,
    dist: &Path,
    extra: &[(&str, &Path)],
    kind: Kind,
    optimiser: Option<&Path>,
) -> Outcome<Summary> {
    // Made beside the old one, so that a failure leaves the old site whole.
    let fresh = dist.with_extension("new");
    remove(&fresh)?;
    for name in house::files_below(staged)? {
        copy(&staged.join(&name), &fresh.join(&name))?;
    }
    for (name, path) in extra {
        copy(path, &fresh.join(name))?;
    }
    let page_path = fresh.join("index.html");
    if kind == Kind::Release {
        modules::shrink(&fresh, optimiser)?;
    }
    modules::name_after_content(&fresh, second::SCRIPT)?;
    let mut page = house::read(&page_path)?;
    page = scripts_into_files(&page, &fresh)?;
    page = one_style(&page, &fresh)?;
    page = fetched_first(&page)?;
    refuse_what_the_policy_would(&page)?;
    house::write(&page_path, page.as_bytes())?;
    let summary = fill_service_worker(&fresh)?;
    remove(dist)?;
    std::fs::rename(&fresh, dist)
        .map_err(|why| format!("{} cannot be put in place: {why}", dist.display()))?;
    Ok(summary)
}

fn remove(folder: &Path) -> Outcome {
    match std::fs::remove_dir_all(folder) {
        Err(why) if why.kind() != std::io::ErrorKind::NotFound => {
            Err(format!("{} cannot be removed: {why}", folder.display()))
        }
        _ => Ok(()),
    }
}

fn copy(from: &Path, to: &Path) -> Outcome {
    if let Some(folder) = to.parent() {
        std::fs::create_dir_all(folder)
            .map_err(|why| format!("{} cannot be made: {why}", folder.display()))?;
    }
    let copied = std::fs::copy(from, to).map(|_| ());
    copied.map_err(|why| format!("{} cannot be copied: {why}", from.display()))
}

/// Moves every script that stands inside the page into a file named after its content.
fn scripts_into_files(page: &str, folder: &Path) -> Outcome<String> {
    let mut result = String::new();
    let mut rest = page;
    while let Some(start) = rest.find("<script") {
        let (before, script) = rest.split_at(start);
        result.push_str(before);
        let unfinished = "index.html has a script that does not end.";
        let inside = script.find('>').ok_or(unfinished)? + 1;
        let end = script.find("</script>").ok_or(unfinished)?;
        let (tag, text) = (&script[..inside], &script[inside..end]);
        rest = &script[end + "</script>".len()..];
        if text.trim().is_empty() {
            result.push_str(tag);
            result.push_str("</script>");
            continue;
        }
        let name = format!(
            "start-{}.js",
            &digest::hex(&digest::sha256(text.as_bytes()))[..16]
        );
        house::write(&folder.join(&name), text.as_bytes())?;
        let kind = if tag.contains("module") {
            " type=\"module\""
        } else {
            ""
        };
        result.push_str(&format!("<script{kind} src=\"./{name}\"></script>"));
    }
    result.push_str(rest);
    Ok(result)
}

/// How Trunk refers to a stylesheet of the app's own; what stands beside it has another spelling.
const STYLE: &str = "<link rel=\"stylesheet\" href=\"./";

/// Joins the app's own stylesheets in one file named after its content: each file by itself costs a slow phone as much as
/// many bytes do.
fn one_style(page: &str, folder: &Path) -> Outcome<String> {
    let (mut rest, mut styles) = (String::new(), String::new());
    let mut first = None;
    let mut pieces = page.split(STYLE);
    rest.push_str(pieces.next().unwrap_or_default());
    for piece in pieces {
        let (name, after) = piece
            .split_once('"')
            .ok_or("index.html has a link that does not end.")?;
        let (_, after) = after
            .split_once('>')
            .ok_or("index.html has a link that does not end.")?;
        let path = folder.join(name);
        styles.push_str(&house::read(&path)?);
        styles.push('\n');
        std::fs::remove_file(&path).map_err(|why| format!("{name} cannot be removed: {why}"))?;
        first.get_or_insert(rest.len());
        rest.push_str(after.trim_start());
    }
    let at = first.ok_or("index.html refers to no stylesheet of the app's.")?;
    let name = format!(
        "style-{}.css",
        &digest::hex(&digest::sha256(styles.as_bytes()))[..16]
    );
    house::write(&folder.join(&name), styles.as_bytes())?;
    rest.insert_str(at, &format!("{STYLE}{name}\" />\n    "));
    Ok(rest)
}

/// Puts the links that only say what will be needed right behind the policy, so that it is on its way while the rest of the
/// page is read.
fn fetched_first(page: &str) -> Outcome<String> {
    let (mut links, mut rest) = (String::new(), page.to_string());
    for start in ["<link rel=\"preload\"", "<link rel=\"modulepreload\""] {
        while let Some(from) = rest.find(start) {
            let length = rest[from..]
                .find('>')
                .ok_or("index.html has a link that does not end.")?
                + 1;
            links.push_str("\n    ");
            links.push_str(&rest[from..from + length]);
            rest.replace_range(from..from + length, "");
        }
    }
    let policy = rest
        .find("Content-Security-Policy\"")
        .ok_or("index.html has no content security policy.")?;
    let end = rest[policy..]
        .find('>')
        .ok_or("the content security policy does not end.")?
        + 1;
    rest.insert_str(policy + end, &links);
    Ok(rest)
}

/// The page's content security policy.
pub(crate) fn policy(page: &str) -> Option<&str> {
    let (_, after) = page.split_once("Content-Security-Policy\"")?;
    let (_, after) = after.split_once("content=\"")?;
    after.split_once('"').map(|(policy, _)| policy)
}

/// Stops a build whose page would be refused by its own policy, or whose policy is too weak to be one.
fn refuse_what_the_policy_would(page: &str) -> Outcome {
    let policy = policy(page).ok_or("index.html has no content security policy.")?;
    if policy.contains("'unsafe-inline'")
        || policy.contains("'unsafe-eval'")
        || !policy.contains("default-src 'self'")
    {
        return Err(format!("the content security policy is too weak: {policy}"));
    }
    if page.contains("<style") || page.contains(" style=") {
        return Err("index.html has a style inside, which its policy forbids.".to_string());
    }
    let outside = ["src=\"http", "href=\"http", "src=\"/", "href=\"/"];
    match outside.iter().find(|start| page.contains(**start)) {
        Some(start) => Err(format!(
            "index.html refers to another place ({start}...): only relative paths work anywhere."
        )),
        None => Ok(()),
    }
}

const NO_VERSION: &str = "const VERSION = \"unfinished\";";
const NO_FILES: &str = "const FILES = [];";

/// Writes the list of all files with their digests, and one digest over the list, into the service worker.
fn fill_service_worker(folder: &Path) -> Outcome<Summary> {
    let path = folder.join("sw.js");
    let script = house::read(&path)?;
    if !script.contains(NO_VERSION) || !script.contains(NO_FILES) {
        return Err("sw.js lacks the two lines that the build fills in.".to_string());
    }
    let mut lines = String::new();
    let (mut files, mut bytes) = (0, 0);
    for name in house::files_below(folder)?.iter().filter(|name| *name != "sw.js") {
        let content =
            std::fs::read(folder.join(name)).map_err(|why| format!("{name} cannot be read: {why}"))?;
        if name.contains(['"', '\\']) || !name.is_ascii() {
            return Err(format!("the site has a file of a troublesome name: {name}"));
        }
        lines.push_str(&format!(
            "  [\"{name}\", \"sha256-{}\"],\n",
            digest::base64(&digest::sha256(&content))
        ));
        files += 1;
        bytes += content.len();
    }
    // The worker's own text counts as well: a mended worker is a new version.
    let version = digest::hex(&digest::sha256(format!("{script}\n{lines}").as_bytes()))[..16].to_string();
    let filled = script
        .replace(NO_VERSION, &format!("const VERSION = \"{version}\";"))
        .replace(NO_FILES, &format!("const FILES = [\n{lines}];"));
    house::write(&path, filled.as_bytes())?;
    Ok(Summary {
        files,
        bytes,
        version,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const POLICY: &str =
        "<meta http-equiv=\"Content-Security-Policy\"\n content=\"default-src 'self'; script-src 'self'\">";

    #[test]
    fn a_script_in_the_page_becomes_a_file_and_one_outside_stays() {
        let folder = std::env::temp_dir().join(format!("quarterlight-finish-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let page =
            "<a><script src=\"trap.js\"></script><script type=\"module\" nonce=\"x\">go()</script></a>";
        let result = scripts_into_files(page, &folder).unwrap();
        let files = house::files_below(&folder).unwrap();
        assert_eq!(files.len(), 1);
        assert_eq!(std::fs::read_to_string(folder.join(&files[0])).unwrap(), "go()");
        let expected = format!(
            "<a><script src=\"trap.js\"></script><script type=\"module\" src=\"./{}\"></script></a>",
            files[0]
        );
        assert_eq!(result, expected);
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn the_styles_become_one_file_in_their_order() {
        let folder = std::env::temp_dir().join(format!("quarterlight-style-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        for (name, text) in [("b-1.css", "p { color: red }"), ("a-2.css", "p { color: blue }")] {
            std::fs::write(folder.join(name), text).unwrap();
        }
        let own = |name: &str| format!("<link rel=\"stylesheet\" href=\"./{name}\"/>\n");
        let page = format!(
            "<link rel=\"stylesheet\" href=\"trap.css\" />{}{}<body>",
            own("b-1.css"),
            own("a-2.css")
        );
        let result = one_style(&page, &folder).unwrap();
        let files = house::files_below(&folder).unwrap();
        let [file] = &files[..] else { panic!("{files:?}") };
        assert_eq!(
            std::fs::read_to_string(folder.join(file)).unwrap(),
            "p { color: red }\np { color: blue }\n"
        );
        let whole = format!(
            "<link rel=\"stylesheet\" href=\"trap.css\" /><link rel=\"stylesheet\" href=\"./{file}\" />"
        );
        assert_eq!(result.replace("\n    ", ""), whole + "<body>");
        assert!(one_style("<body>", &folder).is_err());
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn what_will_be_needed_is_said_right_after_the_policy() {
        let links = "<link rel=\"modulepreload\" href=\"./a.js\"><link rel=\"preload\" href=\"./a.wasm\">";
        let page = format!("{POLICY}<title></title>{links}</head>");
        let result = fetched_first(&page).unwrap();
        let said: String = result.split("\n    ").collect();
        let turned = "<link rel=\"preload\" href=\"./a.wasm\"><link rel=\"modulepreload\" href=\"./a.js\">";
        assert_eq!(said, format!("{POLICY}{turned}<title></title></head>"));
        assert!(fetched_first(links).is_err());
    }

    #[test]
    fn a_page_that_its_policy_would_refuse_is_not_finished() {
        assert!(refuse_what_the_policy_would(POLICY).is_ok());
        assert!(refuse_what_the_policy_would("<html>").is_err());
        assert!(
            refuse_what_the_policy_would(&POLICY.replace("script-src 'self'", "script-src 'unsafe-inline'"))
                .is_err()
        );
        assert!(refuse_what_the_policy_would(&format!("{POLICY}<p style=\"x\">")).is_err());
        assert!(refuse_what_the_policy_would(&format!("{POLICY}<link href=\"/absolute.css\">")).is_err());
    }

    #[test]
    fn a_changed_file_changes_the_version() {
        let folder = std::env::temp_dir().join(format!("quarterlight-worker-{}", std::process::id()));
        let fill = |content: &str| {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(folder.join("sw.js"), format!("{NO_VERSION}\n{NO_FILES}\n")).unwrap();
            std::fs::write(folder.join("a.txt"), content).unwrap();
            let version = fill_service_worker(&folder).unwrap().version;
            let text = std::fs::read_to_string(folder.join("sw.js")).unwrap();
            assert!(text.contains(&version) && text.contains("[\"a.txt\", \"sha256-"));
            version
        };
        assert_eq!(fill("one"), fill("one"));
        assert_ne!(fill("one"), fill("two"));
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
