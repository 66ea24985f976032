"""Walls out of square on slopes and along ridges: the squares against the sides' runs.

The rooms are planes, drawn and measured apart from crewdesk (`tests.dry_fit.room`).
"""

import json
from fractions import Fraction as Fr

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from crewdesk.job.beams.in_plan import bottom_edges, ends_in_plan
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.record import Record
from crewdesk.job.sync.exchange import from_document
from crewdesk.screens.piece.walls import how_to_hold
from tests.dry_fit.job_file import job_file
from tests.dry_fit.readings import EXACT, USUAL, Instruments, read
from tests.dry_fit.room import Ridge, Room, Section, Wall

SECTION = Section(Fr(8), Fr(10))


def beam_in(room: Room, instruments: Instruments = EXACT, longer_b: Fr = Fr(0), seed: int = 0):
    """The room's beam with what is read there, side B's run read `longer_b` too long."""
    readings = read(room, instruments, seed)
    if longer_b:
        runs = {**readings.runs, "B": readings.runs["B"] + longer_b}
        readings = readings._replace(runs=runs)
    document = json.loads(job_file("Rooms", "1/32", [(room, readings)]))
    return Record(from_document(document)[0]).beam("1")


def doubted(beam) -> bool:
    """Whether the runs are held against the squares and found to contradict them."""
    edges = bottom_edges(beam)
    assert edges is not None
    assert edges.off is not None
    said = {doubt(beam, beam.piece(key), "run") for key in ("A", "B")}
    assert len(said) == 1
    return any(one is not None and "by the squares at both walls" in one for one in said)


tangents = st.integers(-60, 60).map(lambda one: Fr(one, 1000))
leaning = st.integers(-40, 40).map(lambda one: Fr(one, 1000))
pitches = st.integers(1, 12).map(lambda one: Fr(one, 12))


@st.composite
def sloped(draw) -> Room:
    walls = tuple(Wall(draw(leaning), draw(tangents)) for _ in "12")
    return Room(
        1, "sloped", SECTION, Fr(120), walls, draw(pitches), draw(st.sampled_from((1, 2))),
        legs=(Fr(draw(st.sampled_from((16, 24)))),) * 2,
    )  # fmt: skip


@st.composite
def along_a_ridge(draw) -> Room:
    walls = tuple(Wall(draw(leaning), draw(tangents)) for _ in "12")
    ridge = Ridge(Fr(1, 2), Fr(1, 2), Fr(10), Fr(draw(st.integers(16, 26)), 2))
    section = SECTION._replace(height=ridge.drop_a)
    return Room(
        1, "ridge", section, Fr(120), walls, ridge=ridge,
        legs=(Fr(draw(st.sampled_from((16, 24)))),) * 2,
    )  # fmt: skip


@given(st.one_of(sloped(), along_a_ridge()), st.integers(0, 99))
def test_true_readings_are_never_doubted(room: Room, seed: int) -> None:
    assert not doubted(beam_in(room))
    assert not doubted(beam_in(room, USUAL, seed=seed))


@given(st.one_of(sloped(), along_a_ridge()), st.sampled_from((-1, 1)))
def test_a_run_a_quarter_inch_off_is_doubted(room: Room, way: int) -> None:
    assert doubted(beam_in(room, longer_b=way * Fr(1, 4)))


@given(sloped())
def test_what_a_side_loses_is_measured_along_the_slope(room: Room) -> None:
    """Over its thickness t a side meets the wall's plane t x turn apart."""
    beam = beam_in(room)
    for one in ends_in_plan(beam, beam.piece("A")):
        turn = room.turn(one.end)
        assume(turn)
        assert float(one.by) == pytest.approx(0.75 * abs(turn), abs=2e-4)


def test_the_page_says_how_the_square_is_held_on_a_slope() -> None:
    level = Room(1, "usual", SECTION, Fr(120), (Wall(), Wall()))
    assert "level" not in how_to_hold(beam_in(level))
    told = how_to_hold(beam_in(level._replace(kind="sloped", pitch=Fr(1))))
    assert "Hold the square level" in told
    assert "not along the slope" in told
