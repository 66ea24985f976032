"""The cautions on the screen, and of which stage they are there."""

from rich.text import Text

from crewdesk.job.beams.piece import Spot
from crewdesk.job.steps.cautions import cautions
from crewdesk.job.steps.run_sheet import next_stage
from crewdesk.job.time.clock import running
from crewdesk.screens.page import stage_here
from crewdesk.screens.program import Program


def stage_of_work(app: Program) -> str:
    """The stage that the clock runs on, or the run sheet's cursor stands in, or the first."""
    from crewdesk.job.steps.usual_stages import USUAL_STAGES

    if app.job is None:
        return next(iter(USUAL_STAGES)).id
    entry = running(app.record)
    if entry is not None and any(stage.id == entry.stage for stage in app.record.stages):
        return entry.stage
    return stage_here(app) or next(iter(app.record.stages)).id


def cautions_told(stage: str) -> Text:
    """The cautions of a stage, each with its source."""
    text = Text()
    for place, one in enumerate(cautions(stage)):
        text.append("\n\n" if place else "")
        text.append("! ", style="bold")
        text.append(one.text)
        if one.source:
            text.append(f"\n  ({one.source})", style="italic")
    return text


def stage_of_piece(app: Program, spot: Spot) -> str:
    """The stage that a piece is in, or the last one where all of them are behind it."""
    beam = app.record.beam(spot.beam)
    stage = next_stage(app.record.stages, beam, beam.piece(spot.piece))
    return (stage or app.record.stages.stages[-1]).id


def stage_of_step(app: Program, step: str, spot: Spot) -> str:
    """The stage that has a step, or where none has it any more the one a piece is in."""
    stages = app.record.stages
    return stages.find(step)[0].id if stages.has(step) else stage_of_piece(app, spot)
