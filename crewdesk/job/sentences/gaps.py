"""Sentences about gaps found at the fix-up."""

_SOURCE = "(Architectural Woodwork Standards, 1st ed. 2009, p. 331)"

SENTENCES = {
    "gap-not-positive": "The gap is {gap} in wide; it must be more than zero.",
    "gap-too-wide": "A gap of {gap} in is hard to believe; up to {limit} in is taken.",
    "gap-over-workmanship-wood": (
        "Over the {thousandths} thousandths of an inch that good work stands open, wood to "
        f"wood {_SOURCE}."
    ),
    "gap-over-workmanship-other": (
        "Over the {thousandths} thousandths of an inch that good work stands off a wall or "
        f"ceiling {_SOURCE}, unless that is out by more than 1/4 in in 12 ft."
    ),
}
"""What a gap must be told with is named by what the wood meets."""
