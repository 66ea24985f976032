"""Changes made in two places at once: brought together, or both kept for the user."""

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewdesk.job.beams import beams, take
from crewdesk.job.books.job_lists import typed_material
from crewdesk.job.change import ABSENT, Change, Edit, put, rows_after
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync import conflicts as unsettled
from crewdesk.job.sync.merge import merged
from crewdesk.job.sync.undoing import Undoing
from crewdesk.job.time import clock

A, B, BOTTOM = Spot("1", "A"), Spot("1", "B"), Spot("1", "bottom")


class Side:
    """One side: it starts from a record and makes changes."""

    def __init__(self, record, copied):
        self.base = copied(record.tables)
        self.record = Record(copied(record.tables))
        self.changes = []

    def make(self, change):
        self.record.make(change)
        self.changes.append(change)
        return change


@pytest.fixture
def two(record, copied):
    """A record as two sides have it."""
    return Side(record, copied), Side(record, copied)


def fold(*lists):
    undoing = Undoing()
    number = 0
    for changes in lists:
        for change in changes:
            number += 1
            undoing.note(number, change)
    return undoing


def bring(mine, theirs, copied, common=0):
    """What is to be made after theirs, and the record that it leads to."""
    made = merged(
        Record,
        mine.base,
        mine.changes,
        theirs.record.tables,
        theirs.changes,
        common,
        lambda: fold(theirs.changes),
    )
    record = Record(copied(theirs.record.tables))
    for change in made:
        record.make(change)
    return made, record


def test_different_things_are_all_there(two, now, copied) -> None:
    mine, theirs = two
    mine.make(ticks.tick(mine.record, A, "rip-side", now))
    mine.make(beams.change_job(mine.record, {"notes": "mine"}, now))
    theirs.make(ticks.tick(theirs.record, B, "rip-side", now))
    theirs.make(beams.change_job(theirs.record, {"site": "theirs"}, now))
    made, record = bring(mine, theirs, copied)
    assert [change.what for change in made] == [change.what for change in mine.changes]
    assert {*record.beam("1").piece("A").steps} == {*record.beam("1").piece("B").steps}
    assert (record.job.notes, record.job.site) == ("mine", "theirs")
    assert unsettled.unsettled(record) == ()


def test_the_same_place_is_kept_apart_and_can_be_put_in(two, now, copied) -> None:
    mine, theirs = two
    for side, length in ((mine, "12' 3 1/4"), (theirs, "12' 3 1/8")):
        reading = take.typed_reading(side.record, "run", length, now)
        side.make(take.take(side.record, A, "run", reading))
    _, record = bring(mine, theirs, copied)
    assert str(record.beam("1").piece("A").latest("run").value) == "1177/8"
    (one,) = unsettled.unsettled(record)
    assert (one.what, one.against) == (mine.changes[0].what, theirs.changes[0].what)
    ((place, here, there),) = unsettled.compared(record, one)
    assert place == "beams / 1 / pieces / A / readings / run"
    assert (here, there) == ("12' 3 1/8", "12' 3 1/4")
    put_in = unsettled.put_in(record, one.row, now)
    record.make(put_in)
    assert str(record.beam("1").piece("A").latest("run").value) == "589/4"
    assert unsettled.unsettled(record) == ()
    record.make(put_in.taken_back(1, now))
    assert str(record.beam("1").piece("A").latest("run").value) == "1177/8"
    record.make(unsettled.leave(record, one.row, now))
    assert unsettled.unsettled(record) == ()
    assert str(record.beam("1").piece("A").latest("run").value) == "1177/8"


def test_fields_of_one_row_that_is_written_whole(two, now, copied, record) -> None:
    # Mending an entry writes its row whole; the sides mend different fields of it.
    for side in two:
        side.record.make(clock.start(side.record, "rip", now))
        side.base = copied(side.record.tables)
    mine, theirs = two
    mine.make(clock.mend(mine.record, "1", now, note="with the new blade"))
    theirs.make(clock.stop(theirs.record, now + timedelta(hours=1)))
    _, both = bring(mine, theirs, copied)
    entry = both.entry("1")
    assert (entry.note, entry.running) == ("with the new blade", False)
    assert unsettled.unsettled(both) == ()


def test_new_rows_get_numbers_of_their_own_and_what_names_them_follows(two, now, copied) -> None:
    mine, theirs = two
    theirs.make(beams.add_beam(theirs.record, "Porch", "Porch", now))
    mine.make(beams.add_beam(mine.record, "Hall", "Hall", now))
    mine.make(ticks.tick(mine.record, Spot("3", "A"), "rip-side", now))
    mine.make(clock.start(mine.record, "rip", now, pieces=(Spot("3", "A"),)))
    mine.make(beams.change_beam(mine.record, "3", {"note": "long"}, now))
    _, both = bring(mine, theirs, copied)
    assert [(one.row, one.name, one.note) for one in both.beams[2:]] == [
        ("3", "Porch", ""),
        ("4", "Hall", "long"),
    ]
    assert "rip-side" in both.beam("4").piece("A").steps
    assert "rip-side" not in both.beam("3").piece("A").steps
    assert both.entries[0].pieces == (Spot("4", "A"),)


def test_two_beams_of_one_name(two, now, copied, refusing) -> None:
    mine, theirs = two
    for side in two:
        side.make(beams.add_beam(side.record, "Hall", "Hall", now))
    mine.make(beams.change_beam(mine.record, "3", {"note": "mine"}, now))
    _, both = bring(mine, theirs, copied)
    # Both added the same beam: once is enough, and the note goes to it.
    assert [beam.note for beam in both.beams[2:]] == ["mine"]
    mine.changes[:] = []
    mine.record = Record(copied(mine.base))
    mine.make(beams.add_beam(mine.record, "HALL", "hall", now, ends=("x", "y")))
    _, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    assert "two beams" in refusing(unsettled.put_in, both, one.row, now)
    both.make(beams.change_beam(both, "3", {"name": "Hall 1"}, now))
    both.make(unsettled.put_in(both, one.row, now))
    assert len({beam.label for beam in both.beams}) == 4


def test_one_clock(two, now, copied, refusing) -> None:
    mine, theirs = two
    mine.make(clock.start(mine.record, "rip", now))
    theirs.make(clock.start(theirs.record, "ease", now))
    _, both = bring(mine, theirs, copied)
    assert [entry.stage for entry in both.entries] == ["ease"]
    (one,) = unsettled.unsettled(both)
    assert "Two clocks" in refusing(unsettled.put_in, both, one.row, now)
    both.make(clock.stop(both, now + timedelta(hours=1)))
    both.make(unsettled.put_in(both, one.row, now))
    assert len(both.entries) == 2


def test_a_gate_holds_over_both_sides(two, now, copied, refusing) -> None:
    """Mine ticks what rests on a step that theirs takes back, and the other way round."""
    for side in two:
        side.record.make(ticks.tick(side.record, A, "rip-side", now))
        side.base = copied(side.record.tables)
    mine, theirs = two
    mine.make(ticks.tick(mine.record, A, "ease", now))
    theirs.make(ticks.clear(theirs.record, A, "rip-side", now))
    for ours, others in ((mine, theirs), (theirs, mine)):
        _, both = bring(ours, others, copied)
        (one,) = unsettled.unsettled(both)
        assert one.what == ours.changes[0].what
        assert "too early" in one.against
        assert both.broken_rules({("beams", "1")}) == {}
        assert "too early" in refusing(unsettled.put_in, both, one.row, now)
    # Once the step is ticked again, the later one can be put in.
    _, both = bring(mine, theirs, copied)
    both.make(ticks.tick(both, A, "rip-side", now))
    both.make(unsettled.put_in(both, "1", now))
    assert {*both.beam("1").piece("A").steps} == {"rip-side", "ease"}


def test_a_row_that_one_side_took_out(two, now, copied) -> None:
    mine, theirs = two
    mine.make(ticks.tick(mine.record, A, "rip-side", now))
    theirs.make(beams.remove_beam(theirs.record, "1", now))
    _, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    both.make(unsettled.put_in(both, one.row, now))
    assert "rip-side" in both.beam("1").piece("A").steps
    _, both = bring(theirs, mine, copied)
    (one,) = unsettled.unsettled(both)
    both.make(unsettled.put_in(both, one.row, now))
    assert [beam.row for beam in both.beams] == ["2"]


def test_later_changes_of_the_same_place_go_along(two, now, copied) -> None:
    mine, theirs = two
    theirs.make(beams.change_job(theirs.record, {"notes": "theirs"}, now))
    mine.make(beams.change_job(mine.record, {"notes": "one"}, now))
    mine.make(beams.change_job(mine.record, {"notes": "two", "site": "Lot 9"}, now))
    _, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    assert dict(one.places) == {("job", "1", "notes"): "two", ("job", "1", "site"): "Lot 9"}
    # Taken back again, there is nothing to choose.
    mine.make(mine.changes[1].taken_back(2, now))
    mine.make(mine.changes[0].taken_back(1, now))
    made, both = bring(mine, theirs, copied)
    assert made == []
    # And what both changed alike is no matter either.
    mine.make(beams.change_job(mine.record, {"notes": "theirs"}, now))
    assert bring(mine, theirs, copied)[0] == []


def test_undo_and_redo_find_their_changes_by_their_new_numbers(two, now, copied) -> None:
    mine, theirs = two
    theirs.make(ticks.tick(theirs.record, B, "rip-side", now))
    mine.make(beams.change_job(mine.record, {"site": "Lot 8"}, now))
    ticked = mine.make(ticks.tick(mine.record, A, "rip-side", now))
    mine.make(ticked.taken_back(2, now))
    mine.make(ticked.made_again(2, now))
    made, both = bring(mine, theirs, copied)
    assert [(one.undoes, one.redoes) for one in made] == [
        (None, None),
        (None, None),
        (3, None),
        (None, 3),
    ]
    undoing = fold(theirs.changes, made)
    assert (undoing.made, undoing.taken) == ([1, 2, 3], [])
    # Back to the start, over both.
    every = [*theirs.changes, *made]
    for number in reversed(undoing.made):
        both.make(every[number - 1].taken_back(number, now))
    assert both.tables == {**mine.base, **{t: {} for t in both.tables if t not in mine.base}}


def test_what_was_brought_in_before_is_left_out(two, now, copied) -> None:
    mine, theirs = two
    theirs.make(beams.add_beam(theirs.record, "Porch", "Porch", now))
    mine.make(beams.add_beam(mine.record, "Hall", "Hall", now))
    mine.changes[:] = [one._replace(of=("seal of mine",)) for one in mine.changes]
    made, both = bring(mine, theirs, copied)
    theirs.changes += made
    theirs.record = both
    mine.make(beams.change_beam(mine.record, "3", {"note": "later"}, now))
    again, both = bring(mine, theirs, copied)
    # Only the later change is new, and it finds the beam by the number that it got.
    assert [one.edits[0].at for one in again] == [("beams", "4", "note")]
    assert both.beam("4").name == "Hall"


def test_what_was_kept_apart_together_stays_where_a_part_of_it_came_in(two, now, copied) -> None:
    """Mine kept two changes apart in one row; theirs brought in the first of them alone."""
    mine, theirs = two
    kept = unsettled.Unsettled("1", "two changes", now, "", ((("job", "1", "notes"), "token"),))
    row = Edit(("unsettled", "1"), ABSENT, kept.to_doc())
    mine.make(Change("kept apart: two changes", (row,), now, of=("first", "second")))
    theirs.make(beams.change_job(theirs.record, {"site": "Lot 12"}, now)._replace(of=("first",)))
    made, both = bring(mine, theirs, copied)
    assert [one.of for one in made] == [("second",)]
    assert [one.places for one in unsettled.unsettled(both)] == [kept.places]
    # What came in with all of its names is left out.
    theirs.changes += made
    theirs.record = both
    assert bring(mine, theirs, copied)[0] == []


def test_what_came_in_by_half_is_kept_apart_not_made_twice(two, now, copied) -> None:
    """Mine took in a whole copy as one change; theirs has one of the two lines by itself."""
    mine, theirs = two
    theirs.make(typed_material(theirs.record, "screws", "1", "2", now)._replace(of=("first",)))
    both_lines = [typed_material(mine.record, text, "1", "2", now) for text in ("screws", "glue")]
    edits = [
        one._replace(at=("materials", str(row)))
        for row, change in enumerate(both_lines, 1)
        for one in change.edits
    ]
    mine.make(Change("took in a whole copy", tuple(edits), now, of=("first", "second")))
    made, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    assert "glue" in str(one.places)
    assert [line["text"] for line in both.tables["materials"].values()] == ["screws"]
    assert made[-1].of == ("second",)


def test_a_row_that_both_had_keeps_its_number_when_it_comes_back(two, now, copied) -> None:
    """Mine removes a beam that theirs went on with, and puts it back by undo."""
    mine, theirs = two
    theirs.make(ticks.tick(theirs.record, A, "rip-side", now))
    removed = mine.make(beams.remove_beam(mine.record, "1", now))
    mine.make(removed.taken_back(1, now))
    mine.make(beams.change_beam(mine.record, "1", {"note": "mine"}, now))
    _, both = bring(mine, theirs, copied)
    assert [beam.row for beam in both.beams] == ["1", "2"]
    (one,) = unsettled.unsettled(both)
    assert {place[:2] for place, _ in one.places} == {("beams", "1")}


def test_a_row_that_was_moved_comes_back_where_it_was_moved_to(two, now, copied) -> None:
    mine, theirs = two
    theirs.make(beams.add_beam(theirs.record, "Porch", "Porch", now))
    mine.make(beams.add_beam(mine.record, "Hall", "Hall", now))
    removed = mine.make(beams.remove_beam(mine.record, "3", now))
    mine.make(removed.taken_back(2, now))
    made, both = bring(mine, theirs, copied)
    assert [(beam.row, beam.name) for beam in both.beams[2:]] == [("3", "Porch"), ("4", "Hall")]
    assert made[-1].edits[0].at == ("beams", "4")


def test_a_row_that_is_kept_apart_keeps_its_number_to_itself(two, now, copied) -> None:
    mine, theirs = two
    theirs.make(beams.add_beam(theirs.record, "Hall", "Hall", now))
    mine.make(beams.add_beam(mine.record, "HALL", "hall", now, ends=("x", "y")))
    mine.make(beams.add_beam(mine.record, "Porch", "Porch", now))
    _, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    ((place, _),) = one.places
    assert [beam.name for beam in both.beams[2:]] == ["Hall", "Porch"]
    assert place[1] not in {beam.row for beam in both.beams}
    both.make(beams.change_beam(both, "3", {"name": "Hall 1"}, now))
    both.make(unsettled.put_in(both, one.row, now))
    assert {beam.name for beam in both.beams[2:]} == {"Hall 1", "Porch", "HALL"}


def test_a_row_that_is_added_while_another_is_kept_apart_is_not_written_over(
    two, now, copied
) -> None:
    mine, theirs = two
    theirs.make(beams.add_beam(theirs.record, "Hall", "Hall", now))
    mine.make(beams.add_beam(mine.record, "HALL", "hall", now, ends=("x", "y")))
    _, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    both.make(beams.add_beam(both, "Garage", "Garage", now))
    both.make(beams.change_beam(both, "3", {"name": "Hall 1"}, now))
    both.make(unsettled.put_in(both, one.row, now))
    assert {beam.name for beam in both.beams[2:]} == {"Hall 1", "HALL", "Garage"}


def test_a_later_change_goes_along_although_it_could_be_made_alone(two, now, copied) -> None:
    """Site and notes were changed together, so they are chosen together, however often."""
    mine, theirs = two
    theirs.make(beams.change_job(theirs.record, {"notes": "theirs"}, now))
    mine.make(beams.change_job(mine.record, {"notes": "mine", "site": "Lot 8"}, now))
    mine.make(beams.change_job(mine.record, {"site": "Lot 7"}, now))
    mine.make(beams.change_job(mine.record, {"site": "Lot 9"}, now))
    assert mine.base["job"]["1"]["site"] == "Lot 7"
    made, both = bring(mine, theirs, copied)
    (one,) = unsettled.unsettled(both)
    assert dict(one.places) == {("job", "1", "notes"): "mine", ("job", "1", "site"): "Lot 9"}
    assert (both.job.site, len(made)) == ("Lot 7", 1)


def test_an_undo_that_is_redone_takes_nothing_of_theirs_back(record, now, copied) -> None:
    """Mine undid a change of both and redid it; theirs took the same back by hand, for good."""
    ticked = ticks.tick(record, A, "rip-side", now)
    record.make(ticked)
    mine, theirs = Side(record, copied), Side(record, copied)
    theirs.make(ticks.clear(theirs.record, A, "rip-side", now))
    mine.make(ticked.taken_back(1, now))
    mine.make(ticked.made_again(1, now))
    assert mine.record.tables == mine.base
    made = merged(
        Record,
        mine.base,
        mine.changes,
        theirs.record.tables,
        theirs.changes,
        1,
        lambda: fold([ticked], theirs.changes),
    )
    assert made == []


@settings(
    deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_two_days_come_together(data, fresh_record, any_change, copied, now) -> None:
    start = fresh_record()
    start.make(ticks.tick(start, A, "rip-side", now))
    sides = mine, theirs = Side(start, copied), Side(start, copied)
    for side in sides:
        for minute in range(data.draw(st.integers(1, 6))):
            at = now + timedelta(minutes=minute)
            change = any_change(data.draw, side.record, at)
            if change is not None:
                side.make(change)
    made, both = bring(mine, theirs, copied)
    again, same = bring(mine, theirs, copied)
    assert (again, copied(same.tables)) == (made, copied(both.tables))
    # What held on each side holds on both, and the record makes sense.
    every = {(table, row) for table, rows in both.tables.items() for row in rows}
    known = {*mine.record.broken_rules(every), *theirs.record.broken_rules(every)}
    assert {key for key in both.broken_rules(every) if key[0] != "gate"} <= known
    both.check_all()
    # Each change of mine was made, kept apart, or was of no effect on top of theirs.
    words = " ".join(change.what for change in made)
    kept = unsettled.unsettled(both)
    plain = [one for one in made if not one.what.startswith("kept apart")]
    assert len(plain) <= len(mine.changes)
    if not kept:
        for change in mine.changes:
            alike = all(edit.after == edit.before for edit in change.edits)
            assert alike or change.what in words or len(plain) < len(mine.changes)
    # All the way back.
    then = copied(both.tables)
    for change in reversed([*theirs.changes, *made]):
        put(then, rows_after(then, change.taken_back(1, now)))
    assert copied(then) == copied(start.tables)
