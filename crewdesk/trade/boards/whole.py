"""The master programme in whole numbers, over a given set of patterns."""

from dataclasses import dataclass
from math import ceil, isfinite

import highspy
import numpy as np

from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.problem import Layout, Pattern, Problem, covers
from crewdesk.trade.boards.whole_cuts import tighten

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
    """Search the plans made of `patterns` and of the `known` plan's for a cheaper one.

    Ends with the best, or after `nodes` branches, or when patience is over.
    """
    master = Master(problem)
    master.add(p for p, _ in known.patterns)
    master.add(patterns)
    below = known.cost(problem)
    tight = tighten(master, below, patience.over)
    if tight.layout is not None or tight.bound >= below or patience.over():
        return Found(tight.layout, tight.bound)
    # No solution is left in the solver as a start: with one, version 1.16 takes the cost of
    # its presolved programme for the plan's and stops too early.
    solver = master.solver
    solver.clearSolver()
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
        ("objective_bound", below - HALF),  # only a cheaper plan is looked for
    ):
        solver.setOptionValue(name, value)

    def ask(event: highspy.highs.HighsCallbackEvent) -> None:
        event.interrupt(patience.over())

    solver.cbMipInterrupt.subscribe(ask)
    solver.cbSimplexInterrupt.subscribe(ask)
    solver.run()
    info = solver.getInfo()
    if solver.getModelStatus() in NO_PLAN:
        return Found(None, below)  # what was ruled out could not be in a cheaper plan
    low = info.mip_dual_bound
    sure = ceil(low - min(HALF, NEARLY * max(1.0, abs(low)))) if isfinite(low) else 0
    bound = max(tight.bound, min(below, sure))
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Found(None, bound)
    layout = master.layout()
    return Found(layout if covers(problem, layout) else None, bound)
