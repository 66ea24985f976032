"""What follows from a piece's readings, those of the record and those as typed, and what is
drawn."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from textual.content import Content

from crewdesk.errors import BadInput
from crewdesk.job.beam import Beam
from crewdesk.job.dry_fits import tried
from crewdesk.job.how_sure import how_sure
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.job.marks import BottomMarks, Marks, SideMarks, as_it_is
from crewdesk.job.piece import Piece
from crewdesk.job.read_early import read_early
from crewdesk.job.readings import Reading
from crewdesk.job.scribe_way import ScribeCut
from crewdesk.job.shown_marks import shown_marks
from crewdesk.job.stages import Stages
from crewdesk.length import Step
from crewdesk.paper.cutlist import asked_told, missing_of
from crewdesk.screens.board_picture import board_picture
from crewdesk.screens.bottom_picture import bottom_picture
from crewdesk.screens.cut_told import cut_told, trouble_told
from crewdesk.screens.picture import Draw
from crewdesk.screens.section_picture import section_picture
from crewdesk.trade.cuts.side_board import Side


@dataclass(frozen=True)
class PieceCut:
    """The marks, None where there can be none, and what is told of them."""

    made: Marks | None
    told: Content


_DOUBTED = "No cut from a doubtful reading."


def piece_cut(
    stages: Stages,
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading],
    trouble: str,
    step: Step,
    doubt: str,
    projection: Fraction,
    scribe_cut: ScribeCut | None = None,
) -> PieceCut:
    """Return the cut as the record and what is `typed` have it; `trouble` says what is wrong
    with what is typed, `doubt` what is doubted beside it, each a sentence or nothing;
    `projection` is how far the job's cleats stand off the sides, in inches, and
    `scribe_cut` how a side is cut to its scribe line."""
    as_typed = bool(typed or trouble)
    if not trouble:
        try:
            made = shown_marks(beam, piece, typed, projection)
            sure = how_sure(beam, piece, typed, projection=projection)
            sure = None if isinstance(made, BottomMarks) and made.cut is None else sure
            missing = [
                asked_told(beam, key, what)
                for key, what in missing_of(beam, piece)
                if key != piece.key or what not in typed
            ]
            fit = tried(beam, piece, step, typed)
            early = [one.why for one in read_early(stages, beam, piece.with_typed(typed))]
            told = cut_told(
                beam, piece, made, step, missing, sure, fit, scribe_cut, typed=typed, early=early
            )
            return PieceCut(made, told)
        except BadInput as refusal:
            trouble = refusal.shown(step)
            if doubt.endswith(trouble):
                trouble = _DOUBTED
    return PieceCut(None, trouble_told(trouble, step, typed=as_typed))


def piece_picture(
    beam: Beam,
    piece: Piece,
    made: Marks | None,
    step: Step,
    *,
    beside: bool,
    cleat: Fraction,
    spliced: Spliced | None = None,
) -> Draw | None:
    """The picture of a piece; None if there is nothing to draw, or if the section is shown
    `beside` it already."""
    if made is None and piece.kind == "side":
        return None
    made = None if made is None else as_it_is(made)
    if isinstance(made, SideMarks) and (cut := made.cut) is not None:
        side: Side = "A" if piece.key == "A" else "B"
        return lambda columns, rows: board_picture(
            cut, side, beam.ends, step, columns, rows, spliced
        )
    if isinstance(made, BottomMarks) and piece.kind in ("bottom", "top"):
        return lambda columns, rows: bottom_picture(beam, piece, made, step, columns, rows, spliced)
    return None if beside else beam_section(beam, step, cleat)


def beam_section(beam: Beam, step: Step, cleat: Fraction) -> Draw:
    """The section of a beam; `cleat` is how far its cleats stand off the sides, in inches."""
    return lambda columns, rows: section_picture(beam, step, columns, rows, cleat)
