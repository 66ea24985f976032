"""What a top board's page says of it, which is cut by the sides' readings alone."""

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.screens.piece.cut_told import piece_cut
from crewdesk.screens.piece.readings import hint_of


@pytest.fixture
def read_box(record, now):
    """Builds a box beam, its sides read as long as told; gives what its top's page says."""

    def build(*runs: str, square: str = "") -> str:
        record.make(beams.add_beam(record, "box", "Hall", now, form="box"))
        row = record.beams[-1].row
        for key, run in zip("AB", runs, strict=False):
            for what, text in (("run", run), ("end1", "1/8"), ("end2", "0")):
                one = take.typed_reading(record, what, text, now, lean="in", level="24")
                record.make(take.take(record, Spot(row, key), what, one))
        if square:
            squares = [TypedSquare(1, square, "24", "A"), TypedSquare(2, "0", "24", "A")]
            record.make(read_squares(record, row, squares, now))
        beam, step = record.beam(row), record.job.step
        top = beam.pieces["top"]
        cut = piece_cut(record.stages, beam, top, {}, "", step, "", beam.habits.cleat)
        assert hint_of(beam, top, None, {}, step).startswith("The top board follows the sides")
        return cut.details().plain

    return build


def test_it_says_whether_it_goes_in_or_why_that_is_not_known(read_box) -> None:
    assert "dry fit  goes in straight up" in read_box("147", "147")


def test_it_says_what_its_dry_fit_waits_for(read_box) -> None:
    assert "dry fit  not measured yet" in read_box("147")


def test_a_slant_that_is_not_known_is_said(read_box) -> None:
    slant = "dry fit  slant not known, measure the walls with the square"
    assert slant in read_box("147", "147 1/2")


def test_an_end_without_a_figure_has_what_it_is_within_last(read_box) -> None:
    # 3/8 in at a leg of 24 is 1/8 in over a beam 8 in wide: all of it is at end 1.
    told = read_box("147 1/8", "147", square="3/8")
    assert "end 2: square across, blade square, within" in told
