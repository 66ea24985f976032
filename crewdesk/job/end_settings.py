"""How the miter saw is set for the ends of a bottom or top board: to length, then the relief."""

from collections.abc import Sequence
from fractions import Fraction

from crewdesk.job.cut import BLADE, MITER, Cut, Part, in_words
from crewdesk.job.shop_machine import ShopMachine
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.saw_passes import (
    EndPass,
    Face,
    Hand,
    TiltedEdge,
    end_passes,
    fence_side,
)
from crewdesk.trade.length import Length, Step, exact

MITER_SAW = "miter saw"
SQUARE_CUT = "cut to length"
STOP, STOP_AT_TABLE = "stop on edge A", "stop on edge A, at the table"
SLANT_UNKNOWN = (
    "Edge A and edge B differ, but not by which end: read the square at each wall, then the "
    "miter of each end is known."
)


def end_cuts(
    edge_a: Length,
    ends: Sequence[BoardEnd],
    unread: Sequence[int],
    machine: ShopMachine,
    step: Step,
) -> tuple[Cut, ...] | None:
    """The cuts of a board's two ends in their order, or None where the slant isn't known.

    `edge_a` is the length of edge A at the show face: every stop is along that edge, and a
    length is never set over. `unread` are the ends whose wall was not read with the square.
    All boards are cut to length before any is relieved.
    """
    down = machine.down(TiltedEdge(Fraction(1), Fraction(0)))
    passes = end_passes(edge_a, ends, down)
    if passes is None:
        return None
    flats: dict[int, Fraction] = {one.end: exact(one.flat) for one in ends}
    cuts = []
    for one in passes:
        notes = _notes(one, down, machine.tilts)
        if one.cut == "length" and (guessed := [end for end in one.ends if end in unread]):
            notes.append(_guessed(guessed))
        if one.cut == "relief":
            flat = in_words(flats[one.ends[0]], step)
            notes.append(f"Leaves {flat} flat at the show face: check it on a cutoff first.")
        turn = one.ends[0] if one.cut == "length" else len(ends) + one.ends[0]
        cuts.append(_cut(one, down, machine.tilts, tuple(notes))._replace(turn=turn))
    return tuple(cuts)


def _cut(one: EndPass, down: Face, tilts: Hand, notes: tuple[str, ...]) -> Cut:
    where = "both ends" if len(one.ends) == 2 else f"end {one.ends[0]}"
    sort = "relief bevel" if one.cut == "relief" else "bevel to length" if one.blade else SQUARE_CUT
    parts = [Part(BLADE, one.blade), Part(MITER, one.miter)]
    placed = ""
    if one.stop is not None:
        stop = STOP_AT_TABLE if one.blade else STOP
        parts.append(Part(stop, one.stop, "down" if one.cut == "length" else "near"))
        placed = f"stop {_stop_side(one, down, tilts)} of the blade" if one.blade else ""
    return Cut(MITER_SAW, tuple(parts), f"{sort}, {where}", placed, notes)


def _stop_side(one: EndPass, down: Face, tilts: Hand) -> Hand:
    """The side of the blade on which board and stop are. A board with square ends is turned
    so that it suits the saw; one with slanted ends keeps edge A against the fence, and has
    end 1 at the left with its back down, at the right with its show face down."""
    if len(one.ends) == 2:
        return fence_side(tilts, away=down == "back")
    return "right" if (one.ends[0] == 1) == (down == "back") else "left"


def _notes(one: EndPass, down: Face, tilts: Hand) -> list[str]:
    both, end = len(one.ends) == 2, one.ends[0]
    face = "Back down" if down == "back" else "Show face down"
    how = "one end, then the board turned end for end" if both else "edge A against the fence"
    notes = [f"{face}, {how}."] if one.blade else [f"{how[0].upper()}{how[1:]}."]
    if one.long_point:
        notes.append(f"Long point on edge {one.long_point}.")
    if one.stop is None:
        notes.append("No stop for this end: leave the length over.")
    elif not one.blade:
        notes.append("The stop counts at the show face.")
    if one.stop is not None and one.long_point:
        notes.append("Let the stop touch edge A's corner only.")
    if one.blade and both:
        notes.append(f"The blade leans {'away from' if down == 'back' else 'over'} the board.")
    elif one.blade:
        leans: Hand = "left" if end == 1 else "right"
        notes.append(f"The blade leans {leans}.")
        if leans != tilts:
            notes.append(
                f"Where the saw tilts {tilts} only: mark the stop's figure along edge A, turn "
                "the board end for end and cut to the mark."
            )
    return notes


def _guessed(ends: Sequence[int]) -> str:
    where = " and ".join(f"end {end}" for end in ends)
    return f"Taken for square at {where}: the square was not read there."
