"""The knapsack and the listing of patterns, against trying all."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.boards import column_generation
from crewdesk.trade.boards.cheapest import close_patterns
from crewdesk.trade.boards.column_generation import Table, generate, groups
from crewdesk.trade.boards.problem import Board, Cut, Pattern, Problem, Strip, most_of
from crewdesk.trade.boards.restricted_master import RestrictedMaster


def all_ways(sizes, most, room):
    for numbers in product(*(range(m + 1) for m in most)):
        if sum(n * s for n, s in zip(numbers, sizes, strict=True)) <= room:
            yield numbers


def one_strip(sizes, demands, length):
    """A problem of one kind of board, each size a piece of its own."""
    cuts = tuple(Cut(size, ((row, 1),)) for row, size in enumerate(sizes))
    every = tuple(range(len(cuts)))
    return Problem(tuple(demands), cuts, (Strip(length, every),), (Board(10, ((0, 1),)),))


shelves = st.lists(
    st.tuples(st.integers(1, 20), st.integers(1, 3), st.integers(0, 30)), min_size=1, max_size=4
).map(lambda rows: sorted(rows, reverse=True))


@given(shelves, st.integers(0, 45), st.sampled_from([10_000, 60]))
def test_the_table_finds_the_greatest_worth_or_more_where_it_is_coarse(rows, room, cells):
    sizes, demands, prices = zip(*rows, strict=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(column_generation, "MOST_CELLS", cells)
        (group,) = groups(one_strip(sizes, demands, 45))
    table = Table(group, list(prices))
    ways = all_ways(sizes, demands, room)
    most = max(sum(n * w for n, w in zip(way, prices, strict=True)) for way in ways)
    found = table.most_worth(0, room)
    assert found == most if group.unit == 1 and len(set(sizes)) == len(sizes) else found >= most
    pattern = table.pattern(room)
    chosen = [(int(table.best[row]), n) for row, n in pattern]
    worth = sum(n * int(table.worth[cut]) for cut, n in chosen)
    assert worth == most if group.unit == 1 and len(set(sizes)) == len(sizes) else worth <= found
    assert sum(n * int(group.sizes[cut]) for cut, n in chosen) <= room


@given(
    st.lists(st.integers(5, 30), min_size=1, max_size=5, unique=True),
    st.lists(st.integers(1, 3), min_size=5, max_size=5),
    st.integers(0, 12),
)
def test_no_close_pattern_is_missed(sizes, demands, tenths):
    sizes = sorted(sizes, reverse=True)
    problem = one_strip(sizes, demands[: len(sizes)], 60)
    plain = [Pattern(0, ((cut, most_of(problem, cut, 60)),)) for cut in range(len(sizes))]
    proof = generate(problem, groups(problem), RestrictedMaster(problem, plain), lambda: False)
    room = tenths * proof.scale
    found = close_patterns(problem, proof, room, 10_000, lambda: False)
    assert found is not None
    wanted = set()
    (table,) = proof.tables
    most = [most_of(problem, cut, 60) for cut in range(len(sizes))]
    for way in all_ways(sizes, most, 60):
        left = 60 - sum(n * s for n, s in zip(way, sizes, strict=True))
        full = all(s > left or n == m for n, m, s in zip(way, most, sizes, strict=True))
        loss = 10 * proof.scale - sum(n * y for n, y in zip(way, table.worth.tolist(), strict=True))
        if full and loss <= room:
            wanted.add(Pattern(0, tuple((c, n) for c, n in enumerate(way) if n)))
    assert set(found) == wanted
    assert len(found) == len(wanted)
