"""Sentences about wedges for the fix-up."""

SENTENCES = {
    "wedge-stock-not-positive": "The stock is {stock} in thick; it must be more than zero.",
    "wedge-bevel-out-of-range": (
        "A bevel of {bevel} degrees makes no wedge; it must be more than 0 and at most {limit}, "
        "and about 5 is usual."
    ),
    "wedge-gap-not-positive": "The gap is {gap} in; a wedge needs one of more than zero.",
    "wedge-gap-over-back": (
        "A gap of {gap} in is wider than the wedge's back, {back} in; "
        "a bevel of {bevel} degrees would do, or stock {stock} in thick."
    ),
}
