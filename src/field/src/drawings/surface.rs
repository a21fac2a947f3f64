//! What lies on the tape or has come off it, and how its back looks.

use super::Set;

/// The edge of a pack, seen from above what lies under it.
const PACK: &str = "w M14 6H106V28H14Z";
const TURNS: &str = "t M14 12H106M14 17H106M14 22H106";
const GROUND: &str = "l M8 70H112";

pub(super) const SET: Set = &[
    ("residue/none", &[PACK, TURNS, GROUND]),
    (
        "residue/brown",
        &[
            PACK,
            TURNS,
            GROUND,
            "o M30 38H92M36 47H86M44 56H78",
            "w M38 69q22-16 44 0Z",
        ],
    ),
    (
        "residue/black",
        &[
            PACK,
            TURNS,
            GROUND,
            "s M28 46l58-8 3 6-58 9ZM40 60l42-5 2 5-42 6Z",
        ],
    ),
    (
        "residue/flakes",
        &[
            PACK,
            TURNS,
            GROUND,
            "l M28 42l10-4 5 7-9 6ZM60 36l9 3-2 9-10-3ZM84 48l8-5 6 8-9 4ZM46 60l10-3 4 7-11 4Z",
        ],
    ),
    (
        "residue/white",
        &[
            PACK,
            TURNS,
            GROUND,
            "l M36 38v16M29 42l14 8M43 42l-14 8M66 46v16M59 50l14 8M73 50l-14 8M92 36v14M86 39l12 8M98 39l-12 8",
        ],
    ),
    (
        "residue/grease",
        &[
            PACK,
            TURNS,
            "w M38 36q11 16 0 21-11-5 0-21ZM82 36q11 16 0 21-11-5 0-21Z",
            "l M12 70q12-7 24 0t24 0 24 0 24 0",
        ],
    ),
    (
        "hazard/none",
        &["l c60 40 36", "w c60 40 27", "g c60 40 10", "l M52 40l6 7 11-14"],
    ),
    (
        "hazard/growth",
        &[
            "l c60 40 36",
            "w c60 40 27",
            "g c60 40 10",
            "s c42 28 5",
            "s c80 54 4",
            "l M42 22V11M36 24l-8-7M48 24l8-7M35 30l-11 1M38 35l-6 9M80 60V71M75 56l-8 5M85 57l9 6M86 51l10-3",
        ],
    ),
    (
        "hazard/wet",
        &[
            "w M60 6q24 34 0 44-24-10 0-44Z",
            "l M12 68q12-8 24 0t24 0 24 0 24 0",
        ],
    ),
    (
        "hazard/soot",
        &[
            "l M62 4c4 12-4 18 6 30 6-2 8-6 8-11 14 24 4 51-16 51S32 56 42 34c3 5 6 7 9 6-3-14 2-26 11-36Z",
            "w M60 50c8 8 7 21 0 21s-9-12 0-21Z",
        ],
    ),
    (
        "hazard/droppings",
        &[
            "s M16 62q6-8 13-2-4 8-13 2ZM38 68q6-8 13-2-4 8-13 2ZM34 50q6-8 13-2-4 8-13 2Z",
            "w M66 36q14-18 34 0-20 18-34 0Z",
            "l M100 36l10-8M100 36l10 8M76 28l-4-10M84 26V14M92 29l4-10M76 44l-4 10M84 46v12M92 43l4 10",
        ],
    ),
    (
        "hazard/tide_line",
        &[
            "l M18 8H102V72H18Z",
            "w M18 46q11-9 21-2t21-3 21 5 21-4V72H18Z",
            "t M18 36q11-9 21-2t21-3 21 5 21-4",
        ],
    ),
    (
        "back/glossy",
        &["w M8 24H112V56H8Z", "l M26 50l18-20M36 50l18-20M82 50l18-20"],
    ),
    ("back/matt_black", &["s M8 24H112V56H8Z"]),
    (
        "back/matt_print",
        &[
            "w M8 24H112V56H8Z",
            "l M16 36h16M16 44h10M48 36h16M48 44h10M80 36h16M80 44h10",
        ],
    ),
    (
        "back/paper",
        &[
            "l M8 24H112V56H8Z",
            "t M14 32l10 5M30 48l9-5M44 30l8 7M56 50l11-3M70 31l9 3M84 46l8-7M98 34l8 4M20 50l6-3M60 38l7 3M90 52l8 1M36 38l5-2",
        ],
    ),
    (
        "back/matt_brown",
        &["w M8 24H112V56H8Z", "o M16 32H106M19 40H106M16 48H106"],
    ),
    (
        "back/leader",
        &[
            "l M8 24H112V56H8Z",
            "s M24 24H38L22 56H8ZM60 24H74L58 56H44ZM96 24H110L94 56H80Z",
        ],
    ),
];
