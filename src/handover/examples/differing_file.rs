//! Writes a survey in which everything disagrees that can: `cargo run -p handover --example differing_file FILE`.
//!
//! `tests/support/differing.zip` is what it wrote, for the screen that tells what does not agree.

#[path = "../tests/common/differing.rs"]
mod differing;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args()
        .nth(1)
        .ok_or("the name of the file to write is missing")?;
    let (ash, _) = differing::differing();
    let parts = handover::Parts {
        date: handover::Day::from_ms(ash.author.now_ms).ok_or("no such day")?,
        app: handover::APP.to_owned(),
        organization: None,
        contact: None,
    };
    let bytes = handover::survey_file::write(&ash.log, &parts)?;
    std::io::Write::write_all(&mut std::fs::File::create(&path)?, &bytes)?;
    Ok(())
}
