from collections import Counter
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.boards.one_board import one_board_plan, shortest_block
from crewdesk.trade.boards.problem import TimeLimit
from crewdesk.trade.boards.stock import Need, Saws, Stock

F, D = Fraction, Decimal
KERF = F(1, 8)
SAWS = Saws(KERF, rip_kerf=KERF)


def beam(name, *sizes):
    return tuple(Need(f"{name}{n}", F(w), F(long)) for n, (w, long) in enumerate(sizes))


def sound(stocks, beams, plan):
    """Every piece once on one board with its beam's others, kerfs kept, prices right."""
    sold = {one.name: one for one in stocks}
    home = {}
    for number, board in enumerate(plan.boards):
        assert board.stock == sold[board.stock.name]
        sections = {}
        for one in board.pieces:
            assert one.name not in home
            home[one.name] = (number, one)
            assert 0 <= one.start < one.end <= board.stock.length
            assert 0 <= one.near < one.far <= board.stock.width
            sections.setdefault(one.start, []).append(one)
        for (_, these), (start, _) in pairwise(sorted(sections.items())):
            assert max(p.end for p in these) + KERF <= start
        for these in sections.values():
            for a, b in pairwise(sorted(these, key=lambda p: p.near)):
                assert a.far + KERF <= b.near
    for pieces in beams:
        assert len({home[one.name][0] for one in pieces}) == 1
        for one in pieces:
            lies = home[one.name][1]
            assert (lies.end - lies.start, lies.far - lies.near) == (one.length, one.width)
    used = Counter(board.stock.name for board in plan.boards)
    assert all(s.count is None or used[s.name] <= s.count for s in stocks)
    assert plan.bound <= plan.cost == sum(board.stock.price for board in plan.boards)


def test_sides_and_bottom_lie_side_by_side_in_a_wide_board():
    # 5 + 5 and a kerf are 10-1/8 of 11-1/4: both sides in one section of 96; the bottom of
    # 4 behind them takes 95 and a kerf, in all 191-1/8. One behind the other: 287-1/4.
    pieces = beam("x", (5, 96), (5, 96), (4, 95))
    stocks = (Stock("1x12", F(45, 4), F(192), D(50)), Stock("1x6", F(11, 2), F(288), D(60)))
    plan = one_board_plan(stocks, (pieces,), SAWS)
    sound(stocks, (pieces,), plan)
    assert (plan.cost, plan.bound, plan.boards[0].stock.name) == (50, 50, "1x12")
    block = shortest_block(pieces, F(45, 4), KERF, KERF)
    assert [len(section) for section in block] == [2, 1]
    # Three abreast need 14 and two kerfs; just as wide, one section is enough.
    assert len(shortest_block(pieces, F(57, 4), KERF, KERF)) == 1
    assert shortest_block(pieces, F(9, 2), KERF, KERF) is None


def test_two_beams_share_a_board_where_that_is_cheaper():
    beams = (beam("x", (5, 60), (5, 60)), beam("y", (5, 83), (5, 83)))
    stocks = (Stock("1x6", F(11, 2), F(144), D(20)), Stock("1x12", F(45, 4), F(144), D(35)))
    plan = one_board_plan(stocks, beams, SAWS)
    sound(stocks, beams, plan)
    # Side by side 60 + 83 and a kerf are 143-1/8 of one 1x12.
    assert plan.cost == plan.bound == 35


def by_trying(pieces, across):
    """The least length of a block, over all ways to share the pieces among sections."""

    def ways(rest):
        if not rest:
            yield []
            return
        first, *others = rest
        for mask in range(1 << len(others)):
            with_it = [first, *(o for n, o in enumerate(others) if mask >> n & 1)]
            if sum(p.width for p in with_it) + KERF * (len(with_it) - 1) <= across:
                for way in ways([o for n, o in enumerate(others) if not mask >> n & 1]):
                    yield [max(p.length for p in with_it), *way]

    return min((sum(way) + KERF * (len(way) - 1) for way in ways(list(pieces))), default=None)


@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(10, 60)), min_size=1, max_size=5),
    st.integers(4, 20),
)
def test_no_block_is_shorter(sizes, across):
    pieces = beam("x", *sizes)
    block = shortest_block(pieces, F(across), KERF, KERF)
    least = by_trying(pieces, F(across))
    if block is None:
        assert least is None
        return
    assert sorted(one.name for section in block for one in section) == [p.name for p in pieces]
    long = sum(max(p.length for p in section) for section in block) + KERF * (len(block) - 1)
    assert long == least


def test_what_no_board_holds_is_named(refused):
    stocks = (Stock("1x6", F(11, 2), F(144), D(20), 1),)
    told = refused(
        "together. Use a larger board, or don't ask for",
        one_board_plan,
        stocks,
        (beam("x", (5, 80), (5, 80)),),
        SAWS,
    )
    assert told["piece"] == "x0, x1"
    beams = (beam("x", (5, 80)), beam("y", (5, 80)))
    assert (
        refused("There are too few boards for the piece", one_board_plan, stocks, beams, SAWS)[
            "more"
        ]
        == 1
    )


@pytest.mark.parametrize("stop", [True, False])
def test_stopped_it_is_still_sound(stop):
    beams = tuple(beam(str(n), (4, 50 + 3 * n), (4, 50 + 3 * n), (3, 49 + 3 * n)) for n in range(9))
    stocks = (Stock("1x10", F(37, 4), F(192), D(40)), Stock("1x8", F(29, 4), F(216), D(36)))
    plan = one_board_plan(stocks, beams, SAWS, limit=TimeLimit(stop=lambda: stop))
    sound(stocks, beams, plan)
    assert stop or plan.bound == plan.cost
