//! The wound tape: how it lies, what shape it has, how its end hangs, whether light comes through.

use super::Set;

pub(super) const SET: Set = &[
    // Light behind a reel: rays all around, and what comes through.
    (
        "light/glows",
        &["l c60 40 28", "y c60 40 22", "g c60 40 8", "t c60 40 17", RAYS],
    ),
    ("light/dark", &["l c60 40 28", "s c60 40 22", "g c60 40 8", RAYS]),
    (
        "light/bands",
        &[
            "l c60 40 28",
            "y c60 40 22",
            "s c60 40 18",
            "y c60 40 13",
            "g c60 40 7",
            RAYS,
        ],
    ),
    (
        "light/could_not",
        &[
            "w c60 40 30",
            "l c60 40 30",
            "g c60 40 6",
            "g c60 22 3",
            "g c44 50 3",
            "g c76 50 3",
        ],
    ),
    // Across the width, as if cut; the thin line is a straight edge.
    ("shape/flat", &["w M18 34H102V41H18Z", "t M12 54H108"]),
    (
        "shape/cupped",
        &["w M18 24Q60 62 102 24L98 18Q60 52 22 18Z", "t M12 56H108"],
    ),
    (
        "shape/edge_ripple",
        &["w M6 28q9-13 18 0t18 0 18 0 18 0 18 0 18 0V58H6Z"],
    ),
    (
        "shape/curl",
        &[
            "w c46 48 26",
            "g c46 48 9",
            "l M46 22c30-12 56-12 56 3s-22 12-16-2",
        ],
    ),
    (
        "shape/shrunken",
        &["l c60 40 37", "w c60 40 27", "g c60 40 19", "l c60 40 10"],
    ),
    (
        "shape/stretched",
        &[
            "w M4 22H34C50 22 54 36 66 36H116V44H66C54 44 50 58 34 58H4Z",
            "t M78 36q5 4 0 8M92 36q5 4 0 8M106 36q5 4 0 8",
        ],
    ),
    (
        "wind/even",
        &[
            "l c60 40 37",
            "w c60 40 30",
            "t c60 40 24",
            "t c60 40 18",
            "g c60 40 11",
        ],
    ),
    (
        "wind/spoking",
        &[
            "l c60 40 37",
            "w c60 40 30",
            "g c60 40 11",
            "l M71 40H90M65.5 49.5L75 66M54.5 49.5L45 66M49 40H30M54.5 30.5L45 14M65.5 30.5L75 14",
        ],
    ),
    (
        "wind/windowing",
        &[
            "l c60 40 37",
            "w c60 40 30",
            "g c60 40 11",
            "y M37 36q4-14 20-16-9 6-12 17ZM82 44q-3 13-18 17 8-7 10-17Z",
        ],
    ),
    // The pack cut through, on its lower flange: turns stand side by side.
    (
        "wind/steps",
        &[
            "l M12 68H108",
            "w M22 67V40H44V28H62V44H80V34H98V67Z",
            "t M29 67V40M36 67V40M50 67V28M56 67V28M68 67V44M74 67V44M86 67V34M92 67V34",
        ],
    ),
    (
        "wind/popped",
        &[
            "l M12 68H108",
            "w M22 67V40H98V67Z",
            "t M30 67V40M38 67V40M54 67V40M62 67V40M78 67V40M88 67V40",
            "l M46 67V24M70 67V18M72 67V30",
        ],
    ),
    (
        "wind/cinching",
        &[
            "l c60 40 37",
            "w c60 40 30",
            "t c60 40 18",
            "g c60 40 11",
            "l M37 34C41 20 54 14 66 17l-4 8 11-3-2 9 11-1-3 9",
        ],
    ),
    (
        "wind/loose",
        &[
            "l c60 40 37",
            "w c60 42 29",
            "t c61 43 24",
            "g c62 45 18",
            "l c60 38 9",
        ],
    ),
    (
        "wind/flange_pack",
        &[
            "l M28 6V74M92 6V74",
            "w M30 14H62V66H30Z",
            "t M62 36H92M62 44H92",
            "l M86 22H70M75 17l-5 5 5 5",
        ],
    ),
    (
        "wind/no_flange",
        &[
            "w M14 44a46 16 0 0 0 92 0V32H14Z",
            "w M14 32a46 16 0 1 0 92 0a46 16 0 1 0-92 0Z",
            "g M46 32a14 5 0 1 0 28 0a14 5 0 1 0-28 0Z",
            "l M6 68H114V74H6Z",
        ],
    ),
    (
        "free_end/no_free_end",
        &[
            "w c58 42 31",
            "g c58 42 10",
            "t c58 42 24",
            "s M76 12l14 11-6 8-14-11Z",
        ],
    ),
    (
        "free_end/leaves",
        &[
            "w c46 36 29",
            "g c46 36 10",
            "t c46 36 22",
            "l M75 36V77",
            "d M75 36V4",
        ],
    ),
    (
        "free_end/clings",
        &[
            "w c46 36 29",
            "g c46 36 10",
            "t c46 36 22",
            "l M79 36A33 33 0 0 1 44 69L34 77",
            "d M79 36V77",
        ],
    ),
];

const RAYS: &str = "l M60 7V2M60 73V78M27 40H20M93 40H100M36 17l-4-4M84 17l4-4M36 63l-4 4M84 63l4 4";
