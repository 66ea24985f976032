"""A bottom that is read before its sides are up is marked at once, everywhere alike (common
practice, no source: nailing a side moves what the bottom goes between)."""

from datetime import datetime, timedelta

import pytest

from crewdesk.job.beams import take
from crewdesk.job.beams.missing import LATER, TO_READ, missing, next_unread
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.gates import closed, read_early
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.dry_fit import dry_fit_sheet

BOTTOM = Spot("1", "bottom")
NOT_UP = (
    "The length between the walls of Great room Ridge bottom was measured too early: "
    "the sides aren't up yet; read it again then."
)
BEFORE = (
    "The length between the walls of Great room Ridge bottom was measured before side A was up; "
    "measure it again and type it among its readings."
)


def _read(record: Record, what: str, text: str, at: datetime) -> None:
    record.make(take.take(record, BOTTOM, what, take.typed_reading(record, what, text, at)))


def _early(record: Record) -> tuple[str, ...]:
    beam = record.beam("1")
    return tuple(one.told for one in read_early(record.stages, beam, beam.pieces["bottom"]))


def _shown(record: Record) -> list[str]:
    """The lines with which the cut list and the dry fit mark it, and the JSON of both."""
    found = []
    for sheet in (cut_list("id", record, "Ridge"), dry_fit_sheet("id", record, "Ridge")):
        found += [
            line.strip().removeprefix("! ") for line in sheet.lines if "was measured " in line
        ]
        (beam,) = sheet.values["beams"]
        found += [one for piece in beam["pieces"] for one in piece["read_early"]]
    return found


def _missing(record: Record) -> list[tuple[str, str]]:
    of_bottom = (one for one in missing(record) if one.spot == BOTTOM)
    return [(one.sort, one.why) for one in of_bottom if "too early" in one.why]


AGAIN = "length between the walls, sides up: measured too early, measure it again"


def test_a_bottom_read_before_its_sides_are_up_is_marked_everywhere(record, now, walk) -> None:
    _read(record, "opening", "147-1/4", now)
    assert _early(record) == (NOT_UP,)
    assert _shown(record) == [NOT_UP] * 4
    assert _missing(record) == [(LATER, AGAIN)]

    # Once they are up the gate says it, and all else shows the gate's sentence.
    walk(record, record.make, "cut-bottom", now + timedelta(hours=1))
    beam, step = record.beam("1"), record.stages.step("cut-bottom")
    assert closed(record.stages, beam, beam.pieces["bottom"], step) == BEFORE
    assert _shown(record) == [BEFORE] * 4
    assert _missing(record) == [(TO_READ, AGAIN)]
    assert next_unread(record, "1", None) == (BOTTOM, "opening")

    # Read again, nothing of it is left.
    later = now + timedelta(days=1)
    _read(record, "opening", "147-1/4", later)
    assert (_early(record), _shown(record), _missing(record)) == ((), [], [])
    record.make(ticks.tick(record, BOTTOM, "cut-bottom", later))


def test_one_side_up_and_the_other_not(record, now, walk) -> None:
    walk(record, record.make, "nail-side", now)
    at = now + timedelta(hours=8)
    record.make(ticks.tick(record, Spot("1", "A"), "nail-side", at))
    _read(record, "opening", "147-1/4", at + timedelta(minutes=1))
    assert _early(record) == (NOT_UP.replace("the sides aren't", "side B isn't"),)


@pytest.mark.parametrize("state", ["done", "skipped"])
def test_a_bottom_that_is_cut_is_not_asked_for_again(record, now, state) -> None:
    """What was cut past its gate is noted with the reason instead."""
    _read(record, "opening", "147-1/4", now)
    if state == "done":
        record.make(ticks.tick(record, BOTTOM, "cut-bottom", now, override="sides are tacked"))
    else:
        record.make(ticks.set_aside(record, BOTTOM, "cut-bottom", state, "no bottom here", now))
    assert _early(record) == ()
