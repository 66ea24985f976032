"""The blank that each board of a beam is cut from, and its position along the hanging beam; and the
pieces that a job's beams need, each with its length as exactly as known."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut, cleat_height, height_as_cut
from crewdesk.job.cuts.marks import BottomMarks, SideMarks, as_it_is, marks
from crewdesk.job.cuts.walls import skew_at, slope_end, wall_ratio
from crewdesk.job.lumber.cutting_rules import CuttingRules
from crewdesk.job.record import Record
from crewdesk.job.text_limits import named
from crewdesk.job.time.logged import piece_length
from crewdesk.length import Length, exact, rounded_up
from crewdesk.trade.boards.splices import Along, splice
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.sloped_side import end_ratio

TO = Fraction(1, 64)
"""The step to which an irrational length or width is rounded up."""
ROUND = 10_000
"""Larger denominators come from a tangent; no rule has such a mark."""
_NONE = Fraction(0)


class Blank(NamedTuple):
    """The square-ended length that a board is cut from, in inches.

    `measured` is whether readings alone determine it. `start` is the place of its end 1 along the
    hanging beam, from side A's bottom corner at end 1 on; `slants` are how much of it is not full
    at end 1 and end 2, where the board's own ends slant.
    """

    length: Fraction
    measured: bool
    start: Fraction = _NONE
    slants: tuple[Fraction, Fraction] = (_NONE, _NONE)

    @property
    def end(self) -> Fraction:
        """The place of its end 2 along the hanging beam."""
        return self.start + self.length


def boards_to_cut(beam: Beam) -> Mapping[str, FormBoard]:
    """Return the boards of the beam's pieces by key, kept ones as ripped. Raises `BadInput`."""
    return {key: board_as_cut(beam, key) for key in beam.boards if key in beam.pieces}


def width_to_rip(board: FormBoard) -> Fraction:
    """Return the width to rip a board to, in inches: its wider face's, never less."""
    return max(up(board.width), up(board.back_width))


def up(length: Length) -> Fraction:
    """Return a length, rounded up to 1/64 in if it is irrational."""
    whole = exact(length)
    return whole if whole.denominator <= ROUND else exact(rounded_up(length, TO))


def blank_of(beam: Beam, piece: Piece, rules: CuttingRules) -> Blank | None:
    """Return the blank of a side, bottom or top board; None if no length is known.

    Measured in full, it is the least that the board's marks fit on; else what is known of
    the length, with the job's allowance at each end. It is never too short: lengths are
    rounded up, and a sloped side counts with the corners that run past its bottom edge.
    """
    try:
        made = as_it_is(marks(beam, piece))
    except BadInput:
        made = None
    if isinstance(made, SideMarks):
        return _side(beam, piece, made, rules)
    if isinstance(made, BottomMarks) and made.cut is not None:
        return _flat(beam, piece, made.cut)
    if piece.kind == "top":
        return _over_sides(beam, rules)
    return _rough_flat(beam, piece, rules)


def middle_of(beam: Beam) -> Fraction | None:
    """Return where the middle of the hanging beam is, on side A's scale in inches: halfway
    along its bottom edge; None if no length is known."""
    known = piece_length(beam, "A")
    return None if known is None else known / 2


def _ratio(beam: Beam, piece: Piece, end: int) -> Fraction:
    """Return how far the wall comes in per inch up; an unmeasured wall counts as plumb."""
    try:
        found = wall_ratio(beam, piece, end)
        if found is None and beam.ceiling == "sloped" and beam.pitch is not None:
            found = end_ratio(beam.pitch, _NONE, slope_end(beam, end))
    except BadInput:
        found = None
    return _NONE if found is None else exact(found)


def _skew(beam: Beam, end: int) -> Fraction:
    return exact(skew_at(beam, end) or _NONE)


def _side(beam: Beam, piece: Piece, made: SideMarks | None, rules: CuttingRules) -> Blank | None:
    across = _NONE if piece.key == "A" else _skew(beam, 1) * beam.section.width
    if made is not None and made.cut is not None:
        cut = made.cut
        first, second = exact(cut.end1.offset), exact(cut.end2.offset)
        return Blank(up(cut.blank), True, across + min(_NONE, first), (abs(first), abs(second)))
    known = piece_length(beam, piece.key)
    if known is None:
        return None
    high = up(height_as_cut(beam, piece.key))
    first, second = (_ratio(beam, piece, end) * high for end in BOTH)
    past = max(_NONE, -first) + max(_NONE, -second)
    return Blank(
        up(known + past + 2 * rules.allowance),
        False,
        across + min(_NONE, first) - rules.allowance,
        (abs(first) + rules.allowance, abs(second) + rules.allowance),
    )


def _flat(beam: Beam, piece: Piece, cut: BottomCut) -> Blank:
    """Return a bottom or top board that is measured: its edges with the corners that its slanted
    ends run past them."""
    first, second = (exact(end.offset or _NONE) for end in cut.ends)
    edge_a, edge_b = exact(cut.edge_a), exact(cut.edge_b)
    known = all(end.offset is not None for end in cut.ends)
    long = edge_b + max(_NONE, first) + max(_NONE, second) if known else max(edge_a, edge_b)
    start = _flat_start(beam, piece)
    return Blank(up(long), True, start, (abs(first), abs(second)))


def _flat_start(beam: Beam, piece: Piece) -> Fraction:
    """Return where a board between the sides begins along the beam, at its show face."""
    board, section = beam.boards[piece.key], beam.section
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    high = section.reveal if piece.kind == "bottom" else section.height
    comes_in = max((_ratio(beam, one, 1) for one in sides), default=_NONE)
    edges = ((section.width - board.width) / 2, (section.width + board.width) / 2)
    return comes_in * high + min(_skew(beam, 1) * edge for edge in edges)


def _rough_flat(beam: Beam, piece: Piece, rules: CuttingRules) -> Blank | None:
    """Return a bottom board that is not measured: as long as the longer side's bottom edge, and
    longer by what its ends slant if both walls are turned the same way."""
    keys = [piece.key, *(one.key for one in beam.pieces.values() if one.kind == "side")]
    known = [one for key in keys if (one := piece_length(beam, key)) is not None]
    if not known:
        return None
    first, second = (_skew(beam, end) * beam.boards[piece.key].width for end in BOTH)
    slant = min(abs(first), abs(second)) if first * second < 0 else _NONE
    return Blank(
        up(max(known) + slant + 2 * rules.allowance),
        False,
        _flat_start(beam, piece) - rules.allowance,
        (abs(first) + rules.allowance, abs(second) + rules.allowance),
    )


def _over_sides(beam: Beam, rules: CuttingRules) -> Blank | None:
    """Return a top board whose own length is not known: as long as the longest blank of a side,
    from which a board at the sides' tops can always be cut."""
    sides = [blank_of(beam, one, rules) for one in beam.pieces.values() if one.kind == "side"]
    found = [one for one in sides if one is not None]
    if not found:
        return None if beam.rough is None else Blank(up(beam.rough + 2 * rules.allowance), False)
    return Blank(
        max(one.length for one in found),
        all(one.measured for one in found),
        min(one.start for one in found),
        (max(one.slants[0] for one in found), max(one.slants[1] for one in found)),
    )


@dataclass(frozen=True)
class Wanted:
    """One board to cut, in inches: `part` of `parts` counts from 1; `exact` where its length
    follows from readings alone, not from a rough length."""

    beam: str
    piece: str
    part: int
    parts: int
    label: str
    width: Fraction
    length: Fraction
    thickness: Fraction
    exact: bool

    @property
    def key(self) -> tuple[str, str, int, int]:
        """The key of its piece."""
        return (self.beam, self.piece, self.part, self.parts)


@dataclass(frozen=True)
class CleatsWanted:
    """`length` inches of cleats in all, out of boards `thickness` thick."""

    thickness: Fraction
    length: Fraction


def wanted_pieces(
    record: Record, rules: CuttingRules, longest: Callable[[Fraction, Fraction], Fraction | None]
) -> tuple[Wanted, ...]:
    """Return every board except cleats of every beam of known length (see `unmeasured`), spliced if
    no stock is long enough.

    longest: returns what the longest stock of a thickness and width gives, if any. Raises
    `NotAllowed` if no beam has a length or there is no board to cut, `BadInput` as `splice`.
    """
    if not record.beams:
        raise NotAllowed("This job has no beam to buy boards for. Add one.")
    whole = [beam for beam in record.beams if boards_to_cut(beam)]
    if not whole:
        raise NotAllowed(
            "No beam of this job has a side, bottom or top to buy boards for. Add a beam."
        )
    unknown = unmeasured(record)
    if len(unknown) == len(whole):
        raise NotAllowed(
            f"The length of {named(unknown)} isn't known. Measure it wall to wall, or type a "
            "rough length first."
        )
    found: list[Wanted] = []
    for beam in whole:
        blanks = blanks_of(beam, rules)
        if blanks is None:
            continue
        splices: tuple[Fraction, ...] = ()
        for key, blank in blanks.items():
            made, places = _parts(beam, key, blank, rules, longest, splices)
            found += made
            splices += places
    return tuple(found)


def blanks_of(beam: Beam, rules: CuttingRules) -> Mapping[str, Blank] | None:
    """Return the blank of each board of a beam, by the piece's key; or None if the length of one
    isn't known, so that none of them can be planned. Raises `BadInput`."""
    found: dict[str, Blank] = {}
    for key in boards_to_cut(beam):
        blank = blank_of(beam, beam.pieces[key], rules)
        if blank is None:
            return None
        found[key] = blank
    return found


def unmeasured(record: Record) -> tuple[str, ...]:
    """Return the beams that no boards can be planned for, as nothing is known of their length,
    each by its label."""
    rules = record.job.cutting
    return tuple(beam.label for beam in record.beams if blanks_of(beam, rules) is None)


def _parts(
    beam: Beam,
    key: str,
    blank: Blank,
    rules: CuttingRules,
    longest: Callable[[Fraction, Fraction], Fraction | None],
    partner: tuple[Fraction, ...],
) -> tuple[list[Wanted], tuple[Fraction, ...]]:
    """Return the parts of one board, and its splices along the hanging beam; `partner` are those of
    the beam's other boards."""
    board = boards_to_cut(beam)[key]
    label, width = f"{beam.label} {beam.pieces[key].name}", width_to_rip(board)
    most = longest(board.thickness, width) or blank.length
    along = Along(blank.start, middle_of(beam), blank.slants)
    rule = rules.splice_rule(board.thickness)
    made = splice(label, blank.length, most, rule, partner, along)
    parts = len(made.parts)
    found = [
        Wanted(
            beam.row,
            key,
            number,
            parts,
            label if parts == 1 else f"{label} part {number} of {parts}",
            width,
            part.length,
            board.thickness,
            blank.measured,
        )
        for number, part in enumerate(made.parts, 1)
    ]
    return found, tuple(blank.start + place for place in made.splices)


def wanted_cleats(record: Record, rules: CuttingRules) -> tuple[CleatsWanted, ...]:
    """Return two cleats for each beam that has them, as long as its sides, by thickness: a
    cleat is as high as its stock is thick, the sides' or what it was ripped from and kept."""
    found: dict[Fraction, Fraction] = {}
    for beam in record.beams:
        if "cleats" not in beam.pieces:
            continue
        sides = [one for one in beam.pieces.values() if one.kind == "side"]
        lengths = [_cleat_length(beam, one.key, rules) for one in sides]
        if len(lengths) == 1:
            lengths *= 2
        thickness = cleat_height(beam)
        found[thickness] = found.get(thickness, Fraction(0)) + sum(lengths, Fraction(0))
    return tuple(CleatsWanted(*pair) for pair in sorted(found.items()) if pair[1])


def _cleat_length(beam: Beam, key: str, rules: CuttingRules) -> Fraction:
    """Return a cleat's length as it is bought: its side's blank, or what is known of the side."""
    blank = blank_of(beam, beam.pieces[key], rules)
    if blank is not None and blank.measured:
        return blank.length
    return up(piece_length(beam, key) or Fraction(0))
