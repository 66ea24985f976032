"""Sentences about slopes, ridges and compound cuts."""

SENTENCES = {
    "pitch-unread": (
        "{text} is not a pitch; write rise per 12 as 6/12, degrees as 26.565deg, "
        "or two readings as RISE:RUN."
    ),
    "pitch-negative": "The pitch is {value}; it must be zero or more, with the low end named low.",
    "pitch-too-steep": (
        "A slope of {degrees} degrees is more than a ceiling's; up to {limit} is believed."
    ),
    "slope-needs-two": (
        "A slope takes two of pitch, run, rise and length, and no more; {count} were given."
    ),
    "slope-not-positive": "The slope's {name} is {value} in; it must be more than zero.",
    "slope-longer-run": (
        "A run or rise of {leg} in can't be that of a slope {length} in long; read both again."
    ),
    "slope-level-with-rise": (
        "A rise of {rise} in and a slope without pitch don't tell how long it is; "
        "give its run or its length."
    ),
    "slope-run-eaten-up": (
        "Half the ridge beam takes {taken} in of a run of {run} in; "
        "measure the run to the ridge's center line."
    ),
    "slope-end-too-steep": (
        "The {end} end's cut would lie over {limit} degrees off square under a slope of "
        "{degrees} degrees and that wall; read the wall again."
    ),
    "slope-wall-needs-level": "A wall's reading needs the level's length; add --level.",
    "slope-ridge-form": "{text} is not a ridge beam; write WIDTH:SIDE_HEIGHT, as 8:10.",
    "slope-ridge-and-high": (
        "The high end dies into the ridge beam, whose face is plumb; give no wall there."
    ),
    "slope-hangs-below-ridge": (
        "The sloped side's end is {end} in down the ridge beam's face, which is {ridge} in high: "
        "it hangs {below} in below; make the ridge beam higher or the sloped one less."
    ),
    "ridge-not-positive": "The ridge beam's {name} is {value} in; it must be more than zero.",
    "ridge-no-room": "A ridge beam {width} in wide has no room: its sides take {taken} in.",
    "ridge-off-the-beam": (
        "The ridge lies {off} in off the beam's middle; both sides stand under it "
        "only up to {limit} in."
    ),
    "ridge-drop-too-small": (
        "Side {side} has no height left: the ceiling falls {fall} in to it "
        "and the drop from the ridge is {drop} in."
    ),
}
