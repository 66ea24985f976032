"""The master programme in whole numbers, over a given set of patterns."""

from dataclasses import dataclass
from math import ceil, isfinite

import highspy
import numpy as np

from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.problem import Layout, Pattern, Problem, covers

NEARLY = 1e-6
FEW_COLUMNS = 650
"""Which of the solver's searches for a first plan pay turns about here, as measured on
jobs of 60 beams and on random classes."""


@dataclass(frozen=True)
class Found:
    """The best layout of these patterns that was found, and what none of them can beat."""

    layout: Layout | None
    bound: int


def best_of(
    problem: Problem,
    patterns: list[Pattern],
    known: Layout,
    patience: Patience,
    nodes: int,
) -> Found:
    """Search the plans made of `patterns` and of the `known` plan's.

    Ends with the best, or after `nodes` branches, or when patience is over.
    """
    master = Master(problem)
    master.add(p for p, _ in known.patterns)
    master.add(patterns)
    solver = master.solver
    columns = np.array(master.whole_columns(), dtype=np.int32)
    solver.changeColsIntegrality(len(columns), columns, np.full(len(columns), 1, dtype=np.uint8))
    few = len(master.patterns) < FEW_COLUMNS
    for name, value in (
        ("mip_heuristic_run_rins", not few),
        ("mip_heuristic_run_rens", not few),
        ("mip_heuristic_run_root_reduced_cost", few),
        ("time_limit", patience.left()),
        ("mip_max_nodes", nodes),
        ("mip_abs_gap", 1 - 1e-3),
        ("mip_rel_gap", 0.0),
    ):
        solver.setOptionValue(name, value)

    def ask(event: highspy.highs.HighsCallbackEvent) -> None:
        event.interrupt(patience.over())

    # The known plan is not handed over as a start: with one, version 1.16 of the solver
    # takes the cost of its presolved programme for the plan's and stops too early.
    solver.cbMipInterrupt.subscribe(ask)
    solver.cbSimplexInterrupt.subscribe(ask)
    solver.run()
    info = solver.getInfo()
    low = info.mip_dual_bound
    bound = ceil(low - NEARLY * max(1.0, abs(low))) if isfinite(low) else 0
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Found(None, bound)
    layout = master.layout()
    return Found(layout if covers(problem, layout) else None, bound)
