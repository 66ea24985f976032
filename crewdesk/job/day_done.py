"""What was ticked on one day, by stage and step."""

from datetime import date

from crewdesk.job.logged import on_site
from crewdesk.job.piece import Spot
from crewdesk.job.record import Record
from crewdesk.job.run_sheet import Batch


def done_on(record: Record, day: date) -> tuple[Batch, ...]:
    """Every step that was done on `day` at the site, with its pieces, in the order of work."""
    done: dict[str, list[Spot]] = {}
    for beam in record.beams:
        for key, piece in beam.pieces.items():
            for id_, mark in piece.steps.items():
                if mark.state == "done" and on_site(record, mark.when).date() == day:
                    done.setdefault(id_, []).append(Spot(beam.row, key))
    return tuple(
        Batch(stage, step, tuple(done[step.id]))
        for stage in record.stages
        for step in stage.steps
        if step.id in done
    )
