"""The restricted master programme: which of some patterns, how often, on which boards.

Solved by HiGHS: without whole numbers for column generation, in whole numbers for a plan.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, isfinite

import highspy
import numpy as np

from crewdesk.trade.boards.problem import Layout, Pattern, Problem, TimeLimit, covers

NEARLY, HALF = 1e-6, 0.4
"""The solver's bound is off by less than this share of it, and by less than half a unit."""
NO_PLAN = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,
)
"""No price is below zero, so nothing is unbounded."""
FEW_COLUMNS = 650
"""Which of the solver's searches for a first plan pay turns about here, as measured on
jobs of 60 beams and on random classes."""

_Columns = list[tuple[float, dict[int, float]]]  # price, and what it adds to which row


@dataclass(frozen=True)
class Prices:
    """Shadow prices: what one more of each demand and of each strip is worth."""

    demand: list[float]
    strip: list[float]


@dataclass(frozen=True)
class Found:
    """The best layout of some patterns that was found, and what none of them can beat."""

    layout: Layout | None
    bound: int


class _Quiet(highspy.Highs):
    def enableCallbacks(self) -> None:  # noqa: N802
        # Called as the solver is made: without this it prints its name right then.
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class RestrictedMaster:
    """Rows: one per demand, covered at least; then one per strip, cut at most as often
    as it is yielded; then one per limit.

    Columns: one per board, then one for each pair of demands of which the longer may stand
    in for the shorter, then the patterns. The solver prints nothing, uses one thread and does
    the same every time.
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

    def prices(self) -> Prices:
        """Return the shadow prices of the last `relax`."""
        dual = list(self.solver.getSolution().row_dual)
        last = self.row_of_strip + len(self.problem.strips)
        return Prices(dual[: self.row_of_strip], dual[self.row_of_strip : last])

    def layout(self) -> Layout:
        """Return the last solution, rounded to whole numbers."""
        value = [round(v) for v in self.solver.getSolution().col_value]
        counted = zip(self.patterns, value[self.ahead :], strict=True)
        boards = tuple(value[: len(self.problem.boards)])
        return Layout(boards, tuple(sorted((p, times) for p, times in counted if times)))


def best_of(
    problem: Problem, patterns: list[Pattern], known: Layout, limit: TimeLimit, nodes: int
) -> Found:
    """Search the plans made of `patterns` and of the `known` plan's for a cheaper one.

    Ends with the best, or after `nodes` branches, or with the time limit.
    """
    master = RestrictedMaster(problem, [*(p for p, _ in known.patterns), *patterns])
    below = known.cost(problem)
    solver = master.solver
    whole = [*range(len(problem.boards)), *range(master.ahead, master.ahead + len(master.patterns))]
    columns = np.array(whole, dtype=np.int32)
    solver.changeColsIntegrality(len(columns), columns, np.full(len(columns), 1, dtype=np.uint8))
    few = len(master.patterns) < FEW_COLUMNS
    for name, value in (
        ("mip_heuristic_run_rins", not few),
        ("mip_heuristic_run_rens", not few),
        ("mip_heuristic_run_root_reduced_cost", few),
        ("time_limit", limit.left()),
        ("mip_max_nodes", nodes),
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
        return Found(None, below)  # what was ruled out could not be in a cheaper plan
    low = info.mip_dual_bound
    sure = ceil(low - min(HALF, NEARLY * max(1.0, abs(low)))) if isfinite(low) else 0
    bound = min(below, sure)
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Found(None, bound)
    layout = master.layout()
    return Found(layout if covers(problem, layout) else None, bound)
