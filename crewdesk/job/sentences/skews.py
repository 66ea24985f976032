"""Sentences about walls that aren't square to the beam."""

SENTENCES = {
    "skew-form": (
        "{text} is not a reading with the square; write GAP:LEG:A or GAP:LEG:B, "
        "as 1/8:12:A where side A is the longer."
    ),
    "skew-longer-unknown": "The longer side is {longer}; it must be A or B.",
    "skew-gap-negative": "The gap at the square is {gap} in; it must be zero or more.",
    "skew-leg-not-positive": "The square's leg is {leg} in; it must be more than zero.",
    "skew-too-steep": (
        "A gap of {gap} in over {leg} in is a wall {angle} degrees off square; "
        "up to {limit} is accepted. Read it again."
    ),
    "skew-not-positive": "The {name} is {value} in; it must be more than zero.",
    "skew-bevel-out-of-range": "A back bevel of {bevel} degrees is not from 0 to 45.",
    "skew-nothing-read": (
        "Nothing says how the walls run. Read both ends with a square, "
        "or give the lengths of side A and side B, or both."
    ),
    "skew-one-length": "Only one side's length was given; give side A's and side B's.",
    "skew-bottom-over-width": (
        "A bottom board {bottom} in wide doesn't go into a beam {width} in wide."
    ),
    "skew-lengths-too-far-apart": (
        "Lengths of {a} in and {b} in over a beam {width} in wide mean walls that are over "
        "20 degrees off square; read both again."
    ),
    "skew-readings-disagree": (
        "The square and the two lengths are {off} in apart over the beam's width, "
        "more than {allowed} in. Read both again before cutting."
    ),
}
