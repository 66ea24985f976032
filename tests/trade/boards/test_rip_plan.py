from collections import Counter
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.boards.cutting_plan import cutting_plan
from crewdesk.trade.boards.rip_model import ways_to_rip
from crewdesk.trade.boards.stock import Cleats, Need, Saws, Stock

F, D = Fraction, Decimal
KERF = F(1, 8)
THREE_QUARTERS = F(3, 4)


def saws(*first, trim=0, edge=0):
    return Saws(KERF, F(trim), KERF, F(edge), first)


def test_cleats_beside_a_side_by_hand():
    def beside(board, side, edge=0):
        """How many cleats fit beside one side."""
        clear = saws("rip", edge=edge).clear_width(board)
        ways = ways_to_rip(clear, {side: 1, THREE_QUARTERS: 9}, KERF)
        return max(way.count(THREE_QUARTERS) for way in ways if side in way)

    # 1x8 is 7-1/4 wide; a side of 5-1/4 and a kerf leave 1-7/8: two cleats of 3/4 and the
    # kerf between them are 1-5/8
    assert beside(F(29, 4), F(21, 4)) == 2
    # 1/8 off each edge leaves 1-5/8: the two cleats use it up and no last cut is needed
    assert beside(F(29, 4), F(21, 4), F(1, 8)) == 2
    assert beside(F(29, 4), F(21, 4), F(3, 16)) == 1
    # 1x6 is 5-1/2 wide: 1/8 remains and no cleat
    assert beside(F(11, 2), F(21, 4)) == 0


@given(
    st.integers(20, 90).map(lambda n: F(n, 8)),
    st.dictionaries(st.integers(6, 50).map(lambda n: F(n, 8)), st.integers(1, 3), max_size=3),
)
def test_ways_to_rip_are_all_the_fullest(clear, most):
    def fits(way):
        return sum(way) + KERF * (len(way) - 1) <= clear

    every = {()}
    for width, number in sorted(most.items(), reverse=True):
        every = {way + (width,) * n for way in every for n in range(number + 1)}
    good = {way for way in every if way and fits(way)}
    fullest = {
        way
        for way in good
        if not any(way != other and not Counter(way) - Counter(other) for other in good)
    }
    assert set(ways_to_rip(clear, most, KERF)) == fullest


def bands(places, low, high, kerf, *, apart=False):
    """Parts of a board that straight cuts part, a kerf between them; with `apart` each holds
    one piece alone."""
    found, reach = [], None
    for one in sorted(places, key=lambda p: (getattr(p, low), getattr(p, high))):
        start, end = getattr(one, low), getattr(one, high)
        if reach is None or start >= reach + kerf:
            found.append([one])
        else:
            assert start < reach, "a kerf is missing"
            found[-1].append(one)
        reach = end if reach is None else max(reach, end)
    assert not apart or all(len(band) == 1 for band in found), "wood is cut twice"
    return found


def check(stocks, needs, saws, cleats, plan):
    """Sees only the input and the places; reckons kerfs, stages, counts and money anew."""
    by_name = {s.name: s for s in stocks}
    sizes = {n.name: (n.length, n.width) for n in needs}
    used, made, covered = Counter(), Counter(), Fraction(0)
    for board in plan.boards:
        stock = board.stock
        assert stock == by_name[stock.name]
        used[stock.name] += 1
        everything = [*board.pieces, *board.cleats]
        assert everything
        for one in everything:
            assert saws.end_trim <= one.start < one.end
            assert one.end <= stock.length - saws.end_trim
            assert saws.edge_trim <= one.near < one.far <= stock.width - saws.edge_trim
        for piece in board.pieces:
            assert (piece.end - piece.start, piece.far - piece.near) == sizes[piece.name]
            made[piece.name] += 1
        for cleat in board.cleats:
            assert cleat.far - cleat.near == cleats.width
            assert cleat.end - cleat.start >= cleats.shortest
            covered += cleat.end - cleat.start
        for strip in (
            bands(everything, "near", "far", KERF) if board.first == "rip" else [everything]
        ):
            # each strip is crosscut, and each section ripped again
            for section in bands(strip, "start", "end", KERF):
                bands(section, "near", "far", KERF, apart=True)
    assert made == Counter({n.name: n.count for n in needs})
    for stock in stocks:
        assert stock.count is None or used[stock.name] <= stock.count
    assert plan.cost == sum((b.stock.price for b in plan.boards), D(0))
    assert covered >= (cleats.length if cleats else 0)


def cleats_of(plan):
    """Inches of cleats beside pieces, and out of boards of their own."""
    beside, alone = (
        sum(c.end - c.start for b in plan.boards for c in b.cleats if bool(b.pieces) is with_pieces)
        for with_pieces in (True, False)
    )
    return beside, alone


def parts(items):
    """All ways to part a list into blocks."""
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for found in parts(rest):
        yield [[first], *found]
        for n in range(len(found)):
            yield [*found[:n], [first, *found[n]], *found[n + 1 :]]


def most_cleats(block, stock, needs, cleats, first, stocks):
    """Most inches of cleats on one board that carries these pieces, or None where it can't:
    tries every way to share its strips and sections. Boards have no trim here."""
    lengths = {n.length for n in needs} | ({s.length for s in stocks} if cleats else set())

    @cache
    def strip(block, width, room):
        """Most cleats from a strip with `room` left along it, sections cut one by one."""
        best = None if block else F(0)
        for length in lengths:
            if length > room:
                continue
            short = [n for n in block if n.length <= length]
            for size in range(len(short) + 1):
                for chosen in combinations(short, size):
                    left = width - sum(n.width + KERF for n in chosen)
                    if left < -KERF:
                        continue
                    here = 0
                    if cleats and length >= cleats.shortest:
                        here = max(0, (left + KERF) // (cleats.width + KERF)) * length
                    # A section is as long as one of the job's pieces; one that holds nothing
                    # as long could be shorter.
                    if not here and all(n.length < length for n in chosen):
                        continue
                    rest = list(block)
                    for one in chosen:
                        rest.remove(one)
                    after = strip(tuple(rest), width, room - length - KERF)
                    if after is not None:
                        best = max(best or 0, here + after)
        return best

    @cache
    def ripped(block, room):
        """Most cleats from what is left of a board's width, strips ripped one by one."""
        best = None if block else F(0)
        if cleats and stock.length >= cleats.shortest and cleats.width <= room:
            after = ripped(block, room - cleats.width - KERF)
            best = None if after is None else after + stock.length
        for width in {n.width for n in needs if n.width <= room}:
            for size in range(1, len(block) + 1):
                for chosen in combinations(block, size):
                    here = strip(chosen, width, stock.length)
                    if here is None:
                        continue
                    rest = list(block)
                    for one in chosen:
                        rest.remove(one)
                    after = ripped(tuple(rest), room - width - KERF)
                    if after is not None:
                        best = max(best or 0, here + after)
        return best

    found = []
    if "rip" in first:
        found.append(ripped(tuple(block), stock.width))
    if "crosscut" in first:
        found.append(strip(tuple(block), stock.width, stock.length))
    return max((one for one in found if one is not None), default=None)


def least(stocks, needs, cleats, first):
    """Least cost by trying every way to share the pieces among boards, and cleat boards;
    each board is cut first as `first` allows."""
    items = [Need(str(n), n.width, n.length) for n in needs for _ in range(n.count)]
    known = {}

    def on(block, stock):
        key = (tuple(sorted((n.width, n.length) for n in block)), stock)
        if key not in known:
            plain = [Need("", *one) for one in key[0]]
            known[key] = most_cleats(plain, stock, needs, cleats, first, stocks)
        return known[key]

    def cover(inches):
        if inches <= 0:
            return D(0)
        return min(s.price + cover(inches - on((), s)) for s in stocks if on((), s))

    best = None
    for blocks in parts(items):
        totals = {(D(0), F(0))}
        for block in blocks:
            totals = {
                (cost + s.price, inches + here)
                for cost, inches in totals
                for s in stocks
                if (here := on(block, s)) is not None
            }
        for cost, inches in totals:
            whole = cost + (cover(cleats.length - inches) if cleats else 0)
            best = whole if best is None else min(best, whole)
    return best


STOCKS = st.lists(
    st.builds(
        lambda w, n, p: Stock(f"{w}x{n}", F(w), F(n), D(p) / 4),
        st.sampled_from([6, 8, 11]),
        st.sampled_from([48, 60, 96]),
        st.integers(8, 60),
    ),
    min_size=1,
    max_size=3,
    unique_by=lambda s: s.name,
).map(lambda found: (*found, Stock("big", F(12), F(100), D(20))))
NEEDS = st.lists(
    st.tuples(st.sampled_from([F(21, 4), F(4), F(5, 2)]), st.sampled_from([20, 30, 45, 47, 90])),
    min_size=1,
    max_size=4,
).map(lambda found: tuple(Need(f"n{i}", w, F(n)) for i, (w, n) in enumerate(found)))


FIRSTS = st.sampled_from([("rip",), ("crosscut",), ("rip", "crosscut")])


@given(STOCKS, NEEDS, st.sampled_from([None, F(100), F(350)]), FIRSTS, st.sampled_from([0, 25]))
def test_no_way_to_cut_is_cheaper(stocks, needs, inches, first, shortest):
    cleats = None if inches is None else Cleats(THREE_QUARTERS, inches, F(shortest))
    plan = cutting_plan(stocks, needs, saws(*first), cleats)
    check(stocks, needs, saws(*first), cleats, plan)
    assert plan.optimal
    assert plan.cost == least(stocks, needs, cleats, first)


def test_one_board_is_ripped_first_and_another_crosscut_first():
    # One board is ripped, 7-1/4 and 3-5/8 wide: two pieces of 59 and one of 119. Another is
    # crosscut, for no strip is 5-7/16 wide beside one of 7-1/4 (7-1/4 + 5-7/16 > 11):
    # 59 of the one, 59 of two of the other. By one first cut alone it takes a third board.
    stock = (Stock("1x12", F(11), F(120), D("32.40")),)
    needs = (
        Need("long", F(29, 8), F(119)),
        Need("wide", F(29, 4), F(59), 3),
        Need("half", F(87, 16), F(59), 2),
    )
    both = cutting_plan(stock, needs, saws("rip", "crosscut"))
    check(stock, needs, saws("rip", "crosscut"), None, both)
    assert both.optimal
    assert both.cost == D("64.80") == least(stock, needs, None, ("rip", "crosscut"))
    assert {board.first for board in both.boards} == {"rip", "crosscut"}
    for first in ("rip", "crosscut"):
        alone = cutting_plan(stock, needs, saws(first))
        assert alone.optimal
        assert alone.cost == D("97.20") == least(stock, needs, None, (first,))


def test_a_narrow_piece_comes_out_of_a_wide_strip():
    # A 1x8 holds one strip of 7 in: 50 of it is the side, 45 more is ripped again to 5.
    stock = (Stock("1x8", F(29, 4), F(96), D("30.40")),)
    needs = (Need("side", F(7), F(50)), Need("bottom", F(5), F(45)))
    plan = cutting_plan(stock, needs, saws("rip"))
    check(stock, needs, saws("rip"), None, plan)
    assert (plan.cost, plan.optimal) == (D("30.40"), True)
    # What is left beside it, 7 - 5 - 1/8 = 1-7/8, gives two cleats of 45 in.
    cleats = Cleats(THREE_QUARTERS, F(90), F(12))
    plan = cutting_plan(stock, needs, saws("rip"), cleats)
    check(stock, needs, saws("rip"), cleats, plan)
    assert (plan.cost, cleats_of(plan)) == (D("30.40"), (90, 0))


def test_a_shorter_piece_lies_beside_a_longer_one_of_its_section():
    # Two sections of 60 and 58: 8 with 2-1/2 beside it, then 5-3/8 twice.
    stock = (Stock("1x12", F(11), F(120), D(30)),)
    needs = (
        Need("a", F(8), F(60)),
        Need("b", F(5, 2), F(57)),
        Need("c", F(43, 8), F(58)),
        Need("d", F(43, 8), F(55)),
    )
    plan = cutting_plan(stock, needs, saws("rip", "crosscut"))
    check(stock, needs, saws("rip", "crosscut"), None, plan)
    assert (plan.cost, plan.optimal) == (D(30), True)


def test_two_sides_side_by_side_when_a_wide_board_is_cheaper():
    sides = (Need("A", F(21, 4), F(100)), Need("B", F(21, 4), F(100)))
    narrow = Stock("1x6", F(11, 2), F(120), D("16.20"))
    dear, cheap = (Stock("1x12", F(45, 4), F(120), D(p)) for p in ("33.00", "32.00"))
    assert [b.stock.name for b in cutting_plan((narrow, dear), sides, saws("rip")).boards] == [
        "1x6"
    ] * 2
    assert [b.stock.name for b in cutting_plan((narrow, cheap), sides, saws("rip")).boards] == [
        "1x12"
    ]


def test_cleats_come_from_offcuts_before_a_board_is_bought_for_them():
    # a 1x8 of 10 ft with a 5-1/4 side gives two cleats, 20 ft; 8 ft more are wanted
    stocks = (Stock("1x8", F(29, 4), F(120), D(20)), Stock("1x4", F(7, 2), F(96), D(6)))
    side = (Need("A", F(21, 4), F(118)),)
    plan = cutting_plan(stocks, side, saws("rip"), Cleats(THREE_QUARTERS, F(240 + 96)))
    assert plan.cost == D(26)
    assert cleats_of(plan) == (240, 96)
    # the 1x4 gives four strips of 8 ft: (3-1/2 + 1/8) / (3/4 + 1/8) = 4.14
    # but one is wanted, and no more are ripped
    few = cutting_plan(stocks, side, saws("rip"), Cleats(THREE_QUARTERS, F(200)))
    assert (few.cost, cleats_of(few)) == (D(20), (240, 0))


def test_trims_and_counts_are_kept():
    stocks = (
        Stock("1x12", F(45, 4), F(120), D(10), 1),
        Stock("1x6", F(11, 2), F(120), D(30)),
    )
    needs = (Need("A", F(21, 4), F(119), 4),)
    both = saws("rip", trim=F(1, 2), edge=F(1, 16))
    plan = cutting_plan(stocks, needs, both)
    check(stocks, needs, both, None, plan)
    assert plan.cost == D(10 + 2 * 30)


@pytest.mark.parametrize(
    ("why", "stocks", "needs", "cleats", "facts"),
    [
        (
            "There is no piece to cut. Add at least one",
            (Stock("s", F(5), F(96), D(1)),),
            (),
            None,
            {},
        ),
        ("There is no board to cut from. Add at", (), (Need("a", F(5), F(9)),), None, {}),
        (
            "a wider board or less edge trim would help",
            (Stock("s", F(11, 2), F(96), D(1)),),
            (Need("A", F(23, 4), F(90)),),
            None,
            {"piece": "A", "widest": F(11, 2)},
        ),
        (
            "a longer board, less end trim or a splice",
            (Stock("s", F(5), F(120), D(1)), Stock("t", F(9), F(96), D(1))),
            (Need("wide and long", F(6), F(100)),),
            None,
            {"piece": "wide and long", "longest": F(96)},
        ),
        (
            "There are too few boards for the piece",
            (Stock("s", F(11, 2), F(96), D(1), 2),),
            (Need("A", F(5), F(90), 5),),
            None,
            {"piece": "A", "more": 3},
        ),
        (
            "wide, like the cleats. Count its feet as",
            (Stock("s", F(11, 2), F(96), D(1)),),
            (Need("A", THREE_QUARTERS, F(90)),),
            Cleats(THREE_QUARTERS, F(9)),
            {"piece": "A"},
        ),
    ],
)
def test_what_cannot_be_ripped_is_named(refused, why, stocks, needs, cleats, facts):
    told = refused(why, cutting_plan, stocks, needs, saws("rip", "crosscut"), cleats)
    assert facts.items() <= told.items()


def test_wrong_values_are_refused(refused):
    refused("it must be zero or more", Saws, F(0), F(0), F(-1, 8))
    refused("it must be zero or more", Saws, F(0), F(0), KERF, F(-1))
    refused("it must be more than zero", Stock, "s", F(0), F(96), D(1))
    refused("it must be more than zero", Stock, "s", F(5), F(0), D(1))
    refused("a price must be zero or more", Stock, "s", F(5), F(9), D(-1))
    refused("the number must be zero or more", Stock, "s", F(5), F(9), D(1), -1)
    refused("it must be more than zero", Need, "n", F(0), F(9))
    refused("it must be more than zero", Need, "n", F(5), F(0))
    refused("times; the number must be one or more", Need, "n", F(5), F(9), 0)
    refused("it must be more than zero", Cleats, F(0), F(9))
    refused("it must be zero or more", Cleats, F(1), F(-9))
