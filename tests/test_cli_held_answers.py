"""What answers to changed cuts say where they can't be given, and undo beside a copy."""

import json
import shlex
import shutil
from datetime import timedelta
from fractions import Fraction

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.cuts.scribing import read_ceiling
from crewdesk.job.steps import ticks
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.ceiling import Station
from crewdesk.trade.cuts.section import Section

A, B = Spot("1", "A"), Spot("1", "B")


def read_twice(job, at, text="147 5/8") -> None:
    for minute in range(2):
        when = at + timedelta(minutes=minute)
        job.make(take.take(job.record, A, "run", take.typed_reading(job.record, "run", text, when)))


def test_a_cut_for_another_type_is_not_said_to_be_put_back(desk, told, door_clock) -> None:
    at = door_clock.at - timedelta(days=1)
    job = desk.open(desk.create(beams.new_job("Low house", Section(8, 10), at)))
    fields = {"form": "uneven", "height_b": "12"}
    job.make(beams.add_beam(job.record, "Ridge", "Great room", at, **fields))
    job.make(ticks.tick_all(job.record, [A, B], "rip-side", at))
    job.make(beams.change_beam(job.record, "1", {"form": "usual", "height_b": ""}, at))
    job.close(at)
    status, out = told("held", "low", "Ridge", "B", "--back")
    assert status == 2
    assert "was cut for another beam type: sides of two heights" in out
    assert "choose that type again" in out
    assert "Saved" not in out
    assert "is held" in told("held", "low")[1]


def test_what_can_be_put_back_is(desk, job, walk, told, door_clock) -> None:
    at = door_clock.at - timedelta(days=1)
    walk(job.record, job.make, "back-bevel", at)
    read_twice(job, at + timedelta(hours=1))
    job.close(at)
    assert told("held", "hill", "Ridge", "A", "--back")[0] == 0
    assert not open_cuts(desk.open(job.id, writing=False).record)


@pytest.mark.parametrize("later", [False, True])
def test_undo_takes_no_change_back_that_only_came_in_with_it(
    desk, job, walk, told, door_clock, tmp_path, later
) -> None:
    """Here a step is checked off; there the wall is read again, before that or after it."""
    at = door_clock.at - timedelta(days=1)
    walk(job.record, job.make, "back-bevel", at)
    job.close(at)
    other = Desk(shutil.copytree(desk.folder, tmp_path / "other"), "there")
    theirs = other.open("hill-house")
    when = at + timedelta(hours=3 if later else 1)
    typed = take.typed_reading(theirs.record, "run", "147 5/8", when)
    theirs.make(take.take(theirs.record, A, "run", typed))
    theirs.close(when)
    ours = desk.open("hill-house")
    ours.make(ticks.tick_all(ours.record, [A, B], "back-bevel", at + timedelta(hours=2)))
    ours.close(at + timedelta(hours=2))
    shutil.copy(other.path("hill-house").with_suffix(".history"), ours.path.parent)
    status, out = told("undo", "hill")
    record = desk.open("hill-house", writing=False).record
    assert len(record.beam("1").piece("A").readings["run"]) == 2
    if not later:
        assert "undone: checked off 'Back-bevel" in out
        return
    assert status == 2
    assert "was made on another computer and has just come in: measured wall" in out
    assert "back-bevel" in record.beam("1").piece("A").steps
    assert "undone: measured wall-to-wall length" in told("undo", "hill")[1]


def test_what_cannot_be_put_in_names_the_way_out(
    desk, job, walk, told, door_clock, tmp_path
) -> None:
    """Here the side is cut again; there it was kept as cut, and worked on."""
    at = door_clock.at - timedelta(days=1)
    walk(job.record, job.make, "back-bevel", at)
    read_twice(job, at + timedelta(hours=1))
    job.close(at + timedelta(hours=1))
    other = Desk(shutil.copytree(desk.folder, tmp_path / "other"), "there")
    when = at + timedelta(hours=2)
    theirs = other.open("hill-house")
    theirs.make(keep_cut(theirs.record, A, "cut-side", "packed out", when))
    theirs.make(ticks.tick_all(theirs.record, [A, B], "back-bevel", when))
    theirs.close(when)
    ours = desk.open("hill-house")
    when = at + timedelta(hours=3)
    ours.make(cut_again(ours.record, A, "cut-side", when, new_board=True))
    ours.close(when)
    shutil.copy(other.path("hill-house").with_suffix(".history"), ours.path.parent)
    desk.open("hill-house").close(when)
    every = json.loads(told("settle", "hill", "--json")[1])["unsettled"]
    refused = [
        out
        for one in every
        if (given := told("settle", "hill", str(one["number"]), "--keep", "other"))[0] == 2
        for out in (given[1],)
    ]
    assert refused
    assert all("To keep the current value" in one and "--keep standing" in one for one in refused)


def test_nothing_cut_is_not_said_to_be_as_ever(desk, told, door_clock) -> None:
    job = desk.open(desk.create(beams.new_job("Low house", Section(8, 10), door_clock.at)))
    job.close(door_clock.at)
    assert told("held", "low") == (0, "No cut has been checked off.\n")


def test_a_cut_that_can_not_be_kept_says_why_and_does_not_offer_it(desk, told, door_clock) -> None:
    """Sides of 9 in and 10 in carry no top that is flush with both (common practice, no source)."""
    at = door_clock.at - timedelta(days=1)
    job = desk.open(desk.create(beams.new_job("Low house", Section(8, 9), at)))
    job.make(beams.add_beam(job.record, "Ridge", "Great room", at, form="box"))
    job.make(ticks.tick_all(job.record, [A], "rip-side", at))
    job.make(beams.change_beam(job.record, "1", {"section": Section(8, 10)}, at))
    job.close(at)
    _, out = told("held", "low")
    assert "the top board goes flush with both" in out
    assert "A rip-side --again | --back" in out
    status, out = told("held", "low", "Ridge", "A", "--keep", "fine so")
    assert status == 2
    assert "It can't be kept: side B is 10 in wide" in out
    assert "Saved" not in out


FLAT = tuple(Station(Fraction(at), Fraction(height), Fraction(height)) for at, height in (
    (0, 100), (73, Fraction(401, 4)), (147, 100),
))  # fmt: skip


@pytest.fixture
def scribed(desk, walk, door_clock) -> str:
    """A job whose side A alone was scribed, yesterday, at the 3/8 in that its ceiling asks for."""
    at = door_clock.at - timedelta(days=1)
    job = desk.open(desk.create(beams.new_job("Low house", Section(8, 10), at)))
    job.make(beams.add_beam(job.record, "Ridge", "Great room", at))
    walk(job.record, job.make, "scribe", at)
    at += timedelta(hours=1)
    job.make(read_ceiling(job.record, "1", FLAT, at))
    job.make(ticks.tick(job.record, A, "scribe", at))
    job.close(at)
    return job.id


def test_a_change_of_the_tools_says_at_once_what_it_holds(desk, told, scribed) -> None:
    status, out = told("shop", "scribers=block = 1")
    assert status == 0
    assert "Low house: Great room Ridge side A was scribed at 3/8 in; its scribing tools" in out
    assert "scribing tools now make 1 in (5/8 in too small)." in out
    assert f"`crewdesk held {scribed}` lists the cuts to answer" in out
    status, out = told("shop", "hour=85")
    assert "side A" not in out


def test_what_can_not_be_taken_back_is_not_offered(desk, told, scribed) -> None:
    told("shop", "scribers=block = 1")
    _, out = told("held", scribed)
    assert "--keep REASON | --again\n" in out
    status, out = told("held", scribed, "Ridge", "A", "scribe", "--back")
    assert status == 2
    assert "set in Business settings" in out


def test_a_command_that_is_shown_can_be_pasted(desk, told, scribed) -> None:
    told("shop", "scribers=block = 1")
    job = desk.open(scribed)
    at = job.record.beam("1").piece("A").steps["scribe"].when
    job.make(beams.change_beam(job.record, "1", {"room": "Bob's room"}, at + timedelta(hours=1)))
    job.close(at + timedelta(hours=1))
    _, out = told("held", scribed)
    (line,) = [one for one in out.splitlines() if one.startswith("  crewdesk held")]
    words = shlex.split(line.partition(" --keep")[0])
    assert words == ["crewdesk", "held", scribed, "Bob's room Ridge", "A", "scribe"]
    status, out = told(*words[1:], "--keep", "fits")
    assert status == 0, out


def test_one_answer_is_given_for_both_sides_of_a_pair(desk, told, scribed, door_clock) -> None:
    """The second side took the setting of the first, so the first alone is asked about."""
    job = desk.open(scribed)
    at = door_clock.at - timedelta(hours=2)
    job.make(ticks.tick(job.record, B, "scribe", at))
    higher = (FLAT[0], FLAT[1]._replace(height_a=Fraction(403, 4)), FLAT[2])
    job.make(read_ceiling(job.record, "1", higher, at + timedelta(minutes=1)))
    job.close(at + timedelta(minutes=1))
    (one,) = open_cuts(desk.open(scribed, writing=False).record)
    assert one.spot == A
    _, out = told("held", scribed, "Ridge", "A", "scribe", "--keep", "fits")
    assert "kept 'Scribe, one setting for the beam' on Great room Ridge side A as cut." in out
    assert not open_cuts(desk.open(scribed, writing=False).record)
