//! A drawn code is found again in a picture: small, turned, tilted, dim and grainy, or not at all, and never wrongly.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "pixels are small whole numbers"
)]

mod common;

use common::Dice;
use transfer::code::{self, Grain, Squares};
use transfer::{Reader, Stream, Taken};

/// A picture of a code: `size` pixels a side, the code's corners at these places (clockwise from the top left), black and
/// white at these grey values, with noise of up to `noise` added.
fn picture(
    code: &Squares,
    size: usize,
    corners: [(f32, f32); 4],
    (black, white): (f32, f32),
    noise: f32,
    dice: &mut Dice,
) -> Vec<u8> {
    let mut grey = Vec::with_capacity(size * size);
    let side = code.side as f32;
    for y in 0..size {
        for x in 0..size {
            let mut light = 0.0;
            // Four rays a pixel: an edge is as grey as it is in a camera.
            for (dx, dy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
                let (u, v) = inside(corners, x as f32 + dx, y as f32 + dy);
                let is_in = (0.0..1.0).contains(&u) && (0.0..1.0).contains(&v);
                let at = || (v * side) as usize * code.side + (u * side) as usize;
                light += match is_in {
                    true if code.black[at()] => black,
                    true => white,
                    false => 90.0,
                };
            }
            let grain = (dice.below(2_001) as f32 / 1_000.0 - 1.0) * noise;
            grey.push((light / 4.0 + grain).clamp(0.0, 255.0) as u8);
        }
    }
    grey
}

/// Where a point of the picture lies on the code: the projective map of a square to four corners (Heckbert 1989,
/// "Fundamentals of texture mapping and image warping", section 2.2.3), solved for the square.
fn inside(corners: [(f32, f32); 4], x: f32, y: f32) -> (f32, f32) {
    let [(x0, y0), (x1, y1), (x2, y2), (x3, y3)] = corners;
    let (dx1, dx2, sx) = (x1 - x2, x3 - x2, x0 - x1 + x2 - x3);
    let (dy1, dy2, sy) = (y1 - y2, y3 - y2, y0 - y1 + y2 - y3);
    let det = dx1 * dy2 - dy1 * dx2;
    let (g, h) = ((sx * dy2 - sy * dx2) / det, (dx1 * sy - dy1 * sx) / det);
    let (a, b) = (x1 - x0 + g * x1 - g * x, x3 - x0 + h * x3 - h * x);
    let (d, e) = (y1 - y0 + g * y1 - g * y, y3 - y0 + h * y3 - h * y);
    let (p, q, det) = (x - x0, y - y0, a * e - b * d);
    ((p * e - b * q) / det, (a * q - p * d) / det)
}

/// The sides of the pictures that are searched in turn: a code that one of them misses by bad luck, another finds.
const SIDES: [usize; 3] = transfer::code::SIDES;

/// A name, the code's corners, the grey of black and of white, the noise.
type Scene = (&'static str, [(f32, f32); 4], (f32, f32), f32);

#[test]
fn codes_of_every_grain_are_found_in_what_a_camera_sees() {
    let mut dice = Dice(9);
    let whole: Vec<u8> = (0..6_000)
        .map(|_| u8::try_from(dice.below(256)).unwrap())
        .collect();
    // Corners in thousandths of the picture.
    let scenes: [Scene; 5] = [
        (
            "straight",
            [(60.0, 60.0), (940.0, 60.0), (940.0, 940.0), (60.0, 940.0)],
            (0.0, 255.0),
            0.0,
        ),
        (
            "small, dim, grainy",
            [(190.0, 180.0), (810.0, 180.0), (810.0, 800.0), (190.0, 800.0)],
            (40.0, 130.0),
            14.0,
        ),
        (
            "turned",
            [(281.0, 39.0), (953.0, 266.0), (727.0, 938.0), (55.0, 711.0)],
            (10.0, 230.0),
            6.0,
        ),
        (
            "tilted",
            [(94.0, 62.0), (922.0, 94.0), (953.0, 938.0), (47.0, 906.0)],
            (10.0, 230.0),
            6.0,
        ),
        (
            "upside down",
            [(930.0, 950.0), (60.0, 920.0), (80.0, 50.0), (950.0, 70.0)],
            (10.0, 230.0),
            6.0,
        ),
    ];
    for grain in Grain::ALL {
        let stream = Stream::new(whole.clone(), grain.block()).unwrap();
        for (scene, corners, lights, noise) in scenes {
            let (mut found, mut reader) = (0, Reader::default());
            for number in 0..4 {
                let frame = stream.frame(number);
                let drawn = code::draw(&frame).unwrap();
                for side in SIDES {
                    let corners =
                        corners.map(|(x, y)| (x * side as f32 / 1_000.0, y * side as f32 / 1_000.0));
                    let seen = code::find(
                        &picture(&drawn, side, corners, lights, noise, &mut dice),
                        side,
                        side,
                    );
                    for bytes in &seen {
                        // What the code's own correction lets through wrongly, the frame's sum does not.
                        let is_right = *bytes == frame;
                        let taken = reader.take(bytes);
                        assert!(
                            is_right || taken == Taken::NoFrame,
                            "{grain:?}, {scene}: a wrong frame was taken"
                        );
                        found += usize::from(is_right);
                    }
                }
            }
            println!("{grain:?}, {scene}: {found} of {} looks", 4 * SIDES.len());
            assert!(found >= 4, "{grain:?}, {scene}: only {found} were found");
        }
    }
}

#[test]
fn a_code_fills_its_version() {
    for (grain, side) in Grain::ALL.into_iter().zip([49, 57, 69]) {
        let frame = Stream::new(vec![7; 5_000], grain.block()).unwrap().frame(3);
        assert_eq!(code::draw(&frame).unwrap().side, side + 2 * code::QUIET);
    }
    assert!(code::draw(&[0; 3_000]).is_none());
}

#[test]
fn pictures_without_a_code_give_nothing_and_do_no_harm() {
    let mut dice = Dice(4);
    for (width, height) in [(0, 0), (20, 20), (21, 21), (64, 48), (333, 21)] {
        let noise: Vec<u8> = (0..width * height)
            .map(|_| u8::try_from(dice.below(256)).unwrap())
            .collect();
        assert!(code::find(&noise, width, height).is_empty());
        assert!(code::find(&noise, width + 1, height).is_empty());
    }
}
