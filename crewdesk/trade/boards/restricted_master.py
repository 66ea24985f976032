"""The restricted master program: which patterns, how often, on which boards.

Solved by HiGHS: without whole numbers for column generation, in whole numbers for a plan.
"""

from collections.abc import Callable, Iterable
from math import ceil, isfinite
from typing import Any

import highspy
import numpy as np
import numpy.typing as npt

from crewdesk.trade.boards.problem import Layout, Pattern, Problem, TimeLimit, covers

NEARLY, HALF = 1e-6, 0.4
"""The share by which the solver's bound may be off, at most half a unit."""
NO_PLAN = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,
)
"""The lower limit of all prices, so nothing is unbounded."""
ROUNDS, LOOKED_AT, EACH = 20, 60, 25
"""The most rounds of cuts, of basis rows examined in each, and of cuts made from them."""
LARGEST_DIVISOR = 120
BROKEN = 1e-4
"""The violation from which a cut counts as broken."""

Numbers = npt.NDArray[np.float64]
_Columns = list[tuple[float, dict[int, float]]]  # price, and what it adds to which row


class _Quiet(highspy.Highs):
    def enableCallbacks(self) -> None:  # noqa: N802
        # Called by the constructor; without this the solver prints its name.
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class RestrictedMaster:
    """The restricted master program in HiGHS.

    Rows: one per demand, covered at least; one per strip, cut at most as often as it is yielded;
    one per limit. Columns: one per board, one for each pair of demands of which the longer may
    replace the shorter, then the patterns. The solver prints nothing, uses one thread and is
    deterministic.
    """

    def __init__(self, problem: Problem, patterns: Iterable[Pattern] = ()) -> None:
        self.problem = problem
        self.patterns: list[Pattern] = []
        self.known: set[Pattern] = set()
        self.solver = _Quiet()  # type: ignore[no-untyped-call]
        for name, value in (("threads", 1), ("parallel", "off"), ("random_seed", 0)):
            self.solver.setOptionValue(name, value)
        self.row_of_strip = len(problem.demands)
        limits = self.row_of_strip + len(problem.strips)
        lower = [*problem.demands, *[0] * len(problem.strips), *(-x.most for x in problem.limits)]
        none, empty = np.zeros(0, dtype=np.int32), np.zeros(0)
        upper = np.full(len(lower), highspy.kHighsInf)
        self.solver.addRows(len(lower), np.array(lower, dtype=float), upper, 0, none, none, empty)
        columns: _Columns = []
        for number, board in enumerate(problem.boards):
            rows = {self.row_of_strip + strip: float(n) for strip, n in board.strips}
            if number in problem.limit_of:
                rows[limits + problem.limit_of[number]] = -1.0
            columns.append((float(board.price), rows))
        for longer, shorter in problem.shorter.items():
            columns.append((0.0, {longer: -1.0, shorter: 1.0}))
        self.ahead = len(columns)
        self._add_columns(columns)
        self.add(patterns)

    def _add_columns(self, columns: _Columns) -> None:
        if not columns:
            return
        starts: list[int] = []
        index: list[int] = []
        value: list[float] = []
        for _, rows in columns:
            starts.append(len(index))
            index += list(rows)
            value += list(rows.values())
        self.solver.addCols(
            len(columns),
            np.array([c[0] for c in columns]),
            np.zeros(len(columns)),
            np.full(len(columns), highspy.kHighsInf),
            len(index),
            np.array(starts, dtype=np.int32),
            np.array(index, dtype=np.int32),
            np.array(value),
        )

    def add(self, patterns: Iterable[Pattern]) -> int:
        """Add the patterns that are not in yet; return how many there were."""
        new = [p for p in dict.fromkeys(patterns) if p not in self.known]
        self._add_columns([self._column(p) for p in new])
        self.patterns += new
        self.known.update(new)
        return len(new)

    def _column(self, pattern: Pattern) -> tuple[float, dict[int, float]]:
        rows: dict[int, float] = {self.row_of_strip + pattern.strip: -1.0}
        for cut, number in pattern.cuts:
            for row, times in self.problem.cuts[cut].covers:
                rows[row] = rows.get(row, 0.0) + number * times
        return 0.0, rows

    def relax(self) -> bool:
        """Solve without whole numbers; return whether that went to the end."""
        self.solver.run()
        return bool(self.solver.getModelStatus() == highspy.HighsModelStatus.kOptimal)

    def prices(self) -> tuple[list[float], list[float]]:
        """Return the shadow prices of the last `relax`: what one more of each demand and of each
        strip is worth."""
        dual = list(self.solver.getSolution().row_dual)
        last = self.row_of_strip + len(self.problem.strips)
        return dual[: self.row_of_strip], dual[self.row_of_strip : last]

    def layout(self) -> Layout:
        """Return the last solution, rounded to whole numbers."""
        value = [round(v) for v in self.solver.getSolution().col_value]
        counted = zip(self.patterns, value[self.ahead :], strict=True)
        boards = tuple(value[: len(self.problem.boards)])
        return Layout(boards, tuple(sorted((p, times) for p, times in counted if times)))

    def tighten(self, below: int, over: Callable[[], bool]) -> None:
        """Add rows that every whole plan keeps and the last solution without whole numbers
        breaks, and rule columns out that no plan which costs less than `below` can use.

        Rows added up with weights and divided by a whole number, every coefficient and the sum
        rounded up, still hold for whole numbers (Gomory 1958, Chvatal 1973).
        """
        for _ in range(ROUNDS):
            if over() or not self.relax():
                break
            self._rule_out(below)
            if not self._add_cuts():
                break

    def _rule_out(self, below: int) -> None:
        reduced = np.array(self.solver.getSolution().col_dual)
        low = self.solver.getInfo().objective_function_value
        sure = below - 1 + max(HALF, NEARLY * abs(low))
        gone = np.flatnonzero(low + reduced > sure).astype(np.int32)
        none = np.zeros(gone.size)
        self.solver.changeColsBounds(gone.size, gone, none, none)

    def _add_cuts(self) -> bool:
        solver: Any = self.solver  # its types lack what reads the basis
        programme, solution = solver.getLp(), solver.getSolution()
        value, made = np.array(solution.col_value), np.array(solution.row_value)
        need, matrix = np.array(programme.row_lower_), programme.a_matrix_
        row, each = np.array(matrix.index_), np.array(matrix.value_)
        column = np.repeat(np.arange(value.size), np.diff(matrix.start_))
        used, found = value > NEARLY, []
        for weights, divisor in self._weights(value, made):
            left = np.bincount(column, weights[row] * each, value.size) / divisor
            # Whole numbers over a divisor of at most 120: a thousandth off is no rounding.
            left, right = np.ceil(left - 1e-3), np.ceil(weights @ need / divisor - 1e-3)
            short = right - left @ value
            if short > BROKEN:
                found.append((-short / np.sqrt((left[used] ** 2).sum() + NEARLY), left, right))
        first = len(self.problem.demands) + len(self.problem.strips) + len(self.problem.limits)
        if found and (loose := first + np.flatnonzero(made[first:] > need[first:] + NEARLY)).size:
            solver.deleteRows(loose.size, loose.astype(np.int32))
        for _, left, right in sorted(found, key=lambda one: float(one[0]))[:EACH]:
            some = np.flatnonzero(left).astype(np.int32)
            solver.addRow(right, highspy.kHighsInf, some.size, some, left[some])
        return bool(found)

    def _weights(self, value: Numbers, made: Numbers) -> Iterable[tuple[Numbers, int]]:
        """Return whole weights of rows, and the divisor of each set: from the rows of the basis's
        inverse whose column or slack is not whole."""
        solver: Any = self.solver
        basic = solver.getBasicVariables()[1]
        every = np.where(basic >= 0, value[np.maximum(basic, 0)], made[np.maximum(-basic - 1, 0)])
        off = np.abs(every - np.rint(every))
        divisors = np.arange(2, LARGEST_DIVISOR + 1)
        for place in np.argsort(-off, kind="stable")[:LOOKED_AT]:
            if off[place] <= NEARLY:
                break
            inverse = solver.getBasisInverseRow(int(place))[1]
            for parts in (inverse - np.floor(inverse), np.ceil(inverse) - inverse):
                some = parts[(parts > NEARLY) & (parts < 1 - NEARLY)]
                times = np.outer(divisors, some)
                fits = np.abs(times - np.rint(times)).max(axis=1, initial=0.0) < 1e-5
                if some.size and fits.any():
                    divisor = int(divisors[fits.argmax()])
                    yield np.rint(parts * divisor) % divisor, divisor


def best_of(
    problem: Problem, patterns: list[Pattern], known: Layout, limit: TimeLimit, nodes: int
) -> tuple[Layout | None, int]:
    """Search the plans made of `patterns` and of the `known` plan's for a cheaper one; return the
    best one found, and the lower bound of all of them.

    Ends with the best, or after `nodes` branches, or with the time limit.
    """
    master = RestrictedMaster(problem, [*(p for p, _ in known.patterns), *patterns])
    below = known.cost(problem)
    master.tighten(below, limit.over)
    solver = master.solver
    # No solution is left in the solver as a start: with one, version 1.16 takes the cost of
    # its presolved programme for the plan's and stops too early.
    solver.clearSolver()
    whole = [*range(len(problem.boards)), *range(master.ahead, master.ahead + len(master.patterns))]
    columns = np.array(whole, dtype=np.int32)
    solver.changeColsIntegrality(len(columns), columns, np.full(len(columns), 1, dtype=np.uint8))
    for name, value in (
        ("time_limit", limit.left()),
        ("mip_max_nodes", nodes),
        ("mip_heuristic_run_rins", False),  # both cost more time here than they save
        ("mip_heuristic_run_rens", False),
        ("mip_abs_gap", 1 - 1e-3),
        ("mip_rel_gap", 0.0),
        ("objective_bound", below - HALF),  # only a cheaper plan is looked for
    ):
        solver.setOptionValue(name, value)

    def ask(event: highspy.highs.HighsCallbackEvent) -> None:
        event.interrupt(limit.over())

    solver.cbMipInterrupt.subscribe(ask)
    solver.cbSimplexInterrupt.subscribe(ask)
    solver.run()
    info = solver.getInfo()
    if solver.getModelStatus() in NO_PLAN:
        return None, below  # what was ruled out could not be in a cheaper plan
    low = info.mip_dual_bound
    sure = ceil(low - min(HALF, NEARLY * max(1.0, abs(low)))) if isfinite(low) else 0
    bound = min(below, sure)
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None, bound
    layout = master.layout()
    return layout if covers(problem, layout) else None, bound
