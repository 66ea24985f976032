"""Sentences about how sure a mark is."""

SENTENCES = {
    "step-not-positive": "The {name} is read to {value} in; a step must be more than zero.",
    "level-shorter-than-side": (
        "At end {end} a level of {level} in stands under a side of {height} in: a slip in its gap "
        "grows {grows} times, and the offset can be {off} in off; a level of {longer} in would do, "
        "{then} in off at most."
    ),
    "readings-disagree": (
        "Readings of {first} in and {second} in lie {apart} in apart, and their steps allow "
        "{allowed}; read it again."
    ),
    "end-readings-disagree": (
        "Two readings of one wall put the offset {apart} in apart, and their steps allow "
        "{allowed}; read it again."
    ),
}
