//! Writes the survey of this crate's tests as a file: `cargo run -p handover --example saved_file FILE`.
//!
//! `tests/formats` keeps what it wrote at each released format.

#[path = "../tests/common/mod.rs"]
mod common;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args()
        .nth(1)
        .ok_or("the name of the file to write is missing")?;
    let it = common::surveyed();
    let bytes = handover::survey_file::write(&it.log, &common::parts())?;
    std::io::Write::write_all(&mut std::fs::File::create(&path)?, &bytes)?;
    println!(
        "{path}: {} entries, {} faults",
        it.log.entries().len(),
        it.state.faults.len()
    );
    Ok(())
}
