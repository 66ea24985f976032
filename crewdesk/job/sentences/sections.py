"""Sentences about the section of a beam and its bottom board."""

SENTENCES = {
    "section-not-positive": "The section's {name} is {value}; it must be more than zero.",
    "section-negative": "The section's {name} is {value}; it must be zero or more.",
    "section-bevel-too-steep": "A relief bevel of {bevel} degrees is too steep; the most is 45.",
    "section-flat-over-thickness": (
        "A flat of {flat} in is more than the bottom board's thickness of {thickness} in."
    ),
    "section-no-room-for-bottom": (
        "A beam {width} in wide has no room for a bottom board: sides and fit take {taken} in."
    ),
    "section-no-room-for-relief": (
        "A bottom board {width} in wide is too narrow for its relief bevels; "
        "a wider flat or a smaller bevel would do."
    ),
    "section-cleat-line-over-height": (
        "Sides {height} in high leave nothing over the bottom board: its reveal and thickness take "
        "{cleat_line} in. Use higher sides, or a smaller reveal."
    ),
    "bottom-undercut-out-of-range": (
        "An under-cut of {undercut} in is not from 0 to {limit} in; 1/32 is usual."
    ),
    "bottom-length-not-positive": (
        "A reading of {reading} in leaves nothing of the bottom board after its under-cut."
    ),
}
