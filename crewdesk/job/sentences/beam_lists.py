"""Sentences about a list of beams as it is typed or pasted."""

_FORM = "ROOM: HOW MANY beams LENGTH WIDTHxHEIGHT, as Great room: 4 beams 16' 7-1/4x6"

SENTENCES = {
    "beams-none": f"No beam is told; write {_FORM}.",
    "beams-too-many-lines": "A list has at most {most} lines; give the rest in a second one.",
    "beams-line-too-long": "Line {line} has more than {most} characters: {text}...",
    "beams-no-room": (
        f"Line {{line}}, {{text}}, names no room, and none came before; write {_FORM}."
    ),
    "beams-count": "Line {line} tells {count} beams; from 1 to {most} are taken in a line.",
    "beams-section": (
        "Line {line} tells a section {width} in wide and {height} in high; from 3 to 48 in wide "
        "and 2 to 48 in high are taken: width first, over the sides."
    ),
    "beams-ambiguous": "Line {line} can be read in more than one way; write {readings}.",
    "beams-type": (
        "Line {line}: leave out {type}. A list has no beam types; once the beams are added, set a "
        "beam's type and ceiling with Edit beam on the run sheet."
    ),
    "beams-unread": f"Line {{line}}, {{text}}, is not understood; write {_FORM}.",
}
