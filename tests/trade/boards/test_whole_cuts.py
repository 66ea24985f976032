from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import product

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from crewdesk.trade.boards.cutting_plan import cutting_plan
from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.problem import Board, Cut, Pattern, Problem, Strip
from crewdesk.trade.boards.stock import Need, Saw, Stock
from crewdesk.trade.boards.whole_cuts import tighten


def every_pattern(problem):
    ranges = [range(demand + 1) for demand in problem.demands]
    for strip, one in enumerate(problem.strips):
        for counts in product(*ranges):
            size = sum(n * cut.size for n, cut in zip(counts, problem.cuts, strict=True))
            if any(counts) and size <= one.capacity:
                yield Pattern(strip, tuple((c, n) for c, n in enumerate(counts) if n))


def cheapest_of(problem, patterns):
    """The least cost of covering the demands, and one such plan, by trying all."""

    @cache
    def least(left):
        if not any(left):
            return 0, ()
        found = []
        for number, pattern in enumerate(patterns):
            made = dict(pattern.cuts)
            now = tuple(max(0, n - made.get(cut, 0)) for cut, n in enumerate(left))
            if now != left:
                cost, plan = least(now)
                found.append((cost + problem.boards[pattern.strip].price, (*plan, number)))
        return min(found)

    return least(problem.demands)


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.integers(4, 20), st.integers(1, 3)), min_size=2, max_size=4),
    st.lists(st.tuples(st.integers(20, 41), st.integers(5, 30)), min_size=1, max_size=2),
    st.integers(0, 3),
)
def test_no_plan_is_cheaper_than_the_bound_and_a_cheapest_one_is_left(wanted, boards, over):
    sizes = tuple(size for size, _ in wanted)
    problem = Problem(
        tuple(count for _, count in wanted),
        tuple(Cut(size, ((row, 1),)) for row, size in enumerate(sizes)),
        tuple(Strip(length, tuple(range(len(sizes)))) for length, _ in boards),
        tuple(Board(price, ((number, 1),)) for number, (_, price) in enumerate(boards)),
    )
    patterns = list(every_pattern(problem))
    assume(patterns and len(problem.sole) == len(boards))
    optimum, _ = cheapest_of(problem, patterns)
    master = Master(problem)
    master.add(patterns)
    tight = tighten(master, optimum + over, lambda: False)
    assert tight.bound <= optimum
    if tight.layout is not None:
        assert tight.layout.cost(problem) >= optimum
    if not over:
        return
    programme = master.solver.getLp()
    still = [p for p, most in zip(patterns, programme.col_upper_, strict=True) if most > 0]
    cost, plan = cheapest_of(problem, still)
    assert cost == optimum
    times = np.zeros(len(patterns))
    for number in plan:
        times[patterns.index(still[number])] += 1
    matrix = programme.a_matrix_
    made = np.zeros(programme.num_row_)
    for column, starts in enumerate(zip(matrix.start_, matrix.start_[1:], strict=False)):
        for at in range(*starts):
            made[matrix.index_[at]] += matrix.value_[at] * times[column]
    assert (made >= np.array(programme.row_lower_) - 1e-9).all()


def test_a_plan_a_whole_board_above_what_parts_of_boards_would_do_is_proven(check_plan, try_all):
    # Fieldhouse 1990, The duality gap in trim problems, from memory: 59/30 boards of 30 in
    # parts, but 3 whole ones; that no two do is tried out here.
    stocks = (Stock("30", Fraction(30), Decimal(1)),)
    needs = (Need("15", Fraction(15)), Need("10", Fraction(10), 2), Need("6", Fraction(6), 4))
    plan = cutting_plan(stocks, needs, Saw(Fraction(0)))
    check_plan(stocks, needs, Saw(Fraction(0)), (), plan)
    assert plan.cost == plan.bound == try_all(stocks, needs, Saw(Fraction(0))) == 3
