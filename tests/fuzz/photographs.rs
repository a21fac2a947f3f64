//! Photographs from a camera: what is taken is bare, and says nothing of where it was made.

use survey::photo;

use crate::targets::{Kind, Target};

pub(crate) fn all() -> Vec<Target> {
    vec![Target {
        name: "photograph",
        kind: Kind::Container,
        seeds: vec![jpeg()],
        feed: Box::new(|bytes| {
            let Ok(bare) = photo::bare(bytes) else {
                return false;
            };
            assert_eq!(photo::check_picture(&bare), Ok(()));
            assert!(bare.len() <= bytes.len());
            assert_eq!(
                photo::bare(&bare).as_ref(),
                Ok(&bare),
                "something was left to take out"
            );
            true
        }),
        cases: 2_000,
        long: 200_000,
        patience: 1,
    }]
}

/// The shape of a camera's file: what shows it, where it was made, a colour profile, a frame, data, and a picture behind it.
fn jpeg() -> Vec<u8> {
    let segments: [(u8, &[u8]); 7] = [
        (0xe0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"),
        (0xe1, b"Exif\0\0place"),
        (0xe2, b"ICC_PROFILE\0\x01\x01profile"),
        (0xee, b"Adobe\0"),
        (0xfe, b"a comment"),
        (0xc0, &[8, 4, 176, 6, 64, 1, 1, 0x11, 0]),
        (0xda, &[1, 1, 0, 0, 63, 0]),
    ];
    let mut bytes = vec![0xff, 0xd8];
    for (marker, body) in segments {
        bytes.extend([0xff, marker, 0, u8::try_from(body.len() + 2).unwrap()]);
        bytes.extend(body);
    }
    bytes.extend([0x12, 0xff, 0x00, 0x34, 0xff, 0xd9, 0xff, 0xd8]);
    bytes
}
