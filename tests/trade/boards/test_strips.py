"""The knapsack and the listing of patterns, against trying all."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.trade.boards.best_strip import FullTable, Shelf, SparseTable
from crewdesk.trade.boards.close_patterns import close_patterns
from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.problem import Board, Cut, Pattern, Problem, Strip, most_of
from crewdesk.trade.boards.relaxed import groups, relaxed


def all_ways(shelf, room):
    for numbers in product(*(range(m + 1) for m in shelf.most)):
        if sum(n * s for n, s in zip(numbers, shelf.sizes, strict=True)) <= room:
            yield numbers


shelves = st.lists(
    st.tuples(st.integers(1, 20), st.integers(1, 3), st.integers(0, 30)), min_size=1, max_size=4
).map(lambda rows: sorted(rows, reverse=True))


@settings(deadline=None, max_examples=80)
@given(shelves, st.integers(0, 45))
def test_both_tables_find_the_greatest_worth(rows, room):
    shelf = Shelf(tuple(r[0] for r in rows), tuple(r[1] for r in rows))
    worth = [r[2] for r in rows]
    most = max(sum(n * w for n, w in zip(way, worth, strict=True)) for way in all_ways(shelf, room))
    for table in (FullTable(shelf, worth, 45), SparseTable(shelf, worth, 45)):
        assert table.best(0, room) == most
        pattern = table.pattern(room)
        assert sum(n * worth[k] for k, n in pattern) == most
        assert sum(n * shelf.sizes[k] for k, n in pattern) <= room
        assert all(0 < n <= shelf.most[k] for k, n in pattern)


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.integers(5, 30), min_size=1, max_size=5, unique=True),
    st.lists(st.integers(1, 3), min_size=5, max_size=5),
    st.integers(0, 12),
)
def test_no_close_pattern_is_missed(sizes, demands, tenths):
    sizes = sorted(sizes, reverse=True)
    cuts = tuple(Cut(size, ((row, 1),)) for row, size in enumerate(sizes))
    every = tuple(range(len(cuts)))
    problem = Problem(
        tuple(demands[: len(cuts)]), cuts, (Strip(60, every),), (Board(10, ((0, 1),)),)
    )
    master = Master(problem)
    master.add(Pattern(0, ((c, most_of(problem, c, 60)),)) for c in every)
    grouped = groups(problem)
    proof = relaxed(problem, master, lambda: False)
    room = tenths * proof.scale
    found = close_patterns(problem, grouped, proof, room, 10_000, lambda: False)
    assert found is not None
    wanted = set()
    for way in all_ways(grouped[0].shelf, 60):
        left = 60 - sum(n * s for n, s in zip(way, sizes, strict=True))
        full = all(
            s > left or n == m for n, m, s in zip(way, grouped[0].shelf.most, sizes, strict=True)
        )
        loss = 10 * proof.scale - sum(n * y for n, y in zip(way, proof.demand, strict=True))
        if full and loss <= room:
            wanted.add(Pattern(0, tuple((c, n) for c, n in enumerate(way) if n)))
    assert set(found) == wanted
    assert len(found) == len(wanted)
