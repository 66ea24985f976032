"""How the miter saw is set for the ends of a bottom or top board: to length, then the relief."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from crewdesk.job.cut import (
    BLADE,
    BY_HAND,
    EDGE_BEVEL,
    MITER,
    SAW_TILTS_AT_MOST,
    Cut,
    Part,
    in_words,
    too_steep,
)
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
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.length import Length, Step, exact, rounded

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
    *,
    top: bool = False,
) -> tuple[Cut, ...] | None:
    """The cuts of a board's two ends in their order, or None where the slant isn't known.

    `edge_a` is the length of edge A at the show face: every stop is along that edge, and a
    length is never set over. `unread` are the ends whose wall was not read with the square.
    All boards are cut to length before any is relieved, and the relief is worked from the
    length as it was set. A `top` board shows its upper face, so it lies the other way round.
    """
    down = machine.down(TiltedEdge(Fraction(1), Fraction(0)))
    set_to = rounded(edge_a, step.size, "down")
    steep = [one for one in ends if exact(one.blade_deg) > SAW_TILTS_AT_MOST]
    sawn = [_square(one) if one in steep else one for one in ends]
    passes = end_passes(set_to, sawn, down)
    if passes is None:
        return None
    slants: dict[int, Side | None] = {one.end: one.longer for one in ends}
    flats: dict[int, Fraction] = {one.end: exact(one.flat) for one in ends}
    cuts = []
    for one in passes:
        first = one.stop is None
        kept = _over(set_to, [end for end in sawn if end.end not in one.ends], step, known=first)
        notes = _notes(one, down, machine.tilts, slants, kept, top=top)
        guessed = taken_as_square([end for end in ends if end.end in one.ends], unread)
        if one.cut == "length" and guessed:
            notes.append(guessed)
        if one.cut == "relief":
            flat = in_words(flats[one.ends[0]], step)
            notes.append(f"Leaves {flat} flat at the show face: check it on a cutoff first.")
        turn = one.ends[0] if one.cut == "length" else len(ends) + one.ends[0]
        cuts.append(_cut(one, down, machine.tilts, tuple(notes), top=top)._replace(turn=turn))
    by_hand = [_by_hand(one)._replace(turn=len(ends) + one.end) for one in steep]
    return tuple(sorted((*cuts, *by_hand), key=lambda cut: cut.turn))


def _square(end: BoardEnd) -> BoardEnd:
    """An end as the saw leaves it before a steep bevel is cut by hand: square through."""
    return end._replace(joint="square", blade_deg=0.0, back_short=Fraction(0))


def _by_hand(end: BoardEnd) -> Cut:
    """A bevel that is steeper than a saw tilts, cut by hand after the end was cut to length."""
    parts = (Part(EDGE_BEVEL, end.blade_deg), Part("back shorter by", end.back_short, "up"))
    notes = (
        "Cut to length first, as the show face has it. Then mark the back that much in from the "
        "end at both edges, along the edges, join the marks, and saw from there to the show "
        "face's corner by hand or in a jig; plane to the line.",
        f"! {too_steep(end.blade_deg)} Clamp the board; don't force a saw past its stop.",
    )
    return Cut(BY_HAND, parts, f"steep bevel, end {end.end}", notes=notes)


def _over(edge_a: Fraction, others: Sequence[BoardEnd], step: Step, *, known: bool) -> str:
    """The length along edge A that must be left while the first end is cut: the board's own,
    and at the other end what edge B needs past edge A there."""
    if not known:
        return ""
    past = max((-exact(one.offset or 0) for one in others), default=Fraction(0))
    left = rounded(edge_a + max(Fraction(0), past), step.size, "up")
    return in_words(left, step)


def _cut(one: EndPass, down: Face, tilts: Hand, notes: tuple[str, ...], *, top: bool) -> Cut:
    where = "both ends" if len(one.ends) == 2 else f"end {one.ends[0]}"
    sort = "relief bevel" if one.cut == "relief" else "bevel to length" if one.blade else SQUARE_CUT
    parts = [Part(BLADE, one.blade), Part(MITER, one.miter)]
    placed = ""
    if one.stop is not None:
        stop = STOP_AT_TABLE if one.blade else STOP
        parts.append(Part(stop, one.stop, "down" if one.cut == "length" else "near"))
        side = _stop_side(one, down, tilts, top=top)
        placed = f"stop {side} of the blade" if one.blade else ""
    return Cut(MITER_SAW, tuple(parts), f"{sort}, {where}", placed, notes)


def _stop_side(one: EndPass, down: Face, tilts: Hand, *, top: bool) -> Hand:
    """The side of the blade on which board and stop are. A board with square ends is turned
    so that it suits the saw; one with slanted ends keeps edge A against the fence, and has
    end 1 at the left with its back down, at the right with its show face down; a top board,
    seen from above, the other way round."""
    if len(one.ends) == 2:
        return fence_side(tilts, away=down == "back")
    at_left = ((one.ends[0] == 1) == (down == "back")) != top
    return "right" if at_left else "left"


def _notes(
    one: EndPass,
    down: Face,
    tilts: Hand,
    slants: Mapping[int, Side | None],
    kept: str,
    *,
    top: bool,
) -> list[str]:
    """The notes on a pass. The stop touches the far end: where edge B runs past there, it must
    touch edge A's corner alone. `kept` is the length to leave where there is no stop."""
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
    if one.stop is not None and not both and slants[3 - end] == "B":
        notes.append("Let the stop touch edge A's corner only: edge B runs past at the far end.")
    if one.blade and both:
        notes.append(f"The blade leans {'away from' if down == 'back' else 'over'} the board.")
    elif one.blade:
        leans: Hand = "left" if (end == 1) != top else "right"
        notes.append(f"The blade leans {leans}.")
        if leans != tilts:
            notes.append(_turned(one, down, tilts, kept))
    return notes


def _turned(one: EndPass, down: Face, tilts: Hand, kept: str) -> str:
    """What to do on a saw that tilts to one side only: turned end for end on the same face, a
    board has the same miter, and the blade leans the other way over it."""
    turned = (
        f"Where the saw tilts {tilts} only: turn the board end for end, edge B against the fence"
    )
    if one.stop is None:
        return f"{turned}, and cut where more than {kept} stays along edge A."
    face = "back" if down == "back" else "show face"
    return (
        f"{turned}; first mark the stop's figure along edge A on the {face}, which is down, "
        f"measured from the show face's corner at end {3 - one.ends[0]}, and cut to the mark."
    )


def guessed_ends(ends: Sequence[BoardEnd], unread: Sequence[int]) -> list[int]:
    """Return the ends that are cut square across only because no square was held to their wall."""
    return [end.end for end in ends if end.end in unread and end.known and end.longer is None]


def taken_as_square(ends: Sequence[BoardEnd], unread: Sequence[int]) -> str:
    """Return the sentence for the ends that are cut square across only because no square was
    held to their wall (`unread`); empty where there are none."""
    guessed = guessed_ends(ends, unread)
    where = " and ".join(f"end {end}" for end in guessed)
    walls = "that wall" if len(guessed) == 1 else "those walls"
    return f"Taken as square at {where}: no square was held to {walls}." if guessed else ""
