"""Sentences about boards to buy and how to cut them."""

SENTENCES = {
    "stock-length-not-positive": "The board {name} is {length} in long; it must be more than zero.",
    "stock-price-negative": "The board {name} has the price {price}; it must be zero or more.",
    "stock-count-negative": "Of the board {name} there are {count}; it must be zero or more.",
    "stretch-off-the-board": (
        "The bad stretch from {start} in to {end} in is not on the board {name}, which is "
        "{length} in long; give where it begins, then where it ends."
    ),
    "need-length-not-positive": "The piece {name} is {length} in long; it must be more than zero.",
    "need-count-not-positive": "Of the piece {name} {count} are wanted; it must be one or more.",
    "kerf-negative": "The kerf is {kerf} in; it must be zero or more.",
    "end-trim-negative": "The trim off each end is {end_trim} in; it must be zero or more.",
    "plan-no-needs": "There is no piece to cut; give at least one.",
    "plan-no-boards": "There is no board to cut from; give at least one length that can be had.",
    "plan-too-many-pieces": "{count} pieces are too many for one plan; the most is {limit}.",
    "piece-too-long": (
        "The piece {piece} is {length} in long and the longest clear board gives {longest} in; "
        "a longer board, less end trim or a splice would help."
    ),
    "match-too-big": (
        "No board is long and wide enough for {piece} together; a larger board, or not asking "
        "for one board for that beam, would help."
    ),
    "boards-run-out": (
        "There are too few boards for the piece {piece} and the rest; at least {more} more of "
        "{length} in would help."
    ),
    "no-plan-in-time": (
        "No plan was found in the time given that keeps to the boards at hand; "
        "more time or {more} more boards would help."
    ),
    "boards-stock-form": (
        "{text} is not a board to be had; write LENGTH, LENGTH:PRICE or LENGTH:PRICE:COUNT, "
        "as 144:19.40:6."
    ),
    "boards-have-form": (
        "{text} is not a board on hand; write LENGTH, or LENGTH:FROM..TO with bad stretches "
        "parted by commas, as 96:40..43."
    ),
    "boards-need-form": "{text} is not a piece; write LENGTH or LENGTH:COUNT, as 100-1/2:4.",
    "boards-count-unread": "{text} is not a count; write a whole number from 1 to {limit}.",
    "boards-price-missing": (
        "The board {name} has no price while another has; give every board one, or none."
    ),
    "boards-seconds-unread": "{text} is not a time limit; write seconds from 1 to {limit}.",
    "lumber-size-unknown": (
        "{text} is no size on record; thicknesses are {thicknesses} and widths {widths}, as 1x6."
    ),
    "lumber-quarters-unknown": "{text} is no thickness on record; those known are {known}.",
    "lumber-not-positive": "The board's {name} is {value}; it must be more than zero.",
    "lumber-price-negative": "The price is {price}; it must be zero or more.",
    "lumber-price-per-unknown": (
        "A price per {text} is not known; it is per piece, per foot or per board foot."
    ),
    "edge-trim-negative": "The trim off each edge is {edge_trim} in; it must be zero or more.",
    "stock-width-not-positive": "The board {name} is {width} in wide; it must be more than zero.",
    "need-width-not-positive": "The piece {name} is {width} in wide; it must be more than zero.",
    "cleats-not-positive": "The cleats are {width} in wide; it must be more than zero.",
    "cleats-negative": "The cleats' {name} is {value} in; it must be zero or more.",
    "cleats-as-wide-as-a-piece": (
        "The piece {piece} is {width} in wide as the cleats are; count its feet as cleats."
    ),
    "piece-too-big": (
        "No board holds the piece {piece}, {width} in wide and {length} in long; the widest "
        "gives {widest} in and the longest {longest} in, so a bigger board or a splice would help."
    ),
    "wide-boards-run-out": (
        "There are too few boards for the piece {piece} and the rest; at least {more} more "
        "would help."
    ),
    "splice-joint-unknown": "{joint} is no joint on record; a splice is a scarf or a butt.",
    "splice-part-not-positive": (
        "The shortest part of a spliced board is {shortest} in; it must be more than zero."
    ),
    "splice-negative": "The splices' {name} is {value}; it must be zero or more.",
    "splice-forbidden": (
        "The piece {piece} is {length} in long, the longest stock gives {longest} in, and this "
        "job allows no splice; a longer board or allowing splices would help."
    ),
    "splice-no-place": (
        "The piece {piece}, {length} in long, finds no place for a splice with stock of "
        "{longest} in: {from_centre} in from the center, {apart} in from the partner's and "
        "parts of {shortest} in; a longer board or smaller distances would help."
    ),
    "spare-negative": "The spare {name} is {value}; it must be zero or more.",
    "consumable-negative": "The {name} is {value}; it must be zero or more.",
    "consumable-pack-not-positive": "A pack holds {pack}; it must be more than zero.",
    "nails-run-not-positive": "A run of {length} in can't be nailed; it must be more than zero.",
    "nails-spacing-not-positive": "The nails' spacing is {spacing} in; it must be more than zero.",
    "bead-not-positive": "The bead is {diameter} in thick; it must be more than zero.",
    "glue-spread-not-positive": "The glue's spread is {mils} mils; it must be more than zero.",
}
