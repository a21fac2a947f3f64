//! Invented photographs: grey noise, which is as large as a picture of a crowded shelf and shows nothing.

use handover::{Elsewhere, Parts, survey_file};
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use std::io::Write;
use survey::photo::{self, Photo, Shows};
use survey::{Log, Subject};

use super::dice::Dice;
use super::truth::Collection;

/// As large as the app keeps them.
const SIDES: (u32, u32) = (1_600, 1_200);
/// At this quality noise has about a megabyte.
const QUALITY: u8 = 65;

/// The `number`th photograph of a collection, counted from 0.
pub(super) fn picture(collection: Collection, number: u64) -> Result<Vec<u8>, String> {
    let mut dice = Dice::of(collection.seed, "photograph", [collection.n_boxes, number]);
    let n_pixels = SIDES.0 as usize * SIDES.1 as usize;
    let mut pixels = Vec::with_capacity(n_pixels + 8);
    while pixels.len() < n_pixels {
        pixels.extend_from_slice(&dice.eight());
    }
    pixels.truncate(n_pixels);
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY)
        .encode(&pixels, SIDES.0, SIDES.1, ExtendedColorType::L8)
        .map_err(|error| error.to_string())?;
    // What the app does with a camera's picture; it also says whether this is one that it keeps.
    photo::bare(&jpeg).map_err(|error| error.to_string())
}

/// The photographs as the log names them: of the things in `of`, one each, in turn.
pub(super) fn named(
    collection: Collection,
    of: &[Subject],
    n_photos: u64,
) -> Result<Vec<(Subject, Photo)>, String> {
    let subjects = of.iter().cycle().zip(0..n_photos);
    let named = subjects.map(|(subject, number)| {
        let bytes = picture(collection, number)?;
        let photo = Photo {
            sha256: photo::sha256(&bytes),
            n_bytes: u32::try_from(bytes.len()).map_err(|error| error.to_string())?,
            shows: Shows::Label,
        };
        Ok((*subject, photo))
    });
    named.collect()
}

/// Writes the survey file with its photographs, one of which is in memory at a time.
pub(super) fn write(
    collection: Collection,
    log: &Log,
    parts: &Parts,
    n_photos: u64,
    out: &mut dyn Write,
) -> Result<(), String> {
    let mut photos = Vec::new();
    for number in 0..n_photos {
        let bytes = picture(collection, number)?;
        photos.push((Elsewhere::of(photo::sha256(&bytes), &bytes), number));
    }
    photos.sort_by(|(left, _), (right, _)| left.sha256.cmp(&right.sha256));
    let (elsewhere, numbers): (Vec<Elsewhere>, Vec<u64>) = photos.into_iter().unzip();
    let pieces = survey_file::write_around(log, parts, &elsewhere).map_err(|error| error.to_string())?;
    if pieces.len() != numbers.len() + 1 {
        return Err("the survey names other photographs than were made".to_owned());
    }
    let mut numbers = numbers.into_iter();
    for piece in pieces {
        out.write_all(&piece).map_err(|error| error.to_string())?;
        if let Some(number) = numbers.next() {
            let bytes = picture(collection, number)?;
            out.write_all(&bytes).map_err(|error| error.to_string())?;
        }
    }
    Ok(())
}
