//! The released site as one zip, with what a phone has to download.

use crate::site::{self, Kind};
use crate::{Outcome, house, run, tools, zip};
use std::path::Path;
use std::process::Command;

pub(crate) fn command() -> Outcome {
    tools::setup()?;
    site::build(Kind::Release)?;
    let dist = Kind::Release.dist()?;
    let mut files = Vec::new();
    println!("\n  {:<48} {:>10} {:>10}", "file", "bytes", "gzip");
    let (mut raw, mut small) = (0, 0);
    for name in house::files_below(&dist)? {
        let path = dist.join(&name);
        let bytes = std::fs::read(&path).map_err(|why| format!("{name} cannot be read: {why}"))?;
        let gzip = gzip_size(&path);
        println!("  {name:<48} {:>10} {:>10}", bytes.len(), spell(gzip));
        raw += bytes.len();
        small += gzip.unwrap_or(bytes.len());
        files.push((name, bytes));
    }
    println!("  {:<48} {raw:>10} {small:>10}", "together");
    let archive = zip::stored(&files)?;
    let path = house::target()?.join("quarterlight-site.zip");
    house::write(&path, &archive)?;
    println!(
        "\n{} ({} bytes): unpack it into any folder of a web space with https.",
        path.display(),
        archive.len()
    );
    Ok(())
}

fn gzip_size(path: &Path) -> Option<usize> {
    let output = Command::new("gzip").args(["-9", "-c"]).arg(path).output().ok()?;
    (run::is_there("gzip") && output.status.success()).then_some(output.stdout.len())
}

fn spell(size: Option<usize>) -> String {
    size.map_or("-".to_string(), |size| size.to_string())
}
