"""Sentences about forms of beam, and the sheet of settings."""

SENTENCES = {
    "form-not-positive": "The beam's {name} is {value} in; it must be more than zero.",
    "form-corner-out-of-range": (
        "A corner of {corner} degrees can't be mitered here; use one from 90 to below 180."
    ),
    "form-ridge-without-pitch": (
        "A beam along a ridge needs the pitch over side A; write it as 6/12 or 26.5deg."
    ),
    "form-no-room": "A beam or board {width} in wide has no room for that form's boards.",
    "form-no-height-for-top": (
        "Sides {height} in high have no room for a top board: bottom, reveal and top take "
        "{taken} in."
    ),
    "form-unknown": "{name} isn't a beam type. Use {known}.",
    "form-one-height": "A {name} beam has sides of one height; --height-b is for three-board.",
    "setting-without-parts": "{piece} asks nothing of the {machine}; give at least one setting.",
    "setting-negative": "{piece} asks for a {part} of {value}; it must be zero or more.",
    "setting-parts-differ": (
        "{piece} names other settings of the {machine} than the pieces before it: {parts}."
    ),
    "setting-form": (
        "{text} is not a piece and its settings; write PIECE:MACHINE:LENGTH:PART=VALUE, "
        "as 1A:saw:146-3/4:fence=11-1/4, with a comma before each further PART=VALUE."
    ),
}
