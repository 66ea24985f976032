"""Whether a board as it was cut still goes into its room, as that is measured and set today."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import room_across
from crewdesk.job.cuts.as_cut import as_it_was, taken_for_kept
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.flat_fits import flat_fit_of
from crewdesk.job.cuts.walls import side_fit_of
from crewdesk.length import HIDDEN_AT_MOST, STEPS, Step, exact, rounded

_NONE = Fraction(0)


def over_as_cut(built: Beam, piece: Piece, step_id: str, cut: AsCut) -> Fraction:
    """Return how much too long or too wide a board is for today's room by what a step cut it to,
    in inches, though all of its clearance is used up.

    `built` has the boards that it follows as they are. The board counts as it was shown then, as a
    dry fit takes it: a side that is over by no more than its marks were rounded by is planed to the
    wall. 0 if it goes in, or was put up, if nothing says, and where its lengths are the user's own
    with a reason.
    """
    over = _OVER.get(step_id)
    if over is None or _is_up(built, piece, step_id):
        return _NONE
    if piece.own_cut is not None and piece.own_cut.reason:
        return _NONE
    steps = (f"rip-{piece.kind}", step_id)
    made = {
        (piece.key, id_): cut if id_ == step_id else as_it_was(built, piece, id_, mark)
        for id_ in dict.fromkeys(steps)
        if (mark := piece.steps.get(id_)) is not None and mark.state == "done"
    }
    beam = taken_for_kept(built, made)
    with suppress(BadInput):
        found = over(beam, beam.pieces[piece.key], cut, STEPS[cut.step])
        return found if found > HIDDEN_AT_MOST else _NONE
    return _NONE


_UP: Mapping[str, tuple[str, ...]] = {
    "side": ("tack", "nail-side"),
    "bottom": ("nail-bottom", "glue-bottom"),
    "top": ("fix-top",),
}
"""By kind, the steps that a board was put in its place for."""


def _is_up(beam: Beam, piece: Piece, step_id: str) -> bool:
    """Return whether a board was in its place, so that it goes in whatever is read later. A top
    meets the walls where the sides go up with it."""
    boards, steps = [piece], _UP[piece.kind]
    if step_id == "fix-top":
        boards = [one for one in beam.pieces.values() if one.kind == "side"]
        steps = _UP["side"]
    marks = (one.steps.get(id_) for one in boards for id_ in steps)
    return any(mark is not None and mark.state == "done" for mark in marks)


def _wide(beam: Beam, piece: Piece, cut: AsCut, step: Step) -> Fraction:
    """Of a bottom or top that goes between sides. Mitered ones ask at any other width, and a
    bottom along a wall has width to be scribed."""
    if "mitred" in beam.form.id or beam.form.id == "wall" or "width" not in cut.figures:
        return _NONE
    width = rounded(cut.figures["width"].exact, step.size, "down")
    return max(_NONE, width - room_across(beam, piece.key))


def _wide_at_wall(beam: Beam, _piece: Piece, cut: AsCut, step: Step) -> Fraction:
    """Of a bottom along a wall that was scribed to it."""
    board = beam.boards["bottom"]
    if beam.form.id != "wall" or "wall_width" not in cut.figures:
        return _NONE
    width = rounded(cut.figures["wall_width"].exact, step.size, "down")
    return max(_NONE, width - (board.width - board.stock + beam.section.fit))


def _side_long(beam: Beam, piece: Piece, _cut: AsCut, step: Step) -> Fraction:
    fit = side_fit_of(beam, piece, step)
    return exact(fit.over) if fit is not None and fit.way == "no way" else _NONE


def _flat_long(beam: Beam, piece: Piece, cut: AsCut, step: Step) -> Fraction:
    fit = flat_fit_of(beam, piece, step, square=cut_without_slant(cut))
    if fit is None or not fit.over:
        return _NONE
    return max(_NONE, -exact(fit.slack))


def cut_without_slant(cut: AsCut) -> bool:
    """Return whether a bottom or top was cut to edges that differ while no slant was known."""
    figures = cut.figures
    if "edge_a" not in figures or "end1_offset" in figures or "end2_offset" in figures:
        return False
    return figures["edge_a"].exact != figures["edge_b"].exact


_OVER: Mapping[str, Callable[[Beam, Piece, AsCut, Step], Fraction]] = {
    "rip-bottom": _wide,
    "rip-top": _wide,
    "scribe-wall": _wide_at_wall,
    "cut-side": _side_long,
    "cut-bottom": _flat_long,
    "fix-top": _flat_long,
}
