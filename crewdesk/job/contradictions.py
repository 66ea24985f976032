"""What doesn't fit together in a job that came in from elsewhere, or was brought back."""

from crewdesk.job.answer_cut import open_cuts, question
from crewdesk.job.between_rows import done_too_early
from crewdesk.job.record import Record
from crewdesk.job.step_effects import never_met


def contradictions(record: Record) -> tuple[str, ...]:
    """Return a sentence for each need that no piece can meet, for each step that is done though
    its gate is closed, and for each cut that today's figures would make otherwise. A gate that
    was passed on purpose is left out."""
    early = tuple(
        f"{what} is done too early: {gate}"
        for beam in record.beams
        for what, gate in done_too_early(record.stages, beam).values()
    )
    return (
        *never_met(record.stages),
        *early,
        *(question(record, one) for one in open_cuts(record)),
    )
