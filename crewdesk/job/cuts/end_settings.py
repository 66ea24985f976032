"""The miter saw's settings for the ends of a bottom or top board: to length, then the relief."""

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.cuts.bottoms import taken_as_square
from crewdesk.job.cuts.cut import (
    BLADE,
    BY_HAND,
    EDGE_BEVEL,
    MITER,
    SAW_TILTS_AT_MOST,
    Cut,
    Lies,
    Part,
    in_words,
    leaves_flat,
    too_steep,
)
from crewdesk.length import HIDDEN_AT_MOST, Length, Step, exact, rounded
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.saw_passes import (
    OTHER,
    EndPass,
    Face,
    Hand,
    TiltedEdge,
    end_passes,
    fence_side,
    flat_left,
)
from crewdesk.trade.cuts.shop_machine import MiterTilt, ShopMachine
from crewdesk.trade.cuts.side_board import End, Side

MITER_SAW = "miter saw"
SQUARE_CUT = "cut to length"
STOP, STOP_AT_TABLE = "stop on edge A", "stop on edge A, at the table"
STOP_B_AT_TABLE = "stop on edge B, at the table"
_LEAVE_OVER = "No stop for this end: cut where more than"
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
    insets: tuple[Length, Length] = (Fraction(0), Fraction(0)),
) -> tuple[Cut, ...] | None:
    """Return the cuts of a board's two ends in order, or None if the slant is unknown.

    `edge_a` is the length of edge A at the show face: stops are along that edge, but for a board
    that is turned end for end, and a length is never set over. `unread` are the ends whose wall was
    not measured with the square. All boards are cut to length before any is relieved, and the
    relief is worked from the length as it was set. A `top` board shows its upper face, so it lies
    the other way round. `insets` are how far the back's edges A and B lie inside the show face's,
    in inches.
    """
    down = machine.down(TiltedEdge(Fraction(1), Fraction(0)))
    set_to = rounded(edge_a, step.size, "down")
    steep = [one for one in ends if exact(one.blade_deg) > SAW_TILTS_AT_MOST]
    sawn = [_square(one) if one in steep else one for one in ends]
    passes = end_passes(set_to, sawn, down)
    if passes is None:
        return None
    by_hand = {one.end for one in steep}
    board = _Board(sawn, by_hand, set_to, down, machine.miter_tilts, insets, top=top)
    by_end: dict[int, BoardEnd] = {one.end: one for one in ends}
    cuts = []
    for one in passes:
        notes = _notes(one, board, step)
        guessed = taken_as_square([end for end in ends if end.end in one.ends], unread)
        if one.cut == "length" and guessed:
            notes.append(guessed)
        turn = one.ends[0] if one.cut == "length" else len(ends) + one.ends[0]
        made = _cut(one, board, tuple(notes))
        figures = [note for note in notes if note.startswith(_LEAVE_OVER)]
        if one.cut == "relief":
            figures.append(leaves_flat(_flat_left(one, made, by_end[one.ends[0]], step), step))
            notes += figures[-1:]
        cuts.append(made._replace(turn=turn, notes=tuple(notes), figures=tuple(figures)))
    cuts += [_by_hand(one)._replace(turn=len(ends) + one.end) for one in steep]
    return tuple(sorted(cuts, key=lambda cut: cut.turn))


class _Board(NamedTuple):
    """A board at the miter saw: its `ends` as the saw leaves them, those that are beveled by
    hand, its length along edge A as it is set, the face that is `down`, the side to which the
    saw `tilts`, and the edges' `insets` at the back. A `top` board shows its upper face."""

    ends: Sequence[BoardEnd]
    by_hand: set[End]
    edge_a: Fraction
    down: Face
    tilts: MiterTilt
    insets: tuple[Length, Length]
    top: bool

    @property
    def a_past_b(self) -> Fraction:
        """How much longer edge A is than edge B, in inches."""
        return sum((exact(one.offset or 0) for one in self.ends), Fraction(0))

    def far_from(self, one: EndPass) -> BoardEnd:
        """Return the end that touches the stop in a pass over the other one."""
        return next(end for end in self.ends if end.end != one.ends[0])

    def leans(self, one: EndPass) -> Hand:
        """Return which way the blade leans over an end with edge A against the fence."""
        return "left" if (one.ends[0] == 1) != self.top else "right"

    def turned(self, one: EndPass) -> bool:
        """Return whether the board must be turned end for end, edge B against the fence, for the
        blade to lean the way the saw tilts: turned on the same face it has the same miter."""
        if not one.blade or len(one.ends) == 2 or self.tilts == "both":
            return False
        return self.leans(one) != self.tilts

    def far_is_inside(self, one: EndPass) -> bool:
        """Return whether the far end's back corner at the fence lies off its show face's along the
        board: that edge is beveled, and the end slants, so the corner lies inset x offset / width
        on."""
        miter = math.radians(self.far_from(one).miter_deg or 0.0)
        inset = self.insets[1 if self.turned(one) else 0]
        return abs(float(inset)) * math.tan(miter) > HIDDEN_AT_MOST

    def far_is_cut(self, one: EndPass) -> bool:
        """Return whether the far end is no longer square through once this pass is made."""
        far = self.far_from(one)
        if len(one.ends) == 2:
            return bool(one.blade)
        if one.cut == "length":
            return far.joint == "bevel"
        before = far.end < one.ends[0]
        return far.joint == "bevel" or (
            before and (far.joint == "relief" or far.end in self.by_hand)
        )


def _square(end: BoardEnd) -> BoardEnd:
    """Return an end before a steep bevel is cut by hand: square through."""
    return end._replace(joint="square", blade_deg=0.0, back_short=Fraction(0))


def _by_hand(end: BoardEnd) -> Cut:
    """Return the cut of a bevel steeper than the saw tilts, by hand after the end is cut to
    length."""
    parts = (Part(EDGE_BEVEL, end.blade_deg), Part("back shorter by", end.back_short, "up"))
    notes = (
        "Cut to length first, as the show face has it. Then mark the back that much in from the "
        "end at both edges, along the edges, join the marks, and saw from there to the show "
        "face's corner by hand or in a jig; plane to the line.",
        f"! {too_steep(end.blade_deg)} Clamp the board; don't force a saw past its stop.",
    )
    return Cut(BY_HAND, parts, f"steep bevel, end {end.end}", notes=notes)


def _over(board: _Board, one: EndPass, step: Step) -> str:
    """Return the length along edge A to leave while the first end is cut: the board's own, plus
    what edge B needs past edge A at the other end."""
    past = max(Fraction(0), -exact(board.far_from(one).offset or 0))
    return in_words(rounded(board.edge_a + past, step.size, "up"), step)


def _cut(one: EndPass, board: _Board, notes: tuple[str, ...]) -> Cut:
    where = "both ends" if len(one.ends) == 2 else f"end {one.ends[0]}"
    sort = "relief bevel" if one.cut == "relief" else "bevel to length" if one.blade else SQUARE_CUT
    parts = [Part(BLADE, one.blade), Part(MITER, one.miter)]
    placed = ""
    if one.stop is not None:
        turned, stop = board.turned(one), STOP_AT_TABLE if one.blade else STOP
        at = exact(one.stop)
        if turned:
            stop, at = STOP_B_AT_TABLE, at - board.a_past_b
        parts.append(Part(stop, at, "down" if one.cut == "length" else "up"))
        placed = f"stop {_stop_side(one, board)} of the blade"
    name = f"{sort}, {where}"
    return Cut(MITER_SAW, tuple(parts), name, placed, notes, lies=_lies(one, board))


def _lies(one: EndPass, board: _Board) -> Lies:
    """Return how the board lies for a pass, and which way the blade leans."""
    side, turned = _stop_side(one, board), board.turned(one)
    at_fence: Side = "B" if turned else "A"
    if len(one.ends) == 2:
        leans = OTHER[side] if board.down == "back" else side
    else:
        leans = OTHER[board.leans(one)] if turned else board.leans(one)
    return Lies(
        "above",
        side,
        leans if one.blade else "",
        board.down,
        one.cut == "length",
        "" if one.long_point is None else "fence" if one.long_point == at_fence else "free",
        "" if len(one.ends) == 2 else f"edge {at_fence}",
    )


def _flat_left(one: EndPass, made: Cut, end: BoardEnd, step: Step) -> Fraction:
    """Return the flat that a relief leaves with its stop as it can be set: never less than planned,
    so that the cut never enters the show face. The stop is along the edge, the flat square to the
    end."""
    stop, across = made.parts[-1], math.cos(math.radians(float(one.miter)))
    past = exact(float(stop.as_set(step)[0] - exact(stop.value)) * across)
    takes = float(end.back_short) * across
    return flat_left(exact(end.flat), exact(one.blade), past, takes)


def _stop_side(one: EndPass, board: _Board) -> Hand:
    """Return the side of the blade on which board and stop are. A board with square ends is turned
    so that it suits the saw; one with slanted ends has edge A against the fence, and end 1 at the
    left with its back down, at the right with its show face down, or edge B and the other way
    round; a top board, seen from above, the other way round again."""
    if len(one.ends) == 2:
        tilts = "left" if board.tilts == "both" else board.tilts
        return fence_side(tilts, away=board.down == "back")
    at_left = ((one.ends[0] == 1) == (board.down == "back")) != board.top
    return "right" if at_left != board.turned(one) else "left"


def _notes(one: EndPass, board: _Board, step: Step) -> list[str]:
    """Return the notes on a pass: how the board lies on the user's saw, and what the stop
    touches."""
    both, turned = len(one.ends) == 2, board.turned(one)
    face = "Back down" if board.down == "back" else "Show face down"
    how = "edge A against the fence"
    if both:
        how = "one end, then the board turned end for end"
    elif turned:
        how = "turned end for end: edge B against the fence"
    notes = [f"{face}, {how}."]
    if one.long_point:
        notes.append(f"Long point on edge {one.long_point}.")
    if one.stop is None and turned:
        left = _over(board, one, step)
        notes.append(f"{_LEAVE_OVER} {left} stays along edge A.")
    elif one.stop is None:
        notes.append("No stop for this end: leave the length over.")
    else:
        notes += _touches(one, board)
    if one.blade and both:
        leans = "away from" if board.down == "back" else "over"
        notes.append(f"The blade leans {leans} the board.")
    elif one.blade:
        side = board.leans(one)
        notes.append(f"The blade leans {OTHER[side] if turned else side}.")
    return notes


def _touches(one: EndPass, board: _Board) -> list[str]:
    """What the stop must touch at the far end: with the back down, an end that is beveled or
    relieved already is longest at the top, its show face, and a low stop would touch below that,
    so the board would come out too long. It would so too at a slanted end whose edge at the
    fence is beveled. Where an edge runs past there, the stop must touch the corner that its figure
    is for."""
    far = board.far_from(one)
    own: Side = "B" if board.turned(one) else "A"
    past = far.longer if len(one.ends) == 1 and far.longer not in (None, own) else None
    if board.down == "back" and (board.far_is_cut(one) or board.far_is_inside(one)):
        corner = f"edge {own}'s top corner" if past else "the top corner"
        tall = (
            f"Stop block as tall as the board, touching {corner}, where the show face is longest."
        )
        return [tall]
    if past:
        return [
            f"Let the stop touch edge {own}'s corner only: edge {past} runs past at the far end."
        ]
    return []
