"""Gates: whether a step of a piece may be done now and, if not, what is missing.

A step stands in one of five states: "done", "skipped" or "blocked" where that was
noted, otherwise "ready" where its gate is open and "not ready" where it is closed.
"""

from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt
from crewdesk.job.changed_cuts import held_by
from crewdesk.job.piece import Piece
from crewdesk.job.readings import BESIDE, NAMES
from crewdesk.job.stages import Need, Stages, Step

STATES = ("done", "skipped", "blocked", "ready", "not ready")


def state(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str:
    """The state of one step of one piece."""
    if (mark := piece.steps.get(step.id)) is not None:
        return mark.state
    return "ready" if closed(stages, beam, piece, step) is None else "not ready"


def waits_in_turn(step: Step) -> bool:
    """Whether a step's gate is closed, whatever else is true, while one before it is not
    behind the piece."""
    return any(need.sort == "earlier" for need in step.needs)


def closed(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    """None where the gate is open, else one sentence: what is missing and where to enter it,
    or which cut before it has to be answered for first."""
    return held_by(stages, beam, piece, step) or unmet(stages, beam, piece, step)


def unmet(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    """None where all that the step needs is there, else one sentence: what is missing."""
    for need in step.needs:
        if (missing := _missing(stages, beam, piece, step, need)) is not None:
            return missing
    return None


def _missing(stages: Stages, beam: Beam, piece: Piece, step: Step, need: Need) -> str | None:
    if need.sort == "earlier":
        return _earlier(stages, beam, piece, step)
    if need.sort == "done":
        return _done(stages, beam, piece, need)
    if need.sort == "reading":
        return _reading(beam, piece, need.what)
    return _read_after(stages, beam, piece, need)


def _earlier(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    for one in stages.steps_of(piece.kind, piece.traits):
        if one.id == step.id:
            break
        mark = piece.steps.get(one.id)
        if mark is None or not mark.behind:
            return (
                f"{beam.label} {piece.name} is not through '{one.name}' yet; "
                f"tick it first, in {stages.find(one.id)[0].name}."
            )
    return None


def _done(stages: Stages, beam: Beam, piece: Piece, need: Need) -> str | None:
    if not stages.has(need.step):
        return None
    stage, step = stages.find(need.step)
    for other in beam.among(need.who, piece):
        mark = other.steps.get(need.step)
        if mark is None or not mark.behind:
            return (
                f"{beam.label} {other.name} comes first: '{step.name}' is not done on it; "
                f"tick it there, in {stage.name}."
            )
    return None


def _reading(beam: Beam, piece: Piece, what: str) -> str | None:
    if piece.latest(what) is None:
        return (
            f"The {NAMES[what]} of {beam.label} {piece.name} has not been read; "
            "enter it among its readings."
        )
    if what == "run" and beam.ceiling == "sloped" and beam.pitch is None:
        return (
            f"The pitch of {beam.label} has not been read; "
            "enter it with the beam itself, on the run sheet."
        )
    doubts = (doubt(beam, piece, one) for one in (what, *BESIDE.get(what, ())))
    return next((one for one in doubts if one is not None), None)


def _read_after(stages: Stages, beam: Beam, piece: Piece, need: Need) -> str | None:
    if (missing := _done(stages, beam, piece, need)) is not None:
        return missing
    if piece.latest(need.what) is None:
        return _reading(beam, piece, need.what)
    if not stages.has(need.step):
        return None
    for what in (need.what, *BESIDE.get(need.what, ())):
        reading = piece.latest(what)
        for other in beam.among(need.who, piece):
            mark = other.steps.get(need.step)
            if mark is not None and reading is not None and reading.when < mark.when:
                return (
                    f"The {NAMES[what]} of {beam.label} {piece.name} was read before "
                    f"{other.name} was up; read it again and enter it among its readings."
                )
    return None
