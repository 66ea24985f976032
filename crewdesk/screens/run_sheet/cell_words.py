"""What the line below the run sheet says of a cell, and which piece was worked on last in it."""

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.steps.run_sheet import Cell
from crewdesk.job.steps.stages import Stage, Step
from crewdesk.length import Step as Shown
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.stick import MADE
from crewdesk.screens.run_sheet.grid_rows import EARLY, HELD

_KEY = (
    *(f"{SIGNS[state]} {state}" for state in ("done", "ready")),
    f"{SIGNS['not ready']} not yet",
    *(f"{SIGNS[state]} {state}" for state in ("blocked", "skipped")),
    f"{EARLY} done early",
)
_KEY_OF_BEAMS = f"{MADE} all done"
_KEY_OF_PIECES = "2/5 done"
_KEY_OF_HELD = f"\n{HELD} cut to other figures than today's"

_TRIED = ("cut-side", "cut-bottom", "fix-top")
"""Steps before which the board is tried in its room."""


def last_noted(beam: Beam, stage: Stage) -> Spot | None:
    """Return the piece of a beam on which a step of a stage was recorded last; None if none."""
    marks = [
        (mark.when, key)
        for key, piece in beam.pieces.items()
        for step in stage.steps
        if (mark := piece.steps.get(step.id)) is not None
    ]
    return Spot(beam.row, max(marks)[1]) if marks else None


def done_words(cell: Cell, *, closed: bool) -> str:
    """Return that all is done in a cell, in words; of a closed beam, for all its pieces."""
    if closed:
        return "Done on every piece."
    if cell.steps > 1:
        return f"All {cell.steps} done."
    return "Skipped." if cell.state == "skipped" else "Done."


def fit_words(beam: Beam, piece: Piece, step: Step, shown: Shown) -> str:
    """Return whether a board goes in, as marked or as cut, in a few words."""
    if step.id not in _TRIED:
        return ""
    from crewdesk.paper.text.dry_fit import fit_in_brief

    fit = fit_in_brief(beam, piece, shown)
    return f"  {fit}." if fit else ""


def signs_key(width: int, *, closed: bool, held: bool) -> str:
    """Return what the signs of the grid mean, as many as fit a width.

    closed: whether a beam is in one row. held: whether a cut waits for an answer.
    """
    items = [*_KEY, _KEY_OF_BEAMS if closed else _KEY_OF_PIECES]
    while len("  ".join(items)) > max(width, 40):
        items.pop()
    return "  ".join(items) + (_KEY_OF_HELD if held else "")
