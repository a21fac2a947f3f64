//! Damage and repairs.

use super::Set;

const STRIP: &str = "w M6 30H114V52H6Z";
const SHELL: &str = "l M14 10H106V62H14Z";
const HUBS: &str =
    "l M34 34a8 8 0 1 0 16 0a8 8 0 1 0-16 0M70 34a8 8 0 1 0 16 0a8 8 0 1 0-16 0M32 62l4-10H84l4 10";

pub(super) const SET: Set = &[
    ("damage/none", &[STRIP]),
    (
        "damage/snapped_square",
        &["w M6 30H52V52H6Z", "w M68 30H114V52H68Z"],
    ),
    (
        "damage/snapped_stretched",
        &[
            "w M6 28H30C42 28 46 39 57 39V43C46 43 42 54 30 54H6Z",
            "w M114 28H90C78 28 74 39 63 39V43C74 43 78 54 90 54H114Z",
        ],
    ),
    (
        "damage/torn",
        &[
            "w M6 28H56l-7 6 8 5-10 5 6 10H6Z",
            "w M114 28H72l-7 7 8 4-9 6 7 9H114Z",
        ],
    ),
    (
        "damage/edge",
        &["w M6 28H24l5 9 6-9H54l3 6 4-6H80l5 11 6-11H114V54H6Z"],
    ),
    (
        "damage/crease",
        &[STRIP, "l M36 30l-10 22M50 30l8 22M74 30l-9 22M86 30l10 22"],
    ),
    ("damage/splices_some", &[STRIP, "l M44 26H76V56H44ZM54 56L66 26"]),
    (
        "damage/splices_many",
        &[
            STRIP,
            "l M12 26H34V56H12ZM49 26H71V56H49ZM86 26H108V56H86ZM19 56l8-30M56 56l8-30M93 56l8-30",
        ],
    ),
    (
        "damage/splices_failing",
        &[
            "w M6 30H54V52H6Z",
            "w M66 30H114V52H66Z",
            "l M36 26q18-18 46-8",
            "o M40 60H80M50 68H72",
        ],
    ),
    (
        "damage/flange_bent",
        &["l M32 6V74", "l M88 6C86 26 108 40 88 74", "w M34 14H80V66H34Z"],
    ),
    (
        "damage/rust",
        &[
            "l c60 40 36",
            "t c60 40 28",
            "g c60 40 10",
            "s M34 26q8-8 14-1-3 9-14 1ZM78 50q10-4 11 5-9 6-11-5ZM50 62q7-5 12 1-5 6-12-1Z",
            "o M32 44H46M72 24H86",
        ],
    ),
    ("damage/shell", &[SHELL, HUBS, "l M58 10l-8 12 12 8-8 12 9 8"]),
    (
        "damage/pads",
        &[
            "l M8 14H112M8 66H112",
            "w M20 46H100V51H20Z",
            "l M30 66Q60 52 90 66",
            "d M50 28H70V42H50Z",
        ],
    ),
    ("damage/loop_out", &[SHELL, HUBS, "l M46 62c-10 20 38 20 28 0"]),
    (
        "damage/corroded_wire",
        &[
            "l M36 8H84M36 72H84M44 8V72M76 8V72",
            "t M44 16H76M44 21H76M44 26H76M44 31H76M44 36H76M44 41H76M44 46H76M44 51H76M44 56H76M44 61H76",
            "s M50 22q9-6 14 2-6 7-14-2ZM56 48q9-6 14 2-6 7-14-2Z",
        ],
    ),
];
