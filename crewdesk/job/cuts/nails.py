"""The nails for each board: the chosen length, or the longest that stays inside."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.parsing import fraction
from crewdesk.job.text_limits import brief
from crewdesk.length import DEFAULT_STEP, STEPS
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.nails import (
    BRADS,
    CLEAR,
    LEAST_HOLD,
    SET_BELOW,
    Nail,
    Stack,
    gauge_of,
    longest_nail,
    nail,
)
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.read_length import read_length

NAILED = {"fix-cleats": "cleats", "nail-bottom": "bottom"}
"""What the nails hold, by the step that nails it."""
HELD = tuple(NAILED.values())


def stack_of(what: str, section: Section, projection: Fraction = CLEAT) -> Stack:
    """Return the pieces that a nail goes through, the one under its head first.

    A cleat's sawn face lies against the side, so it is as thick as its `projection` from the
    side, in inches; up the side it is as high as its stock, the sides', is thick. The bottom
    board is nailed up into that height.
    """
    height = section.side_thickness
    if what == "cleats":
        return Stack((projection, section.side_thickness))
    return Stack((section.bottom_thickness, height))


def nail_for(
    what: str,
    section: Section,
    chosen: Fraction | None = None,
    projection: Fraction = CLEAT,
) -> Nail:
    """Return the nail for a cleat into a side, or the bottom board into a cleat: the `chosen`
    length, or else the longest that stays inside. `projection` is how far the job's cleats reach
    off the sides. Raises `BadInput`, for example if the nail comes through."""
    stack = stack_of(what, section, projection)
    return longest_nail(stack) if chosen is None else nail(stack, chosen)


def edge_nail(section: Section, *, mitered: bool) -> Nail:
    """Return the nail through a side's face into the edge of a board that it meets: a mitered
    bottom, or a top board.

    The board is wide, so no nail comes through it driven straight; but one turns on a knot or along
    the grain, so it is no longer than both boards are thick together (common practice, no source).
    Where that holds too little in a thin board's square edge, it is the shortest that holds
    `LEAST_HOLD`; a miter is glued as well. Raises `BadInput` if no nail as sold fits.
    """
    side, board = section.side_thickness, section.bottom_thickness
    holding = [one for one in gauge_of(BRADS).lengths if one - side >= LEAST_HOLD]
    if not mitered and holding and min(holding) > side + board - SET_BELOW - CLEAR:
        return nail(Stack((side, section.width)), min(holding), BRADS)
    return longest_nail(Stack((side, board)), BRADS)


def typed_nails(
    typed: Mapping[str, str],
    sections: Iterable[tuple[str, Section]],
    *,
    projection: Fraction = CLEAT,
    unit: str = "in",
) -> dict[str, str]:
    """Return nail lengths from typed text, by `HELD`, as the record keeps them; an empty one is the
    longest that stays inside.

    `sections` are those they are for, each with the name of its beam; `projection` as for
    `nail_for`. Raises `BadInput`, and `NotAllowed` if a nail comes through.
    """
    sections = tuple(sections)
    kept, step = {}, STEPS["mm"] if unit == "mm" else DEFAULT_STEP
    for what, text in typed.items():
        if not text.strip():
            continue
        length = read_length(text, unit="mm" if unit == "mm" else "in")
        for name, section in sections:
            try:
                nail_for(what, section, length, projection)
            except BadInput as refusal:
                why = refusal.shown(step)
                raise NotAllowed(f"The nails for the {what} of {name}: {why}") from None
        kept[what] = str(length)
    return kept


def nails_from_doc(doc: Any) -> Mapping[str, Fraction]:
    """Return the lengths from the record; raises `NotAllowed`."""
    if not isinstance(doc, dict) or not set(doc) <= set(HELD):
        raise NotAllowed(f"Nails are chosen for {' and '.join(HELD)}, not {brief(doc)}.")
    lengths = {what: fraction(text, "nail's length") for what, text in doc.items()}
    if any(length <= 0 for length in lengths.values()):
        raise NotAllowed(
            "A nail's length must be more than zero. Leave it out for the longest that fits."
        )
    return lengths


FRAMING_GAUGE = 16
"""The gauge of nails for trim of this weight (common practice, no source)."""
DRYWALL = Fraction(1, 2)
"""Drywall between the side and its framing, in inches (common practice, no source): a nail
doesn't hold in it."""


def wall_cleat_nail(projection: Fraction) -> Nail:
    """Return the longest nail, as sold, for a cleat that reaches `projection` inches off a wall,
    through it and the drywall into framing. Raises `BadInput` if none is long enough."""
    return longest_nail(Stack((projection + DRYWALL,), into_framing=True), FRAMING_GAUGE)


def side_nail(section: Section) -> Nail:
    """Return the longest nail, as sold, for a side into framing; its cautions say to look for
    wires. It can't come through. Raises `BadInput` if none gets past the side and its drywall."""
    return longest_nail(
        Stack((section.side_thickness + DRYWALL,), into_framing=True), FRAMING_GAUGE
    )
