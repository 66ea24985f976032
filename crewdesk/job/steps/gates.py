"""Gates: whether a step of a piece may be done now, what is missing, and what was measured too
early.

The gate, the piece's page, the cut list, the dry fit, paper and the list of missing readings
(`crewdesk.job.beams.missing`) all use these functions.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.measured import runs_of
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import BESIDE, NAMES, reading_name
from crewdesk.job.cuts.bottoms import slant_unknown, unread_edge
from crewdesk.job.cuts.changed_cuts import held_by
from crewdesk.job.steps.stages import BEAM, EARLIER, OUT_OF_SQUARE, Need, Stages, Step
from crewdesk.job.steps.usual_stages import step_name

NAILED_UP = "nail-side"
"""The usual step after which a side is up."""
_ONCE_UP = ", sides up"
"""The suffix of a reading's name that is taken between the sides."""


class ReadEarly(NamedTuple):
    """A reading, `what`, that was taken too early: `why`, with the fix, and `told`, the whole
    sentence with the piece's name. `waits` is whether it can't be taken again yet."""

    what: str
    why: str
    told: str
    waits: bool


def read_early(stages: Stages, beam: Beam, piece: Piece) -> tuple[ReadEarly, ...]:
    """Return the current readings of a piece that were taken too early for a step ahead, each
    once."""
    found: dict[str, ReadEarly] = {}
    for step in stages.steps_of(piece.kind, piece.traits):
        mark = piece.steps.get(step.id)
        if mark is not None and mark.behind:
            continue
        for need in step.needs:
            for one in early_for(stages, beam, piece, need):
                found.setdefault(one.what, one)
    return tuple(found.values())


def early_for(stages: Stages, beam: Beam, piece: Piece, need: Need) -> Iterator[ReadEarly]:
    """Yield the readings of a piece that were taken too early for one need: before its step was
    done on each piece that it refers to."""
    if need.sort != "read after" or not stages.has(need.step):
        return
    step = stages.step(need.step)
    others = [
        one
        for one in beam.among(need.who, piece)
        if one.steps.get(step.id) is not None or step.is_for(one.kind, one.traits)
    ]
    not_done = [one.name for one in others if not _behind(one, step.id)]
    for what in (need.what, *BESIDE.get(need.what, ())):
        if (reading := piece.latest(what)) is None:
            continue
        text = f"The {NAMES[what].removesuffix(_ONCE_UP)} of {beam.label} {piece.name} was measured"
        if not_done:
            why = f"{_not_yet(not_done, step)}; read it again then"
            yield ReadEarly(what, why, f"{text} too early: {why}.", waits=True)
            continue
        for other in others:
            if reading.when < other.steps[step.id].when:
                before = (
                    f"{other.name} was up"
                    if step.id == NAILED_UP
                    else f"'{step.name}' was done on {other.name}"
                )
                again = "measure it again and type it among its readings"
                why = f"it was measured before {before}; {again}"
                yield ReadEarly(what, why, f"{text} before {before}; {again}.", waits=False)
                break


def _behind(piece: Piece, step: str) -> bool:
    mark = piece.steps.get(step)
    return mark is not None and mark.behind


def _not_yet(names: list[str], step: Step) -> str:
    """Return which pieces are not up yet, or lack a step."""
    if step.id != NAILED_UP:
        return f"'{step.name}' isn't done on {' and '.join(names)} yet"
    return "the sides aren't up yet" if len(names) > 1 else f"{names[0]} isn't up yet"


NEAR = Fraction(1, 8)
"""The share of a beam's length within which a spot counts as the center of its ceiling (common
practice, no source)."""
STATES = ("done", "skipped", "blocked", "ready", "not ready")


def state(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str:
    """Return the state of one step of one piece."""
    if (mark := piece.steps.get(step.id)) is not None:
        return mark.state
    return "ready" if closed(stages, beam, piece, step) is None else "not ready"


def waits_in_turn(step: Step) -> bool:
    """Return whether a step's gate is closed only by the order of steps: an earlier step is neither
    done nor skipped."""
    return EARLIER in step.needs


def closed(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    """Return None if the gate is open, else a sentence: what is missing and where to enter it, or
    which earlier cut needs an answer first."""
    return held_by(stages, beam, piece, step) or unmet(stages, beam, piece, step)


def unmet(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    """Return None if everything that the step needs is there, else a sentence: what is missing."""
    for need in step.needs:
        if (missing := _missing(stages, beam, piece, step, need)) is not None:
            return missing
    return None


def _missing(stages: Stages, beam: Beam, piece: Piece, step: Step, need: Need) -> str | None:
    if need.sort == "earlier":
        return _earlier(stages, beam, piece, step)
    if need.sort == "done":
        return _done(stages, beam, piece, step, need)
    if need.sort == "reading":
        return _readings(beam, piece, step, need)
    if need.sort == OUT_OF_SQUARE:
        return unread_edge(beam, piece, need.what)
    return _read_after(stages, beam, piece, step, need)


def _earlier(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    for one in stages.steps_of(piece.kind, piece.traits):
        if one.id == step.id:
            break
        mark = piece.steps.get(one.id)
        if mark is None or not mark.behind:
            return (
                f"'{one.name}' isn't done on {beam.label} {piece.name}. Check it off "
                f"first, in {stages.find(one.id)[0].name}."
            )
    return None


def _done(stages: Stages, beam: Beam, piece: Piece, step: Step, need: Need) -> str | None:
    """Check a need of sort "done". A step that the beam's type doesn't have isn't required; a
    dropped step, or one for other pieces now, is."""
    if not stages.has(need.step):
        return (
            f"'{step_name(stages, need.step)}' isn't among the steps any more. Put it "
            f"back, or change what '{step.name}' needs, on the Stages page."
        )
    stage, needed = stages.find(need.step)
    for other in beam.among(need.who, piece):
        mark = other.steps.get(need.step)
        if mark is not None and mark.behind:
            continue
        if other.kind not in needed.kinds:
            return (
                f"'{needed.name}' isn't a step of {beam.label} {other.name} any more. "
                f"Make it one again, or change what '{step.name}' needs, on the Stages "
                "page."
            )
        if mark is not None or needed.is_for(other.kind, other.traits):
            return (
                f"{beam.label} {other.name} comes first: '{needed.name}' isn't done on "
                f"it. Check it off there, in {stage.name}."
            )
    return None


def _readings(beam: Beam, piece: Piece, step: Step, need: Need) -> str | None:
    """Check a need of a reading: the piece's own, other pieces', or the whole beam's."""
    if need.who == BEAM:
        return unread_ceiling(beam) or doubtful_ceiling(beam)
    pieces = tuple(beam.among(need.who, piece)) if need.who else (piece,)
    if any(need.what not in one.takes for one in pieces):
        return (
            f"The {NAMES[need.what]} is never measured on {beam.label} "
            f"{pieces[0].name}, so '{step.name}' can't need it. Change what it needs, "
            "on the Stages page."
        )
    missing = next((no for one in pieces if (no := _reading(beam, one, need.what))), None)
    if missing is None and follows_runs(piece, need):
        return slant_unknown(beam, piece)
    return missing


def follows_runs(piece: Piece, need: Need) -> bool:
    """Return whether a need is a top board's for the sides' runs, which must also show at which end
    it slants."""
    return piece.kind == "top" and (need.what, need.who) == ("run", "sides")


def unread_ceiling(beam: Beam) -> str | None:
    """Return None if the ceiling over a beam was measured at both ends and the center, else a
    sentence: where to measure."""
    spots = [] if (read := beam.pair.ceiling) is None else [one.at for one in read.stations]
    if not spots:
        return (
            f"The ceiling over {beam.label} hasn't been measured. Measure it at both "
            "ends and the center, and type it on the Ceiling page."
        )
    from crewdesk.trade.cuts.ceiling import NEAR_END

    length = max((run.value for run in runs_of(beam)), default=max(spots))
    center = length * NEAR
    end = min(NEAR_END, center)
    lacks = [
        name
        for name, at, near in (
            ("end 1", Fraction(0), end),
            ("the center", length / 2, center),
            ("end 2", length, end),
        )
        if all(abs(spot - at) > near for spot in spots)
    ]
    if not lacks:
        return None
    return (
        f"The ceiling over {beam.label} hasn't been measured at {' and '.join(lacks)}. "
        "Measure it there too, and type it on the Ceiling page."
    )


def _reading(beam: Beam, piece: Piece, what: str) -> str | None:
    if piece.latest(what) is None:
        name = reading_name(what, sloped=beam.ceiling == "sloped")
        return (
            f"The {name} of {beam.label} {piece.name} hasn't been measured. Type it "
            "among its readings."
        )
    if what == "run" and beam.ceiling == "sloped" and beam.pitch is None:
        return (
            f"The pitch of {beam.label} isn't known. Type it with the beam itself, on "
            "the run sheet."
        )
    doubts = (doubt(beam, piece, one) for one in (what, *BESIDE.get(what, ())))
    return next((one for one in doubts if one is not None), None)


def _read_after(stages: Stages, beam: Beam, piece: Piece, step: Step, need: Need) -> str | None:
    if (missing := _done(stages, beam, piece, step, need)) is not None:
        return missing
    if piece.latest(need.what) is None:
        return _reading(beam, piece, need.what)
    return next((one.told for one in early_for(stages, beam, piece, need)), None)
