"""What is drawn of a piece: its face with its marks, or the section it belongs to."""

from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.job.marks import BottomMarks, Marks, SideMarks, as_it_is
from crewdesk.job.piece import Piece
from crewdesk.length import Step
from crewdesk.screens.board_picture import board_picture
from crewdesk.screens.bottom_picture import bottom_picture
from crewdesk.screens.picture import Draw
from crewdesk.screens.section_picture import section_picture
from crewdesk.trade.cuts.side_board import Side


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
