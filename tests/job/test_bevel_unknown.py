"""Which back is beveled isn't known where the sides' lengths prove a wall out of square and no
square says which: 96 and 95 21/32 over 8 in is 1/24 (an independent calculation: 11/32 / 8)."""

import pytest

from crewdesk.job.beams import take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.dry_fits import tried
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.side_settings import NO_BEVEL
from crewdesk.job.record import Record
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.dry_fit import dry_fit_sheet

UNKNOWN = (
    "Which end's back must be beveled isn't known: side A and side B of Great room "
    "Ridge differ by 11/32 in, wall to wall, so a wall is out of square. Measure each "
    "wall with the square."
)


def said(record: Record, key: str = "A") -> str:
    beam = record.beam("1")
    cuts, why = cuts_of(record.job, beam, beam.pieces[key], "back-bevel")
    return why or " ".join(note for cut in cuts for note in cut.notes)


@pytest.fixture
def sides(record, now):
    def read(run_b: str) -> Record:
        for key, run in (("A", "96"), ("B", run_b)):
            for what, text in (("run", run), ("end1", "0"), ("end2", "0")):
                reading = take.typed_reading(record, what, text, now, lean="in", level="24")
                record.make(take.take(record, Spot("1", key), what, reading))
        return record

    return read


def doubts(record: Record, key: str = "A") -> tuple[str, ...]:
    beam = record.beam("1")
    return tried(beam, beam.pieces[key], record.job.step).doubts


def test_no_bevel_is_said_only_where_the_walls_may_be_square(sides) -> None:
    record = sides("96")
    assert said(record) == NO_BEVEL
    assert doubts(record) == ()


def test_lengths_that_prove_a_wall_askew_ask_for_the_square(sides) -> None:
    record = sides("95 21/32")
    for key in "AB":
        assert said(record, key) == UNKNOWN
        assert UNKNOWN in doubts(record, key)
    assert f"! {UNKNOWN}" in "\n".join(dry_fit_sheet("hill", record, "Ridge").lines)


@pytest.mark.parametrize("gap", ["0", "5/16"])
def test_a_square_at_one_wall_speaks_for_the_other_where_it_explains_the_lengths(
    sides, now, gap: str
) -> None:
    record = sides("95 21/32")
    record.make(read_squares(record, "1", (TypedSquare(1, gap, "8", "A"),), now))
    asks = "so the wall at end 2 is out of square. Measure end 2 with the square."
    assert (asks in said(record)) == (gap == "0")
    assert any(asks in one for one in doubts(record)) == (gap == "0")
    if gap != "0":
        assert said(record) != NO_BEVEL
