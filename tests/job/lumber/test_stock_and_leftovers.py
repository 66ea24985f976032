"""The stock list as typed, and leftovers that the next job's plan uses."""

from decimal import Decimal
from fractions import Fraction as Fr

import pytest

from crewdesk.job.lumber.boards import spoil, tick_bought, tick_cut
from crewdesk.job.lumber.kept import claim, close_plan, keep, left_over, put_in_stock
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.stock import board_feet_of
from crewdesk.job.lumber.stock_list import (
    remove_from,
    shown_stock,
    take_stock_in,
    true_size,
    typed_stock,
)
from crewdesk.job.lumber.takeoff import Board, CutFrom
from crewdesk.job.lumber.task import task_of
from crewdesk.length import STEPS
from crewdesk.paper.text.plan_summary import first_cut_text, ripped_again
from crewdesk.trade.boards.stock import Placed, Saws, Stretch, leftovers


@pytest.mark.parametrize(
    ("size", "true", "measures"),
    [
        # Dressed sizes of PS 20, as its tables print them; hardwood surfaced two sides.
        ("1x12", "", (Fr(3, 4), Fr(45, 4))),
        ("2 x 6", "", (Fr(3, 2), Fr(11, 2))),
        ("4/4 x 9-1/2", "", (Fr(13, 16), Fr(19, 2))),
        ("4/4 x 9-1/2", "3/4 x 9-1/4", (Fr(3, 4), Fr(37, 4))),
    ],
)
def test_sizes(size: str, true: str, measures: tuple[Fr, Fr]) -> None:
    assert true_size(size, true) == measures


def test_prices_per_piece_foot_and_board_foot(shop_of, now) -> None:
    books = shop_of((("1x12", "8', 10' x 4", "6.60"),))
    (line,) = books.stock
    # 8 ft at 6.60; 1 x 12 x 10 ft / 12 are 10 board feet.
    assert line.price_of(Fr(96)) == Decimal("52.80")
    assert line.board_feet(Fr(120)) == 10
    typed = shown_stock(line)
    assert typed["lengths"] == "8', 10' x 4"
    for per, price in (("piece", Decimal("6.60")), ("board foot", Decimal("66.00"))):
        books.make(typed_stock(books, {**typed, "per": per}, now, row="1"))
        assert books.stock[0].price_of(Fr(120)) == price
        assert shown_stock(books.stock[0]) == {**typed, "per": per}


def test_what_will_not_do_is_said(shop_of, refusing, now) -> None:
    books = shop_of()
    good = shown_stock(books.stock[0])
    assert "piece, foot or board foot" in refusing(typed_stock, books, {**good, "per": "lb"}, now)
    assert "at least one length" in refusing(typed_stock, books, {**good, "lengths": ""}, now)
    assert "needs a name" in refusing(typed_stock, books, {**good, "species": " "}, now)
    assert "a stock list" in refusing(take_stock_in, books, {"crewdesk": "job"}, now)
    lacking = {"crewdesk": "stock", "stock": [{"species": "Oak"}]}
    assert "has no size" in refusing(take_stock_in, books, lacking, now)
    assert "There is no row 9" in refusing(remove_from, books, "stock", "9", now)


def test_what_a_ripped_and_a_crosscut_board_leave() -> None:
    saws = Saws(Fr(1, 8), rip_kerf=Fr(1, 8))
    piece = Placed("p", Fr(0), Fr(60), Fr(0), Fr(5))
    ripped = (Stretch(Fr(0), Fr(100)), Fr(9), "rip", (piece,), saws)
    # Behind the piece 100 - 60 - 1/8 of its strip; beside it 9 - 5 - 1/8, full length.
    assert [(x.start, x.end, x.near, x.far) for x in leftovers(*ripped, Fr(24), Fr(1))] == [
        (Fr(481, 8), 100, 0, 5),
        (0, 100, Fr(41, 8), 9),
    ]
    crosscut = (Stretch(Fr(0), Fr(100)), Fr(9), "crosscut", (piece,), saws)
    assert [(x.start, x.end, x.near, x.far) for x in leftovers(*crosscut, Fr(24), Fr(1))] == [
        (0, 60, Fr(41, 8), 9),
        (Fr(481, 8), 100, 0, 9),
    ]
    assert leftovers(*crosscut, Fr(61), Fr(1)) == ()


def test_a_board_that_is_ripped_again_leaves_what_is_beside_and_behind() -> None:
    saws = Saws(Fr(1, 8), rip_kerf=Fr(1, 8))
    # A strip of 7: 50 of its whole width, then 45, of which 4 become a piece of 40.
    wide = Placed("wide", Fr(0), Fr(50), Fr(0), Fr(7))
    narrow = Placed("narrow", Fr(401, 8), Fr(721, 8), Fr(0), Fr(4))
    beside = Placed("beside", Fr(401, 8), Fr(761, 8), Fr(33, 8), Fr(41, 8))
    pieces = (wide, narrow, beside)
    left = leftovers(Stretch(Fr(0), Fr(140)), Fr(9), "rip", pieces, saws, Fr(4), Fr(1))
    found = [(x.start, x.end, x.near, x.far) for x in left]
    assert found == [
        (Fr(361, 4), Fr(761, 8), 0, 4),  # trimmed off the narrow piece
        (Fr(401, 8), Fr(761, 8), Fr(21, 4), 7),  # beside both, 45 long
        (Fr(381, 4), 140, 0, 7),  # the strip's end
        (0, 140, Fr(57, 8), 9),  # beside the strip
    ]
    # No two of them, and no piece, share any wood.
    every = [*found, *((p.start, p.end, p.near, p.far) for p in pieces)]
    for n, one in enumerate(every):
        for other in every[n + 1 :]:
            assert (
                one[1] <= other[0]
                or other[1] <= one[0]
                or one[3] <= other[2]
                or (other[3] <= one[2])
            )


def test_what_a_board_is_ripped_to_is_told_strip_by_strip() -> None:
    def piece(key, start, end, near, far):
        return CutFrom("1", key, 1, 1, Fr(start), Fr(end), Fr(near), Fr(far))

    def board(first, *pieces, bad=()):
        return Board(
            "1", "Oak", "", "1x10", Fr(3, 4), Fr(37, 4), Fr(120), Decimal(0), "to buy", first,
            pieces, (), tuple(Stretch(Fr(a), Fr(b)) for a, b in bad),
        )  # fmt: skip

    wide, narrow = piece("A", 0, 50, 0, 7), piece("bottom", 51, 96, 0, 4)
    again = board("rip", wide, narrow)
    step = STEPS["1/32"]
    assert first_cut_text(again, step) == "rip 7 in"
    assert ripped_again(again) == {narrow}
    across = board("crosscut", piece("A", 0, 50, 0, 7), piece("bottom", 51, 96, 0, 4))
    assert first_cut_text(across, step) == "crosscut first"
    parted = board("rip", wide, piece("B", 60, 110, 0, 6), bad=((52, 58),))
    assert first_cut_text(parted, step) == "crosscut at the defect, then rip each part as drawn"


def test_leftovers_go_round(job_of, shop_of, judge, now, refusing) -> None:
    sizes = (("1x12", "14'", "6"), ("1x8", "4'", "5"))
    books = shop_of(sizes, [{"size": "1x12", "length": "100", "bad": "0..5"}])
    first = job_of([(64, 8, 10)])
    takeoff = solve(task_of(first, books, "first"))
    judge(takeoff, first, books)
    first.make(keep(first, takeoff, now))
    assert [b.hand for b in first.boards if b.hand] == ["1"]
    change = claim(books, first, "first", now)
    assert change is not None
    books.make(change)
    assert claim(books, first, "first", now) is None
    other = shop_of(sizes, [{"size": "1x12", "length": "90", "bad": ""}])
    assert claim(other, first, "first", now) is None, "in another shop that row is another board"
    second = job_of([(30, 6, 7)])
    assert not any(s.hand for s in task_of(second, books, "second").sources), "it is spoken for"

    bought = [b.row for b in first.boards if not b.hand]
    first.make(tick_bought(first, bought, now))
    for board in first.boards:
        if board.pieces:
            first.make(tick_cut(first, (board.row,), now))
    books.make(put_in_stock(books, first, "first", now))
    first.make(close_plan(first, now.date(), now))
    assert "went into stock" in refusing(put_in_stock, books, first, "first", now)
    assert books.on_hand
    assert all(one.of == "Hill house" and not one.job for one in books.on_hand)
    assert "1" not in {one.row for one in books.on_hand}, "what was used up is struck off"
    area = sum(b.length * b.width for b in first.boards)
    cut = sum(p.length * p.width for b in first.boards for p in b.pieces)
    assert sum(b.length * b.width for b in books.on_hand) < area - cut

    again = solve(task_of(second, books, "second"))
    judge(again, second, books)
    assert any(b.hand for b in again.boards), "the next job uses them"
    assert again.cost < solve(task_of(second, shop_of(sizes), "x")).cost


def test_only_boards_that_are_there_and_sound_go_into_the_stock(job_of, shop_of, now) -> None:
    books = shop_of((("1x12", "14'", "6"),))
    job = job_of([(64, 8, 10)] * 3)
    job.make(keep(job, solve(task_of(job, books, "job")), now))
    _to_buy, bought, cut, spoiled = (board.row for board in job.boards[:4])
    assert left_over(job) == ()
    job.make(tick_bought(job, (bought, cut, spoiled), now))
    job.make(tick_cut(job, (cut,), now))
    assert {one.board.row for one in left_over(job)} == {bought, cut, spoiled}
    job.make(spoil(job, spoiled, "", now))
    assert {one.board.row for one in left_over(job)} == {bought, cut}
    before = len(books.on_hand)
    books.make(put_in_stock(books, job, "job", now))
    kept = sum(one.length * one.width for one in books.on_hand[before:])
    wood = {board.row: board.length * board.width for board in job.boards}
    assert 0 < kept < wood[bought] + wood[cut]


def test_a_pile_of_hardwood_is_counted_with_halves_up_and_down_in_turn() -> None:
    # National Hardwood Lumber Association: 9 in x 6 ft is 4-1/2 square feet of surface,
    # which counts as 5, then 4, then 5; 5/4 stock by a quarter more.
    boards = [Fr(72)] * 3
    assert board_feet_of("4/4 x 9", Fr(13, 16), Fr(9), boards) == 14
    assert board_feet_of("5/4 x 9", Fr(17, 16), Fr(9), boards) == Fr(35, 2)
    # Softwood by its nominal size, unrounded: 1x12 of 8 ft is 8.
    assert board_feet_of("1x12", Fr(3, 4), Fr(45, 4), [Fr(96)] * 2) == 16
