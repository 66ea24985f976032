"""A beam's pieces are those of its type, also after what was changed in two places is settled."""

from fractions import Fraction
from itertools import permutations

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync import conflicts as unsettled
from crewdesk.job.sync import merge, undoing
from crewdesk.job.sync.conflicts import unsettled as kept_apart
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.cuts.section import Section

SECTION = Section(Fraction(8), Fraction(10))
B = Spot("1", "B")


def typed(record: Record, form: str, now) -> Change:
    more = {"pitch": "6/12"} if form == "ridge" else {}
    return beams.change_beam(record, "1", {"form": form, **more}, now)


def ripped_b(record: Record, now) -> Change:
    return ticks.tick(record, B, "rip-side", now)


def of_type(form: str, now) -> Record:
    record = Record({})
    record.make(beams.new_job("Hill house", SECTION, now))
    more = {"pitch": "6/12"} if form == "ridge" else {}
    record.make(beams.add_beam(record, "1", "Room", now, form=form, **more))
    return record


def apart(base: Record, ours, theirs, copied) -> Record:
    """The record after theirs, with what of ours is kept apart."""
    there = Record(copied(base.tables))
    there.make(theirs)
    both = Record(copied(there.tables))
    for change in merge.merged(
        Record, base.tables, [ours], there.tables, [theirs], 2, undoing.Undoing
    ):
        both.make(change)
    return both


def test_a_piece_that_the_type_lost_is_not_put_in(now, copied, refusing) -> None:
    base = of_type("usual", now)
    both = apart(base, ripped_b(base, now), typed(base, "wall", now), copied)
    (one,) = kept_apart(both)
    assert refusing(unsettled.put_in, both, one.row, now) == (
        "The pieces of Room 1, one side, against a wall, are side A, bottom, cleats, so it can't "
        "have side B. First change it to a type that has side B. Nothing was changed."
    )
    both.make(typed(both, "usual", now))
    both.make(unsettled.put_in(both, one.row, now))
    assert "rip-side" in both.beam("1").piece("B").steps


@pytest.mark.parametrize("start", ["usual", "box"])
def test_a_type_is_put_in_with_its_pieces(start: str, now, copied) -> None:
    for here, there in permutations((form for form in FORMS if form != start), 2):
        base = of_type(start, now)
        both = apart(base, typed(base, there, now), typed(base, here, now), copied)
        (one,) = kept_apart(both)
        if "pitch" in (beam := both.tables["beams"]["1"]) or there != "ridge":
            put_in = unsettled.put_in(both, one.row, now)
            both.make(put_in)
            assert beam is not both.tables["beams"]["1"]
        assert set(both.tables["beams"]["1"]["pieces"]) == set(both.beam("1").form.pieces)
        assert cut_list("hill", both).values


def test_a_type_is_not_put_in_over_a_piece_that_was_worked_on(now, copied, refusing) -> None:
    base = of_type("usual", now)
    both = apart(base, typed(base, "wall", now), typed(base, "box", now), copied)
    both.make(take.take(both, B, "run", take.typed_reading(both, "run", "192", now)))
    (one,) = kept_apart(both)
    assert "Room 1 side B" in refusing(unsettled.put_in, both, one.row, now)


def test_a_beam_left_with_a_piece_of_another_type_opens_and_is_mended(now) -> None:
    record = of_type("wall", now)
    ripped = {"state": "done", "when": now.isoformat()}
    record.tables["beams"]["1"]["pieces"]["B"] = {"readings": {}, "steps": {"rip-side": ripped}}
    record = Record(record.tables)
    record.check_all()
    assert cut_list("hill", record).values
    record.make(beams.change_beam(record, "1", {"note": "by the stairs"}, now))
    assert set(record.beam("1").pieces) == {"A", "bottom", "cleats"}
    record.make(typed(record, "usual", now))
    assert "rip-side" in record.beam("1").piece("B").steps


def test_a_beam_left_without_a_piece_of_its_type_is_mended_by_its_type(now) -> None:
    record = of_type("box", now)
    del record.tables["beams"]["1"]["pieces"]["top"]
    record = Record(record.tables)
    record.check_all()
    assert cut_list("hill", record).values
    record.make(typed(record, "box", now))
    assert "top" in record.beam("1").pieces


def test_what_comes_in_says_what_is_wrong_with_the_pieces_and_the_fix(now) -> None:
    record = of_type("box", now)
    pieces = record.tables["beams"]["1"]["pieces"]
    del pieces["top"]
    said = record.not_sound("beams", "1", record.tables["beams"]["1"])
    assert isinstance(said, NotAllowed)
    assert str(said) == (
        "The pieces of Room 1, four boards, below the ceiling, are side A, side B, bottom, top, "
        "cleats, but it lacks top. Change its type, or edit the beam and save it to add what is "
        "missing."
    )
