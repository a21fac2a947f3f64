//! Where things are: the project's root and the folders under target/.

use crate::Outcome;
use std::path::{Path, PathBuf};

/// The folder with the workspace's Cargo.toml: told by cargo when it runs us, else found upwards from here.
pub(crate) fn root() -> Outcome<PathBuf> {
    if let Some(own) = std::env::var_os("CARGO_MANIFEST_DIR") {
        let own = PathBuf::from(own);
        if let Some(root) = own.ancestors().nth(2).filter(|folder| is_root(folder)) {
            return Ok(root.to_path_buf());
        }
    }
    let here = std::env::current_dir().map_err(|why| format!("the current folder cannot be read: {why}"))?;
    here.ancestors()
        .find(|folder| is_root(folder))
        .map(Path::to_path_buf)
        .ok_or("run this inside the project's folder.".to_string())
}

fn is_root(folder: &Path) -> bool {
    folder.join("src/xtask/Cargo.toml").is_file() && folder.join("Cargo.toml").is_file()
}

pub(crate) fn target() -> Outcome<PathBuf> {
    Ok(root()?.join("target"))
}

/// Programs installed for this project alone.
pub(crate) fn tools() -> Outcome<PathBuf> {
    Ok(target()?.join("tools"))
}

/// Where the output of long quiet steps is kept.
pub(crate) fn logs() -> Outcome<PathBuf> {
    let folder = target()?.join("logs");
    std::fs::create_dir_all(&folder).map_err(|why| format!("{} cannot be made: {why}", folder.display()))?;
    Ok(folder)
}

/// Reads a text file, naming it when it cannot be read.
pub(crate) fn read(path: &Path) -> Outcome<String> {
    std::fs::read_to_string(path).map_err(|why| format!("{} cannot be read: {why}", path.display()))
}

/// Writes a file, naming it when it cannot be written.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Outcome {
    std::fs::write(path, bytes).map_err(|why| format!("{} cannot be written: {why}", path.display()))
}

/// The same, making the folder it lies in.
pub(crate) fn write_below(path: &Path, bytes: &[u8]) -> Outcome {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)
            .map_err(|why| format!("{} cannot be made: {why}", folder.display()))?;
    }
    write(path, bytes)
}

/// Every file below `folder`, as sorted paths relative to it with forward slashes.
pub(crate) fn files_below(folder: &Path) -> Outcome<Vec<String>> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(next) = open.pop() {
        let entries =
            std::fs::read_dir(&next).map_err(|why| format!("{} cannot be read: {why}", next.display()))?;
        for entry in entries {
            let path = entry
                .map_err(|why| format!("{} cannot be read: {why}", next.display()))?
                .path();
            if path.is_dir() {
                open.push(path);
            } else if let Ok(relative) = path.strip_prefix(folder) {
                let parts: Vec<_> = relative.iter().map(|part| part.to_string_lossy()).collect();
                found.push(parts.join("/"));
            }
        }
    }
    found.sort();
    Ok(found)
}
