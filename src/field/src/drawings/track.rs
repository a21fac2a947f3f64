//! Track layouts: bands along the tape, an arrow for the way each runs.

use super::Set;

pub(super) const SET: Set = &[
    (
        "tracks/full",
        &[
            "l M6 12H114V68H6Z",
            "w M6 16H114V64H6Z",
            "l M40 40H80M72 33l8 7-8 7",
        ],
    ),
    (
        "tracks/two_stereo",
        &[
            "l M6 12H114V68H6Z",
            "w M6 16H114V37H6ZM6 43H114V64H6Z",
            "l M40 26H80M74 21l6 5-6 5M40 54H80M74 49l6 5-6 5",
        ],
    ),
    (
        "tracks/half_mono",
        &[
            "l M6 12H114V68H6Z",
            "w M6 16H114V37H6Z",
            "l M40 26H80M74 21l6 5-6 5M80 54H40M46 49l-6 5 6 5",
            "t M6 43H114",
        ],
    ),
    (
        "tracks/quarter_stereo",
        &[
            "l M6 8H114V72H6Z",
            "w M6 10H114V23H6ZM6 41H114V54H6Z",
            "t M6 25H114M6 39H114M6 56H114",
            "l M44 16H76M71 12l5 4-5 4M44 47H76M71 43l5 4-5 4M76 32H44M49 28l-5 4 5 4M76 64H44M49 60l-5 4 5 4",
        ],
    ),
    (
        "tracks/quarter_mono",
        &[
            "l M6 8H114V72H6Z",
            "w M6 10H114V23H6Z",
            "t M6 25H114M6 39H114M6 56H114",
            "l M44 16H76M71 12l5 4-5 4",
            "t M44 47H76M71 43l5 4-5 4M76 32H44M49 28l-5 4 5 4M76 64H44M49 60l-5 4 5 4",
        ],
    ),
    (
        "tracks/four_one_way",
        &[
            "l M6 8H114V72H6Z",
            "w M6 10H114V23H6ZM6 26H114V38H6ZM6 41H114V54H6ZM6 57H114V70H6Z",
            "l M44 16H76M71 12l5 4-5 4M44 32H76M71 28l5 4-5 4M44 47H76M71 43l5 4-5 4M44 64H76M71 60l5 4-5 4",
        ],
    ),
    (
        "tracks/eight_one_way",
        &[
            "l M6 6H114V74H6Z",
            "w M6 9H114V14H6ZM6 17H114V22H6ZM6 25H114V30H6ZM6 33H114V38H6ZM6 41H114V46H6ZM6 49H114V54H6ZM6 57H114V62H6ZM6 65H114V70H6Z",
            "l M92 32l10 8-10 8",
        ],
    ),
    (
        "tracks/cassette_mono",
        &[
            "l M6 24H114V56H6Z",
            "w M6 26H114V38H6Z",
            "t M6 42H114",
            "l M44 32H76M71 28l5 4-5 4M76 49H44M49 45l-5 4 5 4",
        ],
    ),
    (
        "tracks/cassette_stereo",
        &[
            "l M6 16H114V64H6Z",
            "w M6 18H114V28H6ZM6 30H114V39H6Z",
            "t M6 42H114M6 53H114",
            "l M44 23H76M71 19l5 4-5 4M44 34H76M71 30l5 4-5 4M76 47H44M49 43l-5 4 5 4M76 59H44M49 55l-5 4 5 4",
        ],
    ),
];
