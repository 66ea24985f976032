"""The words for a cell in the line below the run sheet, and the piece last worked on in it."""

from collections.abc import Iterable

from textual.content import Content

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.cuts.changed_cuts import held_cuts, rests_on
from crewdesk.job.steps.run_sheet import Cell
from crewdesk.job.steps.stages import Stage, Stages, Step
from crewdesk.length import Step as Shown
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.inked import inked
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.stick import MADE, Part
from crewdesk.screens.run_sheet.grid_rows import EARLY, HELD, LETTERS

_KEY = (
    *(f"{SIGNS[state]} {state}" for state in ("done", "ready")),
    f"{SIGNS['not ready']} not yet",
    *(f"{SIGNS[state]} {state}" for state in ("blocked", "skipped")),
    f"{EARLY} done early",
)
_KEY_OF_BEAMS = f"{MADE} all done"
_KEY_OF_PIECES = "2/5 done"
_KEY_OF_HELD = f"\n{HELD} cut to other figures than today's"

_READY = "  ready"
"""Beside the numbers of pieces that are ready."""
_TRIED = ("cut-side", "cut-bottom", "fix-top")
"""The steps before which the board is tried in its room."""


def last_noted(beam: Beam, stage: Stage) -> Spot | None:
    """Return the piece of a beam on which a step of a stage was recorded last; None if none."""
    marks = [
        (mark.when, key)
        for key, piece in beam.pieces.items()
        for step in stage.steps
        if (mark := piece.steps.get(step.id)) is not None
    ]
    return Spot(beam.row, max(marks)[1]) if marks else None


def held_words(stages: Stages, beam: Beam, spot: Spot, stage: Stage, cell: Cell) -> str:
    """Return what holds the next step of a cell, or which cut in it waits for an answer; or "" if
    nothing does."""
    piece, here = beam.piece(spot.piece), [one.id for one in stage.steps]
    for one in held_cuts(beam):
        of_cell = one.spot == spot and one.step_id in here
        if of_cell or (cell.next and rests_on(stages, beam, piece, cell.next, one)):
            return one.told
    return ""


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

    closed: whether a beam is in one row. held: whether a cut needs an answer.
    """
    items = [*_KEY, _KEY_OF_BEAMS if closed else _KEY_OF_PIECES]
    while len("  ".join(items)) > max(width, 40):
        items.pop()
    return "  ".join(items) + (_KEY_OF_HELD if held else "")


def letters_told(keys: Iterable[str], width: int) -> tuple[str, str]:
    """Return a beam's pieces in the order of their signs, each with its letter, in two lines of a
    width; the second ends in what the numbers beside it are."""
    ordered = list(keys)
    sides = " ".join(LETTERS[key] for key in ordered if key in "AB")
    names = [f"{sides} side{'s' * (' ' in sides)}"] if sides else []
    names += [f"{LETTERS[key]} {key}" for key in ordered if key not in "AB"]
    lines = ["", ""]
    for one in names:
        at = 0 if not lines[1] and len(f"{lines[0]}  {one}") <= width else 1
        lines[at] = f"{lines[at]}  {one}".strip()
    if len(lines[1]) > width:
        tight = " ".join(names).replace("A B", "AB").split(" ")
        lines = [" ".join(tight[:4]), " ".join(tight[4:])]
    if max(map(len, lines)) > width:
        lines = [" ".join(LETTERS[key] for key in ordered), ""]
    second = lines[1].ljust(width - len(_READY))
    second += _READY if len(second) + len(_READY) <= width else ""
    return f" {lines[0]}", f" {second}"


def ready_line(
    beam: Beam, piece: Piece, step: Step, keys: tuple[str, str, int], shown: Shown, width: int
) -> Content:
    """Return what can be done at once, in the bright ink, with its keys in the same line where
    that goes into the width; then whether the board goes in.

    keys: the one that checks it off, the one for the batch, and how many pieces that has.
    """
    tick, batch, count = keys
    fit = fit_words(beam, piece, step, shown).strip()
    what = plain(f"{SIGNS['ready']} {step.name}: {beam.label} {piece.name}")
    lines: list[Part] = [(tick, "key"), (" checks it off", "text")]
    if count > 1:
        lines += [(", ", "text"), (batch, "key"), (f" all {count}", "text")]
    if len(what) + 2 + sum(len(text) for text, _ in lines) <= width:
        return inked([[(what, "set"), ("  ", "text"), *lines], [(fit, "text")]])
    return inked([[(what, "set")], [*lines, (f"  {fit}", "text")]])
