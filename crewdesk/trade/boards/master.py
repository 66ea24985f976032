"""The master programme: which patterns, how often, on which boards. Solved by HiGHS."""

from collections.abc import Iterable
from dataclasses import dataclass

import highspy
import numpy as np

from crewdesk.trade.boards.problem import Layout, Pattern, Problem

_Columns = list[tuple[float, dict[int, float]]]  # price, and what it adds to which row


@dataclass(frozen=True)
class Prices:
    """Shadow prices: what one more of each demand and of each strip is worth."""

    demand: list[float]
    strip: list[float]


class _Quiet(highspy.Highs):
    def enableCallbacks(self) -> None:  # noqa: N802
        # Called as the solver is made: without this it prints its name right then.
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def quiet_solver() -> highspy.Highs:
    """A solver that prints nothing, uses one thread and does the same every time."""
    solver = _Quiet()  # type: ignore[no-untyped-call]
    for name, value in (
        ("threads", 1),
        ("parallel", "off"),
        ("random_seed", 0),
    ):
        solver.setOptionValue(name, value)
    return solver


class Master:
    """Rows: one per demand, covered at least; then one per strip, cut at most as often
    as it is yielded; then one per limit. A strip that is a board of its own needs no
    column for the board, nor a row: its patterns carry the price.

    Columns: one per board that yields several strips, then one for each pair of
    demands of which the longer may stand in for the shorter, then the patterns.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.patterns: list[Pattern] = []
        self.known: set[Pattern] = set()
        self.solver = quiet_solver()
        self.row_of_strip: dict[int, int] = {}
        self.many = [b for b in range(len(problem.boards)) if b not in problem.sole.values()]
        lower = [float(d) for d in problem.demands]
        for strip in range(len(problem.strips)):
            if strip not in problem.sole:
                self.row_of_strip[strip] = len(lower)
                lower.append(0.0)
        self.row_of_limit = len(lower)
        lower += [float(-limit.most) for limit in problem.limits]
        none, empty = np.zeros(0, dtype=np.int32), np.zeros(0)
        self.solver.addRows(
            len(lower),
            np.array(lower),
            np.full(len(lower), highspy.kHighsInf),
            0,
            none,
            none,
            empty,
        )
        columns: _Columns = []
        for number in self.many:
            board = problem.boards[number]
            rows = {self.row_of_strip[s]: float(n) for s, n in board.strips} | self._limit(number)
            columns.append((float(board.price), rows))
        for longer, shorter in problem.shorter.items():
            columns.append((0.0, {longer: -1.0, shorter: 1.0}))
        self.ahead = len(columns)
        self._add_columns(columns)

    def _limit(self, board: int) -> dict[int, float]:
        limit = self.problem.limit_of.get(board)
        return {} if limit is None else {self.row_of_limit + limit: -1.0}

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
        """Add the patterns that are not in yet; how many there were."""
        new = [p for p in dict.fromkeys(patterns) if p not in self.known]
        self._add_columns([self._column(p) for p in new])
        self.patterns += new
        self.known.update(new)
        return len(new)

    def _column(self, pattern: Pattern) -> tuple[float, dict[int, float]]:
        problem = self.problem
        rows: dict[int, float] = {}
        for cut, number in pattern.cuts:
            for row, times in problem.cuts[cut].covers:
                rows[row] = rows.get(row, 0.0) + number * times
        board = problem.sole.get(pattern.strip)
        if board is None:
            return 0.0, rows | {self.row_of_strip[pattern.strip]: -1.0}
        return float(problem.boards[board].price), rows | self._limit(board)

    def relax(self) -> bool:
        """Solve without whole numbers; whether that went to the end."""
        self.solver.run()
        return bool(self.solver.getModelStatus() == highspy.HighsModelStatus.kOptimal)

    def prices(self) -> Prices:
        """Shadow prices of the last `relax`."""
        dual = list(self.solver.getSolution().row_dual)
        strips = []
        for strip in range(len(self.problem.strips)):
            board = self.problem.sole.get(strip)
            if board is None:
                strips.append(dual[self.row_of_strip[strip]])
            else:
                rows = self._limit(board)
                price = float(self.problem.boards[board].price)
                strips.append(price + sum(dual[row] for row in rows))
        return Prices(dual[: len(self.problem.demands)], strips)

    def whole_columns(self) -> list[int]:
        """The columns that must be whole; the stand-ins then are so by themselves."""
        last = self.ahead + len(self.patterns)
        return [*range(len(self.many)), *range(self.ahead, last)]

    def layout(self) -> Layout:
        """The last solution, rounded to whole numbers."""
        problem = self.problem
        value = [round(v) for v in self.solver.getSolution().col_value]
        boards = [0] * len(problem.boards)
        for number, times in zip(self.many, value, strict=False):
            boards[number] = times
        patterns = []
        for pattern, times in zip(self.patterns, value[self.ahead :], strict=True):
            if times:
                patterns.append((pattern, times))
                if pattern.strip in problem.sole:
                    boards[problem.sole[pattern.strip]] += times
        return Layout(tuple(boards), tuple(sorted(patterns)))
