"""Sentences about how sure a mark is."""

SENTENCES = {
    "step-not-positive": "The {name} is read to {value} in; a step must be more than zero.",
    "level-shorter-than-side": (
        "At end {end} the {level} in level is shorter than the {height} in side: a slip in its "
        "gap grows {grows} times, and the offset is within {off} in. With a {longer} in level it "
        "would be within {then} in."
    ),
    "readings-disagree": (
        "Readings of {first} in and {second} in are {apart} in apart, and the instruments allow "
        "{allowed} in. Read it again."
    ),
    "end-readings-disagree": (
        "Two readings of one wall put the offset {apart} in apart, and the level allows "
        "{allowed} in. Read it again."
    ),
}
