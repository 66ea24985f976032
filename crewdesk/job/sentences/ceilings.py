"""Sentences about the ceiling's heights and the scribe."""

SENTENCES = {
    "ceiling-station-form": (
        "{text} is not a station; write AT:HEIGHT_A:HEIGHT_B, three lengths, as 72:12-1/4:12-3/8."
    ),
    "ceiling-too-few-stations": (
        "Stations so far: {count}; read the ceiling at both ends and the center at least."
    ),
    "ceiling-no-end-station": (
        "The station nearest to end {end} stands {off} in away from it; "
        "read one within {near} in of each end."
    ),
    "ceiling-stations-out-of-order": (
        "The station at {at} in comes after the one at {before} in; "
        "give them in order, from end 1 to end 2."
    ),
    "ceiling-station-twice": "The station at {at} in is given twice; keep one reading of it.",
    "ceiling-station-beyond": (
        "The station at {at} in lies beyond the beam's end at {length} in; "
        "stations are measured from end 1."
    ),
    "ceiling-negative": "The ceiling's {name} is {value} in; it must be zero or more.",
    "ceiling-not-positive": "The ceiling's {name} is {value} in; it must be more than zero.",
    "ceiling-setting-over-height": (
        "A scriber setting of {setting} in would eat up a side {height} in high; "
        "read the ceiling again, or start with higher sides."
    ),
    "ceiling-drop-short": (
        "The lowest finished height is {lowest} in, under the wanted {drop} in; "
        "sides that start at {needed} in would meet it."
    ),
    "ceiling-cut-over-tape": (
        "The deepest cut is {deepest} in, over the tape's {tape} in; "
        "tape {wide} in wide takes the whole line."
    ),
    "ceiling-cut-over-any-tape": (
        "The deepest cut is {deepest} in, and the widest tape is {widest} in; "
        "lay strips side by side, and make sure that this is no slope to be cut as one."
    ),
    "ceiling-alone-out-across": (
        "Scribed each by itself, the two sides would end {across} in out of level "
        "with one another; level the pair first, then scribe both at one setting."
    ),
    "ceiling-alone-out-along": (
        "Scribed as it rests when pushed up, a side would end {along} in out of level "
        "from end to end; pry it level first."
    ),
    "ceiling-no-centre-station": (
        "The ceiling hasn't been measured near the center, at {centre} in. Measure it there "
        "before cutting."
    ),
    "ceiling-margin-thin": (
        "The margin of {margin} in is less than the setting can be off by, {off} in. Where the "
        "ceiling is highest the line may run off the board: look there before you cut. If it "
        "does, set the scriber {more} in wider and draw both lines again."
    ),
}
