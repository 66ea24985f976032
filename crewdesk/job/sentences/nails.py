"""Sentences about nails."""

SENTENCES = {
    "nail-needs-two-pieces": (
        "A nail holds one piece to another; give at least two thicknesses, the one under its "
        "head first."
    ),
    "nail-piece-not-positive": "A piece is {thickness} in thick; it must be more than zero.",
    "nail-not-positive": "The nail is {length} in long; it must be more than zero.",
    "nail-gauge-form": "{text} is not a gauge; write 15, 16, 18 or 23.",
    "nail-gauge-unknown": "Gauge {number} is not known; it can be {known}.",
    "nail-too-short": (
        "A nail of {length} in doesn't get past the first piece, {first} in; it holds nothing."
    ),
    "nail-comes-through": (
        "A nail of {length} in comes through a stack of {stack} in, or within {clear} in of it "
        "when its head is set; at most {longest} in stays inside."
    ),
    "nail-none-fits": (
        "No {gauge} gauge nail as sold gets past the first piece, {first} in, and is no longer "
        "than {most} in, which is all that stays inside."
    ),
    "nail-holds-little": (
        "It holds {hold} in in the second piece; under {least} in is little, so glue it as well."
    ),
    "nail-length-not-sold": "{length} in is no usual length of that gauge; {sold} are.",
    "nail-wires-behind": "Look for wires and pipes behind before nailing into framing.",
}
