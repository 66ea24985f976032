"""The master programme: which patterns, how often, on which boards. Solved by HiGHS."""

from collections.abc import Iterable
from dataclasses import dataclass

import highspy
import numpy as np

from crewdesk.trade.boards.problem import Layout, Pattern, Problem

_Columns = list[tuple[float, float, dict[int, float]]]  # price, most, coefficient by row


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
    as it is yielded. A strip that is a board of its own needs no column for the board:
    its patterns carry the price, and its row stands only where the boards are counted.

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
            board = problem.sole.get(strip)
            count = 0 if board is None else problem.boards[board].count
            if count is not None:
                self.row_of_strip[strip] = len(lower)
                lower.append(float(-count))
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
            board_ = problem.boards[number]
            most = highspy.kHighsInf if board_.count is None else float(board_.count)
            yields = {self.row_of_strip[s]: float(n) for s, n in board_.strips}
            columns.append((float(board_.price), most, yields))
        for longer, shorter in problem.shorter.items():
            columns.append((0.0, highspy.kHighsInf, {longer: -1.0, shorter: 1.0}))
        self.ahead = len(columns)
        self._add_columns(columns)

    def _add_columns(self, columns: _Columns) -> None:
        if not columns:
            return
        starts: list[int] = []
        index: list[int] = []
        value: list[float] = []
        for _, _, rows in columns:
            starts.append(len(index))
            index += list(rows)
            value += list(rows.values())
        self.solver.addCols(
            len(columns),
            np.array([c[0] for c in columns]),
            np.zeros(len(columns)),
            np.array([c[1] for c in columns]),
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

    def _column(self, pattern: Pattern) -> tuple[float, float, dict[int, float]]:
        problem = self.problem
        rows: dict[int, float] = {}
        for cut, number in pattern.cuts:
            one = problem.cuts[cut]
            rows[one.row] = rows.get(one.row, 0.0) + number * one.gives
        if pattern.strip in self.row_of_strip:
            rows[self.row_of_strip[pattern.strip]] = -1.0
        board = problem.sole.get(pattern.strip)
        price = 0.0 if board is None else float(problem.boards[board].price)
        return price, highspy.kHighsInf, rows

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
            own = 0.0 if board is None else float(self.problem.boards[board].price)
            row = self.row_of_strip.get(strip)
            strips.append(own + (0.0 if row is None else dual[row]))
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
