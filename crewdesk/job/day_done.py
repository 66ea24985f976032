"""What was ticked on one day, by stage and step."""

from datetime import date, tzinfo

from crewdesk.job.piece import Spot
from crewdesk.job.record import Record
from crewdesk.job.run_sheet import Batch
from crewdesk.job.today import today


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
