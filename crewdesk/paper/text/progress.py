"""The progress sheet: the job's progress and what is ready to batch."""

from typing import Any

from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.job.sync.contradictions import done_early
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values
from crewdesk.paper.text.exceptions_report import (
    Noted,
    blocked,
    gap_line,
    gap_values,
    held,
    kept,
    noted,
    noted_values,
    overridden,
    skipped,
    waived_lines,
    waived_values,
)


def progress(id_: str, record: Record) -> Sheet:
    """Steps done by stage, batches that are ready, and what was noted."""
    sheet = RunSheet(record)
    total, totals, batches = sheet.total(), sheet.totals(), sheet.batches()
    every = list(noted(record, record.beams))
    stages = list(zip(record.stages, totals, strict=True))
    wide = max((len(plain(stage.name)) for stage, _ in stages), default=0)
    wide = max(wide, len("all")) + 2
    lines = [
        heading(record.job, "progress"),
        "",
        *(f"{plain(stage.name):<{wide}}{of.behind:>4} of {of.steps}" for stage, of in stages),
        f"{'all':<{wide}}{total.behind:>4} of {total.steps} steps are done",
        "",
        "Ready to batch now" if batches else "Nothing is ready to batch now.",
    ]
    for batch in batches:
        lines += _batch(record, batch)
    lines += _told("Held until answered", held(every))
    early = [one for beam in record.beams for one in done_early(record, beam)]
    if early:
        lines += ["", "Done too early", *(f"  {plain(one)}" for one in early)]
    lines += _told("Blocked", blocked(every))
    lines += _told("Skipped", skipped(every))
    lines += _told("Done early, by override", overridden(every))
    lines += _told("Kept as cut", kept(every))
    if waived := waived_lines(record):
        lines += ["", "Needs dropped", *(f"  {one}" for one in waived)]
    gaps = [
        (beam, piece, gap)
        for beam in record.beams
        for piece in beam.pieces.values()
        for gap in piece.gaps
    ]
    if gaps:
        lines += ["", "Gaps found"]
        lines += [
            f"  {plain(beam.label)} {piece.name}, {gap_line(gap, record.job.step)}"
            for beam, piece, gap in gaps
        ]
    return Sheet(
        tuple(lines),
        lambda: {
            "job": job_values(id_, record.job),
            "total": {"behind": total.behind, "steps": total.steps},
            "stages": [
                {"id": stage.id, "name": stage.name, "behind": of.behind, "steps": of.steps}
                for stage, of in stages
            ],
            "ready": [_batch_values(record, batch) for batch in batches],
            **noted_values(every, "held", "kept"),
            "done_too_early": early,
            **noted_values(every, "blocked", "skipped", "overrides"),
            "waived": waived_values(record),
            "gaps": [
                {
                    "room": beam.room,
                    "beam": beam.name,
                    "piece": piece.key,
                    **gap_values(gap, record.job.step),
                }
                for beam, piece, gap in gaps
            ],
        },
    )


def _batch(record: Record, batch: Batch) -> list[str]:
    count = len(batch.spots)
    of_beam: dict[str, list[str]] = {}
    for spot in batch.spots:
        beam = record.beam(spot.beam)
        of_beam.setdefault(plain(beam.label), []).append(beam.piece(spot.piece).name)
    where = "; ".join(f"{label} {', '.join(names)}" for label, names in of_beam.items())
    return [
        f"  {plain(batch.stage.name)}: {plain(batch.step.name)}, "
        f"{count} piece{'' if count == 1 else 's'}",
        f"    {where}",
    ]


def _batch_values(record: Record, batch: Batch) -> dict[str, Any]:
    beams = [(record.beam(spot.beam), spot.piece) for spot in batch.spots]
    return {
        "stage": batch.stage.id,
        "step": batch.step.id,
        "name": batch.step.name,
        "pieces": [{"room": b.room, "beam": b.name, "piece": piece} for b, piece in beams],
    }


def _told(title: str, every: list[Noted]) -> list[str]:
    return ["", title, *(f"  {one.line}" for one in every)] if every else []
