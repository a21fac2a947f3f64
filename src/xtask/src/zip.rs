//! A zip of uncompressed files (APPNOTE 6.3.10, "stored"): enough to carry a site to a web space, and the same bytes
//! every time.

use crate::Outcome;

const STORED_VERSION: u16 = 10;
/// The first day a zip can name: 1 January 1980, so that the time of a build leaves no trace.
const DAY: u16 = 0x0021;

/// One archive of `files`, each a name and its bytes.
pub(crate) fn stored(files: &[(String, Vec<u8>)]) -> Outcome<Vec<u8>> {
    let mut archive = Vec::new();
    let mut directory = Vec::new();
    for (name, bytes) in files {
        let offset = number32(archive.len())?;
        let mut common = Vec::new();
        for field in [STORED_VERSION, 1 << 11, 0, 0, DAY] {
            common.extend(field.to_le_bytes());
        }
        common.extend(crc32(bytes).to_le_bytes());
        common.extend(number32(bytes.len())?.to_le_bytes());
        common.extend(number32(bytes.len())?.to_le_bytes());
        common.extend(number16(name.len())?.to_le_bytes());
        common.extend(0u16.to_le_bytes());
        archive.extend(b"PK\x03\x04");
        archive.extend(&common);
        archive.extend(name.as_bytes());
        archive.extend(bytes);
        directory.extend(b"PK\x01\x02");
        directory.extend(STORED_VERSION.to_le_bytes());
        directory.extend(&common);
        directory.extend([0; 10]);
        directory.extend(offset.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let count = number16(files.len())?.to_le_bytes();
    let (start, length) = (number32(archive.len())?, number32(directory.len())?);
    archive.extend(&directory);
    archive.extend(b"PK\x05\x06\0\0\0\0");
    archive.extend(count);
    archive.extend(count);
    archive.extend(length.to_le_bytes());
    archive.extend(start.to_le_bytes());
    archive.extend([0; 2]);
    Ok(archive)
}

fn number32(size: usize) -> Outcome<u32> {
    u32::try_from(size).map_err(|_| "the site is too large for a plain zip.".to_string())
}

fn number16(size: usize) -> Outcome<u16> {
    u16::try_from(size).map_err(|_| "the site has too many files for a plain zip.".to_string())
}

/// CRC-32 as zip uses it (reflected polynomial 0xEDB88320).
fn crc32(bytes: &[u8]) -> u32 {
    let mut crc = u32::MAX;
    for byte in bytes {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 {
                crc >> 1 ^ 0xEDB8_8320
            } else {
                crc >> 1
            };
        }
    }
    !crc
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run;
    use std::process::Command;

    #[test]
    fn crc32_gives_its_check_value() {
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn another_program_s_reader_finds_every_file_whole() {
        let archive = stored(&[
            ("a.txt".to_string(), b"x".to_vec()),
            ("b/c".to_string(), Vec::new()),
        ])
        .unwrap();
        let path = std::env::temp_dir().join(format!("quarterlight-zip-{}.zip", std::process::id()));
        std::fs::write(&path, archive).unwrap();
        let reader = "import sys, zipfile; z = zipfile.ZipFile(sys.argv[1]); print(z.namelist(), z.testzip(), z.read('a.txt'))";
        let said = run::answer(Command::new("python3").args(["-c", reader]).arg(&path));
        std::fs::remove_file(&path).unwrap();
        assert_eq!(said.as_deref(), Some("['a.txt', 'b/c'] None b'x'\n"));
    }
}
