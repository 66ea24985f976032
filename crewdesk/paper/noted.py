"""What was noted about steps and must show on every sheet: set aside, or past a gate."""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from crewdesk.job.beam import Beam
from crewdesk.job.bottoms import cut_of
from crewdesk.job.piece import Piece, StepMark
from crewdesk.job.record import Record
from crewdesk.job.sentences import sentence
from crewdesk.paper.plain import plain
from crewdesk.trade.refusal import Refusal

OVER_READING = "bottom-cut-over-reading"
OWN_CUT = "own-cut"
"""What stands for the step where a cut of one's own is noted, which is no step of any stage."""


class Noted(NamedTuple):
    """A mark on one step of one piece. `stage` is empty for a step dropped since."""

    beam: Beam
    piece: Piece
    stage: str
    step: str
    name: str
    mark: StepMark

    @property
    def line(self) -> str:
        """As told in the sheet of the whole job."""
        return f"{plain(self.beam.label)} {self.piece.name}, {self.told}"

    @property
    def told(self) -> str:
        """As told under the piece itself."""
        if self.mark.override:
            return (
                f"'{plain(self.name)}' passed its gate: {plain(self.mark.override)} "
                f"(the gate said: {plain(self.mark.gate)})"
            )
        return f"'{plain(self.name)}' {self.mark.state}: {plain(self.mark.reason)}"

    @property
    def values(self) -> dict[str, Any]:
        """As JSON: the reason, and what the gate said where one was passed."""
        told = {
            "room": self.beam.room,
            "beam": self.beam.name,
            "piece": self.piece.key,
            "stage": self.stage,
            "step": self.step,
            "name": self.name,
            "when": self.mark.when.isoformat(),
            "reason": self.mark.override or self.mark.reason,
        }
        return {**told, "gate": self.mark.gate} if self.mark.override else told


def noted(record: Record, beams: Iterable[Beam]) -> Iterator[Noted]:
    """Every blocked and skipped step and every gate that was passed, in the order of work."""
    for beam in beams:
        for piece in beam.pieces.values():
            yield from noted_of(record, beam, piece)


def noted_of(record: Record, beam: Beam, piece: Piece) -> Iterator[Noted]:
    """What `noted` tells of one piece."""
    if (own := _over_reading(beam, piece)) is not None:
        yield own
    if all(mark.state == "done" and not mark.override for mark in piece.steps.values()):
        return
    names = {step.id: (stage.id, step.name) for stage in record.stages for step in stage.steps}
    for id_ in (*names, *(one for one in piece.steps if one not in names)):
        mark = piece.steps.get(id_)
        if mark is not None and (mark.state != "done" or mark.override):
            stage, name = names.get(id_, ("", id_))
            yield Noted(beam, piece, stage, id_, name, mark)


def _over_reading(beam: Beam, piece: Piece) -> Noted | None:
    """A bottom board's own cut that is longer than its reading, noted as a gate passed."""
    own = piece.own_cut
    if own is None or not own.reason:
        return None
    try:
        cut = cut_of(beam, piece)
    except Refusal:
        return None
    if cut is None or not cut.cautions:
        return None
    gate = sentence(Refusal(OVER_READING, **cut.cautions[0].facts))
    mark = StepMark("done", own.when, override=own.reason, gate=gate)
    return Noted(beam, piece, "", OWN_CUT, "Cut over the reading", mark)


def blocked(every: Iterable[Noted]) -> list[Noted]:
    """Those that wait."""
    return [one for one in every if one.mark.state == "blocked"]


def skipped(every: Iterable[Noted]) -> list[Noted]:
    """Those that were left out."""
    return [one for one in every if one.mark.state == "skipped"]


def overridden(every: Iterable[Noted]) -> list[Noted]:
    """Those that were done past a closed gate."""
    return [one for one in every if one.mark.override]
