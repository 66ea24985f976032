"""The reveals that a job reached, over its beams."""

from fractions import Fraction as Fr

from crewdesk.job.beams import take
from crewdesk.job.beams.gaps import Reveals, reveals_off, reveals_reached
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.actuals import job_actuals
from crewdesk.job.books.pricing import as_past
from crewdesk.job.books.shop import Shop
from crewdesk.length import DEFAULT_STEP
from crewdesk.paper.text.hours import actuals_sheet, reveals_line
from crewdesk.trade.books.stage_rates import Factors, PastJob, load_of


def test_reveals_are_held_against_those_asked_for(record, now) -> None:
    """Asked for 1/4 twice, reached 9/32 and 3/16: 1/64 less on average, 1/16 at the worst."""
    assert reveals_reached(reveals_off(record)) is None
    for row, text in (("1", "9/32"), ("2", "3/16")):
        reading = take.typed_reading(record, "reveal", text, now)
        record.make(take.take(record, Spot(row, "bottom"), "reveal", reading))
    reached = reveals_reached(reveals_off(record))
    assert reached == Reveals(2, Fr(-1, 64), Fr(1, 16))
    assert reveals_line(reached, DEFAULT_STEP) == (
        "2 reveals measured: 1/32- in less than asked for on average, 1/16 in off at the worst."
    )


def test_what_finished_jobs_reached_is_told_on_the_next(record, now) -> None:
    """Off 1/32 and 1/16 in two jobs: 3/64 more on average (by hand), 1/16 at the worst."""
    past = [
        PastJob(name, load_of([], Factors()), {}, (off,))
        for name, off in (("one", Fr(1, 32)), ("two", Fr(1, 16)))
    ]
    took = job_actuals(record, Shop(), past, now)
    assert took.reveals is None
    assert took.past_reveals == Reveals(2, Fr(3, 64), Fr(1, 16))
    sheet = actuals_sheet("hill", record, took)
    [line] = [one for one in sheet.lines if "reveals measured" in one]
    assert line.startswith("In finished jobs: 2 reveals measured: 1/16- in more than asked for")
    assert sheet.values["reveals"] is None
    assert sheet.values["past_reveals"]["mean_off"]["exact"] == "3/64"


def test_a_finished_job_keeps_its_reveals(record, now) -> None:
    reading = take.typed_reading(record, "reveal", "9/32", now)
    record.make(take.take(record, Spot("1", "bottom"), "reveal", reading))
    assert as_past(record, Factors(), now).reveals_off == (Fr(1, 32),)
