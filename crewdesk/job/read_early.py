"""Readings that were taken too early: before the step was done that changes what they measure, as
a bottom's length is read between walls before its sides are up.

One rule for all: the gate goes by it, the piece's page, the cut list, the dry fit, paper, and what
is missing (see `crewdesk.job.gates` and `crewdesk.job.missing`).
"""

from collections.abc import Iterator
from typing import NamedTuple

from crewdesk.job.beam import Beam
from crewdesk.job.needs import Need
from crewdesk.job.piece import Piece
from crewdesk.job.readings import BESIDE, NAMES
from crewdesk.job.stages import Stages, Step

NAILED_UP = "nail-side"
"""The usual step after which a side is up."""
_ONCE_UP = ", sides up"
"""What the name of a reading ends with that is taken between the sides."""


class ReadEarly(NamedTuple):
    """A reading, `what`, that was taken too early: `why`, with what to do, and the whole `told`
    in a sentence that names the piece. `waits` is whether it can't be taken again yet."""

    what: str
    why: str
    told: str
    waits: bool


def read_early(stages: Stages, beam: Beam, piece: Piece) -> tuple[ReadEarly, ...]:
    """Return the readings of a piece that count and were taken too early for a step that is
    ahead of it, each once."""
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
    """Give the readings of a piece that were taken too early for one need: before its step was
    done on each of the pieces it speaks of."""
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
        told = f"The {NAMES[what].removesuffix(_ONCE_UP)} of {beam.label} {piece.name} was read"
        if not_done:
            why = f"{_not_yet(not_done, step)}; read it again then"
            yield ReadEarly(what, why, f"{told} too early: {why}.", waits=True)
            continue
        for other in others:
            if reading.when < other.steps[step.id].when:
                before = (
                    f"{other.name} was up"
                    if step.id == NAILED_UP
                    else f"'{step.name}' was done on {other.name}"
                )
                again = "read it again and enter it among its readings"
                why = f"it was read before {before}; {again}"
                yield ReadEarly(what, why, f"{told} before {before}; {again}.", waits=False)
                break


def _behind(piece: Piece, step: str) -> bool:
    mark = piece.steps.get(step)
    return mark is not None and mark.behind


def _not_yet(names: list[str], step: Step) -> str:
    """Which pieces are not up yet, or not through a step."""
    if step.id != NAILED_UP:
        return f"'{step.name}' is not done on {' and '.join(names)} yet"
    return "the sides are not up yet" if len(names) > 1 else f"{names[0]} is not up yet"
