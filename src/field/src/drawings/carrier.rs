//! Kinds of carrier, and reels by size: the dashed ring is a reel of 12 inches.

use super::Set;

pub(super) const SET: Set = &[
    (
        "carrier/reel_quarter",
        &[
            "l c44 40 34",
            "w c44 40 25",
            "g c44 40 9",
            "l M92 6V74M103 6V74",
            "w M92 15H103V65H92Z",
        ],
    ),
    (
        "carrier/reel_half",
        &[
            "l c42 40 34",
            "w c42 40 25",
            "g c42 40 9",
            "l M86 6V74M107 6V74",
            "w M86 15H107V65H86Z",
        ],
    ),
    (
        "carrier/reel_wide",
        &[
            "l c36 40 32",
            "w c36 40 24",
            "g c36 40 9",
            "l M76 6V74M116 6V74",
            "w M76 15H116V65H76Z",
        ],
    ),
    (
        "carrier/cassette",
        &[
            "l M14 12H106V68H14Z",
            "l c44 38 9",
            "l c76 38 9",
            "t M24 20H96V26H24Z",
            "l M30 68l5-13H85l5 13",
        ],
    ),
    (
        "carrier/microcassette",
        &[
            "d M14 12H106V68H14Z",
            "l M34 24H86V58H34Z",
            "l c50 38 5",
            "l c70 38 5",
            "l M46 58l2-7H72l2 7",
        ],
    ),
    (
        "carrier/minicassette",
        &[
            "d M14 12H106V68H14Z",
            "l M32 22H88V60H32Z",
            "l c49 42 8",
            "l c71 42 8",
            "t M32 29H88",
        ],
    ),
    (
        "carrier/dat",
        &[
            "d M14 12H106V68H14Z",
            "l M26 18H94V64H26Z",
            "l M26 50H94",
            "t M38 26H82V42H38Z",
            "s c60 57 2",
        ],
    ),
    (
        "carrier/cartridge_8track",
        &[
            "l M22 4H98V76H22Z",
            "w c52 38 24",
            "g c52 38 9",
            "l c87 15 7",
            "t M30 76V69H90V76",
        ],
    ),
    (
        "carrier/cartridge_broadcast",
        &[
            "l M22 4H98V76H22Z",
            "w c60 34 24",
            "g c60 34 9",
            "d c86 64 8",
            "t M30 76V70H70V76",
        ],
    ),
    (
        "carrier/large_cassette",
        &[
            "l M4 4H116V76H4Z",
            "w c38 38 24",
            "g c38 38 8",
            "w c88 38 16",
            "g c88 38 8",
            "d M14 72H106",
        ],
    ),
    (
        "carrier/wire",
        &[
            "l M36 8H84M36 72H84M44 8V72M76 8V72",
            "t M44 16H76M44 21H76M44 26H76M44 31H76M44 36H76M44 41H76M44 46H76M44 51H76M44 56H76M44 61H76M76 46c24-8 8 22 32 14",
        ],
    ),
    (
        "carrier/other_audio",
        &[
            "l c60 40 36",
            "t c60 40 29",
            "t c60 40 24",
            "t c60 40 19",
            "l c60 40 12",
            "s c60 40 2",
        ],
    ),
    (
        "carrier/video_other",
        &[
            "l M14 14H106V66H14Z",
            "l M32 14V66M88 14V66M32 40H88",
            "s M20 20h6v6h-6ZM20 32h6v6h-6ZM20 44h6v6h-6ZM20 56h6v6h-6ZM94 20h6v6h-6ZM94 32h6v6h-6ZM94 44h6v6h-6ZM94 56h6v6h-6Z",
        ],
    ),
    // To scale: an eighth of a unit to the millimetre.
    ("size/r3", &["d c60 40 38", "w c60 40 9.5", "g c60 40 4"]),
    ("size/r4", &["d c60 40 38", "w c60 40 12.7", "g c60 40 4"]),
    ("size/r5", &["d c60 40 38", "w c60 40 15.9", "g c60 40 4"]),
    ("size/r5_75", &["d c60 40 38", "w c60 40 18.2", "g c60 40 4"]),
    ("size/r7", &["d c60 40 38", "w c60 40 22.2", "g c60 40 4"]),
    ("size/r8_25", &["d c60 40 38", "w c60 40 26.2", "g c60 40 4"]),
    ("size/r10_5", &["d c60 40 38", "w c60 40 33.4", "g c60 40 8"]),
    ("size/r12", &["w c60 40 38", "g c60 40 8"]),
];
