"""Lengths that a tangent makes are planned on a grid, and a solver that fails says so."""

from decimal import Decimal
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams, in_plan
from crewdesk.job.lumber import plan_boards
from crewdesk.job.lumber.blanks import Wanted
from crewdesk.job.lumber.kept import keep, without_board
from crewdesk.job.lumber.plan_boards import solve, to_plan
from crewdesk.job.lumber.task import task_of
from crewdesk.job.record import Record
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.trade.boards.stock import Saws, Stock

SAWS = Saws(Fr(1, 8), Fr(1), Fr(1, 8), Fr(1, 8), ("rip",))
BOARDS = (Stock("one", Fr(11), Fr(98), Decimal(9), None),)


def planned(length: Fr, width: Fr = Fr(8)) -> tuple[Fr, Fr]:
    one = Wanted("1", "A", 1, 1, "A1 side A", width, length, Fr(3, 4), True)
    made = to_plan(one, BOARDS, SAWS)
    return made.width, made.length


def test_a_length_on_the_grid_stays_and_another_is_rounded_up() -> None:
    for length in (Fr(90), Fr(90) + Fr(1, 64), Fr("90.37"), Fr(2286) / Fr("25.4"),
                   Fr("2286.1") / Fr("25.4")):  # fmt: skip
        assert planned(length) == (8, length)
    third = Fr(90) + Fr(1, 3)  # 21.33 sixty-fourths
    assert planned(third) == (8, Fr(90) + Fr(22, 64))
    assert planned(Fr(90), Fr(8) + Fr(1, 10**20)) == (Fr(8) + Fr(1, 64), 90)


def test_a_piece_that_a_board_just_holds_is_not_rounded_out_of_it() -> None:
    # 98 in less 1 in off each end; 11 in less 1/8 in off each edge.
    tight = Fr(96) - Fr(1, 10**12), Fr(43, 4) - Fr(1, 10**12)
    assert planned(*tight) == (Fr(43, 4), 96)
    # Too long is too long.
    assert planned(Fr(96) + Fr(1, 10**12)) == (8, Fr(96) + Fr(1, 64))


@pytest.mark.parametrize("splices", ["butt", "scarf"])
def test_a_sloped_beam_at_a_wall_out_of_square_is_planned(job_of, shop_of, now, splices) -> None:
    record = job_of([(260, 8, 10)], splices=splices)
    slope = {"ceiling": "sloped", "pitch": "4/12", "low": 2}
    record.make(beams.change_beam(record, "1", slope, now))
    square = in_plan.TypedSquare(1, "5/16", "24", "A")
    record.make(in_plan.read_squares(record, "1", (square,), now))
    task = task_of(record, shop_of(), "hill")
    # The case: a splice's place has a tangent in it.
    assert any(one.length.denominator > 10**9 for one in task.open)
    takeoff = solve(task, seconds=3)
    wanted = {one.key: one for one in task.open}
    cut = {one.key: one for board in takeoff.boards for one in board.pieces}
    assert set(cut) == set(wanted)
    for key, one in cut.items():
        assert (one.length, one.width) == (wanted[key].length, wanted[key].width)
    record.make(keep(record, takeoff, now))
    again, _ = from_document(to_document(record.tables, []))
    assert without_board(Record(again)) == ()


def test_a_solver_that_fails_says_so_in_a_sentence(job_of, shop_of, refusing, monkeypatch) -> None:
    def fails(*_args: object, **_more: object) -> None:
        raise OverflowError("int too large to convert to C long")

    monkeypatch.setattr(plan_boards, "cutting_plan", fails)
    task = task_of(job_of([(100, 8, 10)]), shop_of(), "hill")
    said = refusing(solve, task)
    assert said.startswith("These boards can't be planned. Check ")
