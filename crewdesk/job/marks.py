"""The marks of a piece, from its beam's section and its readings."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.piece import Piece
from crewdesk.job.readings import Reading
from crewdesk.trade.cuts.bottom_board import bottom_length
from crewdesk.trade.cuts.section import bottom_back_width, bottom_width, cleat_line
from crewdesk.trade.cuts.side_board import SideCut, side_cut
from crewdesk.trade.length import Length


@dataclass(frozen=True)
class SideMarks:
    """A side board's marks; `cut` is None until all of its readings are there."""

    height: Fraction
    cleat_line: Fraction
    cut: SideCut | None


@dataclass(frozen=True)
class BottomMarks:
    """A bottom board's marks; `length` is None until it was read between the walls."""

    width: Fraction
    back_width: Length
    flat: Fraction
    bevel: Fraction
    length: Fraction | None


@dataclass(frozen=True)
class CleatMarks:
    """Two cleats, to be fixed with their lower edge at `line`; `lengths` follow the runs."""

    line: Fraction
    lengths: tuple[Fraction | None, ...]


Marks = SideMarks | BottomMarks | CleatMarks


def marks(beam: Beam, piece: Piece, typed: dict[str, Reading] | None = None) -> Marks:
    """The marks of one piece.

    `typed` stands in for readings of the record, by name, so that a cut can be seen
    before anything is saved. Raises `Refusal` where the readings make no board.
    """
    section = beam.section

    def reading(one: Piece, what: str) -> Reading | None:
        if typed and one.key == piece.key and what in typed:
            return typed[what]
        return one.latest(what)

    if piece.kind == "side":
        run, end1, end2 = (reading(piece, what) for what in ("run", "end1", "end2"))
        cut = None
        if run and end1 and end2:
            cut = side_cut(run.value, section.height, end1.end, end2.end)
        return SideMarks(section.height, cleat_line(section), cut)
    if piece.kind == "bottom":
        opening = reading(piece, "opening")
        length = bottom_length(opening.value, section.undercut) if opening else None
        return BottomMarks(
            bottom_width(section),
            bottom_back_width(section),
            section.flat,
            section.bevel,
            length,
        )
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    runs = tuple(run.value if (run := one.latest("run")) else None for one in sides)
    return CleatMarks(cleat_line(section), runs)
