"""The run sheet: pieces down, stages across, and what is ready to batch now."""

from collections.abc import Iterator
from datetime import date, tzinfo
from operator import is_
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.cuts.changed_cuts import held_cuts
from crewdesk.job.record import Record
from crewdesk.job.steps.gates import state, waits_in_turn
from crewdesk.job.steps.stages import Stage, Stages, Step
from crewdesk.job.time.today import today


class Cell(NamedTuple):
    """A piece's progress in a stage.

    `state` is "none" (the stage has no step for this piece), "done", "skipped" (all
    of its steps were), "blocked", "ready" or "not ready"; the last three speak of
    `next`, the first step that is not behind the piece. `behind` of `steps` are. `held`
    says that one of them is a cut that waits for an answer (see `changed_cuts`).
    """

    state: str
    behind: int
    steps: int
    next: Step | None
    overridden: bool
    held: bool = False


class Batch(NamedTuple):
    """One operation that can be done now on each of `spots`."""

    stage: Stage
    step: Step
    spots: tuple[Spot, ...]


class Total(NamedTuple):
    """Steps done or skipped, and all steps, of a stage or the job."""

    behind: int
    steps: int


def cells_of(stages: Stages, beam: Beam, piece: Piece) -> tuple[Cell, ...]:
    """Return a piece's cells, in the order of the stages."""
    cells: list[Cell] = []
    held = {one.step_id for one in held_cuts(beam) if one.spot.piece == piece.key}
    open_before = False  # whether an earlier step is open
    for steps in stages.way_of(piece.kind, piece.traits):
        marks = [piece.steps.get(step.id) for step in steps]
        behind = [mark is not None and mark.behind for mark in marks]
        ahead = None if all(behind) else steps[behind.index(False)]
        if not steps:
            shown = "none"
        elif ahead is None:
            skipped = all(mark is not None and mark.state == "skipped" for mark in marks)
            shown = "skipped" if skipped else "done"
        elif ahead.id not in piece.steps and open_before and waits_in_turn(ahead):
            shown = "not ready"
        else:
            shown = state(stages, beam, piece, ahead)
        overridden = any(mark is not None and bool(mark.override) for mark in marks)
        asked = bool(held) and any(step.id in held for step in steps)
        cells.append(Cell(shown, sum(behind), len(steps), ahead, overridden, asked))
        open_before = open_before or ahead is not None
    return tuple(cells)


class RunSheet:
    """Every cell of a record, each beam's computed once until that beam changes."""

    def __init__(self, record: Record) -> None:
        self.record = record
        self._kept: dict[str, tuple[Stages, Beam, dict[str, tuple[Cell, ...]]]] = {}
        self._batches: tuple[Stages, tuple[Beam, ...], tuple[Batch, ...]] | None = None
        self._totals: tuple[Stages, tuple[Beam, ...], tuple[Total, ...]] | None = None

    def cells(self, beam: Beam) -> dict[str, tuple[Cell, ...]]:
        """Return a beam's cells by piece key, in the order of the stages."""
        stages = self.record.stages
        kept = self._kept.get(beam.row)
        if kept is None or kept[0] is not stages or kept[1] is not beam:
            cells = {key: cells_of(stages, beam, piece) for key, piece in beam.pieces.items()}
            kept = self._kept[beam.row] = (stages, beam, cells)
        return kept[2]

    def _all(self) -> Iterator[tuple[Beam, str, int, Cell]]:
        for beam in self.record.beams:
            for key, cells in self.cells(beam).items():
                for place, one in enumerate(cells):
                    yield beam, key, place, one

    def batches(self) -> tuple[Batch, ...]:
        """Return every operation that some piece is ready for, in order of work; computed once
        until a beam or the stages change."""
        stages, beams = self.record.stages, self.record.beams
        kept = self._batches
        if kept is None or kept[0] is not stages or not _same(kept[1], beams):
            kept = self._batches = (stages, beams, self._gathered())
        return kept[2]

    def _gathered(self) -> tuple[Batch, ...]:
        ready: dict[str, list[Spot]] = {}
        for beam, key, _, one in self._all():
            if one.state == "ready" and one.next is not None:
                ready.setdefault(one.next.id, []).append(Spot(beam.row, key))
        return tuple(
            Batch(stage, step, tuple(ready[step.id]))
            for stage in self.record.stages
            for step in stage.steps
            if step.id in ready
        )

    def totals(self) -> tuple[Total, ...]:
        """Return done and all steps by stage."""
        stages, beams = self.record.stages, self.record.beams
        kept = self._totals
        if kept is None or kept[0] is not stages or not _same(kept[1], beams):
            kept = self._totals = (stages, beams, self._counted())
        return kept[2]

    def _counted(self) -> tuple[Total, ...]:
        behind = [0] * len(self.record.stages.stages)
        steps = list(behind)
        for _, _, place, one in self._all():
            behind[place] += one.behind
            steps[place] += one.steps
        return tuple(Total(*pair) for pair in zip(behind, steps, strict=True))

    def pieces(self) -> tuple[int, ...]:
        """By stage, the pieces that have a step in it."""
        count = [0] * len(self.record.stages.stages)
        for _, _, place, one in self._all():
            count[place] += one.state != "none"
        return tuple(count)

    def total(self) -> Total:
        """Return done and all steps of the job."""
        totals = self.totals()
        return Total(sum(t.behind for t in totals), sum(t.steps for t in totals))

    @property
    def all_done(self) -> bool:
        """Return whether there are steps and all of the job's are done or skipped."""
        total = self.total()
        return 0 < total.steps == total.behind


def _same(some: tuple[Beam, ...], others: tuple[Beam, ...]) -> bool:
    """Return whether they are the same objects."""
    return len(some) == len(others) and all(map(is_, some, others))


def next_stage(stages: Stages, beam: Beam, piece: Piece) -> Stage | None:
    """Return the stage of a piece's next step; None if all are done or skipped."""
    cells = zip(stages, cells_of(stages, beam, piece), strict=True)
    return next((stage for stage, cell in cells if cell.next is not None), None)


def ready_in(record: Record, stage: str) -> tuple[Spot, ...]:
    """Return every piece that is ready for something in a stage, in order of work, once each."""
    batches = RunSheet(record).batches()
    return tuple(dict.fromkeys(s for one in batches if one.stage.id == stage for s in one.spots))


def done_on(record: Record, day: date, zone: tzinfo | None) -> tuple[Batch, ...]:
    """Return every step that was done on `day`, with its pieces, in the order of work.

    zone: the business's time zone; None for the zone that each mark was made in.
    """
    done: dict[str, list[Spot]] = {}
    for beam in record.beams:
        for key, piece in beam.pieces.items():
            for id_, mark in piece.steps.items():
                if mark.state == "done" and today(mark.when, zone) == day:
                    done.setdefault(id_, []).append(Spot(beam.row, key))
    return tuple(
        Batch(stage, step, tuple(done[step.id]))
        for stage in record.stages
        for step in stage.steps
        if step.id in done
    )
