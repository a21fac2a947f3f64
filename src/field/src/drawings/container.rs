//! The box: whether it is there, what lives in it, how full it is.

use super::Set;

const OPEN: &str = "l M18 32H102V72H18ZM18 32L8 20M102 32L112 20";
const SHUT: &str = "l M18 30H102V72H18ZM12 18H108V30H12Z";

pub(super) const SET: Set = &[
    (
        "outcome/found_opened",
        &[OPEN, "w M30 40H42V66H30ZM48 40H60V66H48ZM66 40H78V66H66Z"],
    ),
    (
        "outcome/not_found",
        &[
            "d M18 30H102V72H18ZM12 18H108V30H12Z",
            "l M52 46q0-7 8-7t8 6-8 8v4M60 63v1",
        ],
    ),
    ("outcome/not_opened", &[SHUT, "l M50 40H70"]),
    (
        "outcome/stopped",
        &[SHUT, "g M52 34H68L78 44V58L68 68H52L42 58V44Z", "l M50 51H70"],
    ),
    ("mould/none", &[OPEN, "w M30 42H90V66H30Z"]),
    (
        "mould/seen",
        &[
            OPEN,
            "w M30 42H90V66H30Z",
            "s c48 52 5",
            "s c74 58 4",
            "l M48 46V34M42 48l-8-7M54 48l8-7M41 54l-10 3M74 53V42M69 57l-8 2M79 56l9-4",
        ],
    ),
    (
        "mould/suspected",
        &[OPEN, "w M30 42H90V66H30Z", "o M40 48H58M64 54H84M44 60H66"],
    ),
    ("vermin/none", &[OPEN, "t M30 66H90"]),
    (
        "vermin/old_signs",
        &[
            "l M18 32H102V72H72q-4-8-10-6t-8-5-8 11H18ZM18 32L8 20M102 32L112 20",
            "t M84 52q6-6 12 0-6 6-12 0M90 49v-5M90 55v5",
        ],
    ),
    (
        "vermin/signs",
        &[
            OPEN,
            "s M26 64q5-7 11-1-4 6-11 1ZM42 68q5-7 11-1-4 6-11 1ZM40 56q5-7 11-1-4 6-11 1Z",
            "w M62 62q0-18 20-18 12 0 14 10l-6 8Z",
            "l M62 62q-8 2-8-8M86 44q0-8 7-6M91 53v1",
        ],
    ),
    ("fullness/quarter", &[OPEN, "w M20 62H100V70H20Z"]),
    ("fullness/half", &[OPEN, "w M20 52H100V70H20Z"]),
    ("fullness/three_quarters", &[OPEN, "w M20 42H100V70H20Z"]),
    ("fullness/full", &[OPEN, "w M20 70V34Q60 16 100 34V70Z"]),
];
