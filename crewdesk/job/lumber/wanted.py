"""The pieces that a job's beams want, each with its length, as exact as it is known."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from crewdesk.job.batch_time import piece_length
from crewdesk.job.beam import Beam
from crewdesk.job.lumber.cutting_rules import CuttingRules
from crewdesk.job.marks import BottomMarks, SideMarks, marks
from crewdesk.job.piece import Piece
from crewdesk.job.record import Record
from crewdesk.job.refused import Refused
from crewdesk.trade.boards.splices import Part, splice
from crewdesk.trade.length import Length, exact, rounded_up
from crewdesk.trade.refusal import Refusal

TO = Fraction(1, 64)
"""A length or width that a tangent makes irrational is rounded up to this."""
ROUND = 10_000
"""One over a larger number than this comes of a tangent; no rule has such a mark."""


@dataclass(frozen=True)
class Wanted:
    """One board to cut: `part` of `parts` counts from 1; `exact` where it was read, not
    reckoned from a rough length. `start` and `end` are its splices' middles along the
    beam's piece, in inches from end 1."""

    beam: str
    piece: str
    part: int
    parts: int
    label: str
    width: Fraction
    length: Fraction
    thickness: Fraction
    exact: bool
    start: Fraction
    end: Fraction

    @property
    def key(self) -> tuple[str, str, int, int]:
        """What says which piece it is."""
        return (self.beam, self.piece, self.part, self.parts)


@dataclass(frozen=True)
class CleatsWanted:
    """`length` inches of cleats in all, out of boards `thickness` thick."""

    thickness: Fraction
    length: Fraction


def piece_to_cut(beam: Beam, piece: Piece, rules: CuttingRules) -> tuple[Fraction, bool] | None:
    """A piece's length in inches before it is cut, and whether that is exact.

    Read in full, it is the blank of its cut; otherwise what is known of its length and an
    allowance at each end. None where nothing is known.
    """
    try:
        made = marks(beam, piece)
    except Refusal:
        made = None
    if isinstance(made, SideMarks) and made.cut is not None:
        return _up(made.cut.blank), True
    if isinstance(made, BottomMarks) and made.length is not None:
        return _up(made.length), True
    known = piece_length(beam, piece.key)
    return None if known is None else (known + 2 * rules.allowance, False)


def wanted_pieces(
    record: Record, rules: CuttingRules, longest: Callable[[Fraction, Fraction], Fraction | None]
) -> tuple[Wanted, ...]:
    """Every board of every beam but the cleats, spliced where no stock is long enough.

    `longest` gives, for a thickness and a width, what the longest stock gives, if any.
    Raises `Refused` where a beam has no length, `Refusal` as `splice`.
    """
    if not record.beams:
        raise Refused("This job has no beam to buy boards for yet; add one.")
    unknown = [beam.label for beam in record.beams if _unknown(beam, rules)]
    if unknown:
        names = ", ".join(unknown[:4]) + (" and others" if len(unknown) > 4 else "")
        raise Refused(
            f"No length is known yet of {names}; read the run or give a rough length first."
        )
    found: list[Wanted] = []
    for beam in record.beams:
        splices: tuple[Fraction, ...] = ()
        for key, board in beam.boards.items():
            length, read = piece_to_cut(beam, beam.pieces[key], rules) or (Fraction(0), False)
            width = max(board.width, _up(board.back_width))
            label = f"{beam.label} {beam.pieces[key].name}"
            most = longest(board.thickness, width) or length
            rule = rules.splice_rule(board.thickness)
            made = splice(label, length, most, rule, splices)
            splices += made.splices
            for number, part in enumerate(made.parts, 1):
                found.append(
                    _wanted(
                        beam,
                        key,
                        label,
                        number,
                        len(made.parts),
                        width,
                        board.thickness,
                        part,
                        read,
                    )
                )
    return tuple(found)


def _wanted(
    beam: Beam,
    key: str,
    label: str,
    number: int,
    parts: int,
    width: Fraction,
    thickness: Fraction,
    part: Part,
    read: bool,
) -> Wanted:
    told = label if parts == 1 else f"{label} part {number} of {parts}"
    return Wanted(
        beam.row, key, number, parts, told, width, part.length, thickness, read,
        part.start, part.end,
    )  # fmt: skip


def wanted_cleats(record: Record, rules: CuttingRules) -> tuple[CleatsWanted, ...]:
    """Two cleats for each beam that has them, as long as its sides, by thickness."""
    found: dict[Fraction, Fraction] = {}
    for beam in record.beams:
        if "cleats" not in beam.pieces:
            continue
        sides = [one for one in beam.pieces.values() if one.kind == "side"]
        lengths = [piece_length(beam, one.key) or Fraction(0) for one in sides]
        if len(lengths) == 1:
            lengths *= 2
        thickness = beam.section.side_thickness
        found[thickness] = found.get(thickness, Fraction(0)) + sum(lengths, Fraction(0))
    return tuple(CleatsWanted(*pair) for pair in sorted(found.items()) if pair[1])


def _unknown(beam: Beam, rules: CuttingRules) -> bool:
    return any(piece_to_cut(beam, beam.pieces[key], rules) is None for key in beam.boards)


def _up(length: Length) -> Fraction:
    whole = exact(length)
    return whole if whole.denominator <= ROUND else exact(rounded_up(length, TO))
