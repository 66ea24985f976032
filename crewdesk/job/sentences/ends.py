"""Sentences about readings at the ends of a side."""

SENTENCES = {
    "end-form": "{text} is not a gap and a lean; write GAP:in or GAP:out, as 5/32:in.",
    "end-lean-unknown": "The lean is {lean}; it must be in (towards the beam at the top) or out.",
    "end-gap-negative": "The gap at the level is {gap} in; it must be zero or more.",
    "end-level-not-positive": "The level's length is {level} in; it must be more than zero.",
    "end-gap-over-level": (
        "A gap of {gap} in is longer than the level, {level} in; read the gap at the level's end."
    ),
    "end-lean-too-steep": (
        "A gap of {gap} in over {level} in is a wall {angle} degrees off plumb; "
        "up to {limit} is believed."
    ),
    "side-length-not-positive": "The side's length is {length} in; it must be more than zero.",
    "side-height-not-positive": "The side's height is {height} in; it must be more than zero.",
    "side-top-not-positive": (
        "The two ends' offsets leave nothing of the top edge ({top_length} in); "
        "read the gaps again."
    ),
}
