"""Sentences about the bottom board's reading and cut."""

SENTENCES = {
    "bottom-reading-not-positive": (
        "The bottom board's reading is {reading} in; it must be more than zero."
    ),
    "bottom-edges-too-far-apart": (
        "The two edges' readings lie {apart} in apart over a board {width} in wide, more than "
        "walls {limit} degrees off square would make; read both again."
    ),
    "bottom-cut-over-reading": (
        "A cut of {cut} in is longer than its reading of {reading} in and would not go up; "
        "cut no more than the reading, or give a reason."
    ),
    "bottom-own-edges-disagree": (
        "Your own lengths, edge A {edge_a} in and edge B {edge_b} in, don't go with the walls' "
        "slants: with edge A as it is, edge B comes to {by_walls} in."
    ),
    "bottom-cut-over-allowed": (
        "The cut of {cut} in is longer than its reading of {reading} in, allowed because: {reason}."
    ),
    "bottom-readings-form": (
        "The bottom board is read along one line or along both edges; "
        "give --reading, or --edge-a and --edge-b."
    ),
}
