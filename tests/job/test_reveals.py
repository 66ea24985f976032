"""The reveals that a job reached, over its beams."""

from fractions import Fraction as Fr

from crewdesk.job import take
from crewdesk.job.piece import Spot
from crewdesk.job.reveals import Reveals, reveals_reached
from crewdesk.paper.took import reveals_line
from crewdesk.trade.length import DEFAULT_STEP


def test_reveals_are_held_against_those_asked_for(record, now) -> None:
    """Asked for 1/4 twice, reached 9/32 and 3/16: 1/64 less on average, 1/16 at the worst."""
    assert reveals_reached(record) is None
    for row, text in (("1", "9/32"), ("2", "3/16")):
        reading = take.typed_reading(record, "reveal", text, now)
        record.make(take.take(record, Spot(row, "bottom"), "reveal", reading))
    reached = reveals_reached(record)
    assert reached == Reveals(2, Fr(-1, 64), Fr(1, 16))
    assert reveals_line(reached, DEFAULT_STEP) == (
        "2 reveals measured: 1/32- in less than asked for on average, 1/16 in off at the worst."
    )
