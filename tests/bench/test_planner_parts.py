"""What each part of the board planner buys: 60 generated jobs, planned with one part off.

Run with ``pytest -n 0 -s tests/bench/test_planner_parts.py``. Each line has the cost of all
jobs, how many of them are proven cheapest within 2 s of processor time, and the time. Jobs are
10 to 120 beams of one to four sections, cut by either or one of the saws, from one or several
widths, lengths and prices of boards, with boards on hand and without.
"""

import random
import time
from decimal import Decimal
from fractions import Fraction
from types import SimpleNamespace

import pytest

from crewdesk.trade.boards import cheapest, cutting_plan, problem, restricted_master, rip_model
from crewdesk.trade.boards.problem import TimeLimit
from crewdesk.trade.boards.stock import Cleats, Need, Saws, Stock, Stretch

F = Fraction
JOBS = 60
BEAMS = (10, 15, 20, 30, 40, 60, 80, 100, 120)
FIRSTS = (("rip",), ("crosscut",), ("rip", "crosscut"))
FEET = ((8, "11.98"), (10, "15.75"), (12, "19.40"), (14, "23.65"), (16, "27.90"), (20, "37.60"))
WIDTHS = ((F(29, 4), "1.9"), (F(37, 4), "2.6"), (F(45, 4), "3.4"))


def job(seed):
    """Stock, pieces, saws and cleats; every fifth job is of pieces as wide as the boards."""
    chance = random.Random(seed)
    lengths_only = seed % 5 == 4
    sizes = [
        (F(chance.randint(20, 40), 4), F(chance.randint(16, 32), 4) - F(3, 2))
        for _ in range(chance.choice((1, 1, 2, 3, 4)))
    ]
    if lengths_only:
        sizes = [(F(1), F(1))]
    read, needs, cleats = chance.random() < 0.5, [], F(0)
    for beam in range(BEAMS[seed % len(BEAMS)]):
        side, bottom = sizes[beam % len(sizes)]
        run = F(chance.randint(84 * 16, 220 * 16), 16)
        a, b, c = (F(chance.randint(0, 8) * read, 16) for _ in range(3))
        needs += [Need(f"{beam}A", side, run + a), Need(f"{beam}B", side, run + b)]
        needs.append(Need(f"{beam}C", bottom, run - c))
        cleats += 2 * run
    widths = [(F(1), "1")] if lengths_only else WIDTHS[chance.choice((0, 0, 0, 2)) :]
    feet = FEET[chance.choice((0, 0, 0, 5)) :]
    stocks = [
        Stock(f"{wide} x {long}", wide, F(12 * long), round(Decimal(price) * Decimal(share), 2))
        for wide, share in widths
        for long, price in feet
    ]
    if chance.random() < 0.4:
        for n in range(chance.randint(2, 12)):
            bad, length = (Stretch(F(20), F(23)),), F(chance.randint(40, 180))
            stocks.append(Stock(f"{n}", chance.choice(widths)[0], length, bad=bad, on_hand=True))
    if lengths_only:
        return tuple(stocks), tuple(needs), Saws(F(1, 8), F(1, 4)), None
    saws = Saws(F(1, 8), F(1, 4), F(1, 8), F(1, 8), FIRSTS[seed % 3])
    return tuple(stocks), tuple(needs), saws, Cleats(F(3, 4), cleats, F(12))


PARTS = {
    "nothing": lambda patch: None,
    "close_patterns": lambda patch: patch.setattr(cheapest, "close_patterns", lambda *a: None),
    "cuts": lambda patch: patch.setattr(
        restricted_master.RestrictedMaster, "tighten", lambda *a: None
    ),
    "ruling columns out": lambda patch: patch.setattr(
        restricted_master.RestrictedMaster, "_rule_out", lambda *a: None
    ),
    "shares of the gap": lambda patch: patch.setattr(cheapest, "SMALLEST_SHARE", 1),
    "plain plans first": lambda patch: patch.setattr(cutting_plan, "PLAIN_SHARE", 0),
    "longer sections stand in": lambda patch: patch.setattr(
        rip_model, "next_longer", lambda *a: {}
    ),
}


@pytest.mark.parametrize("part", PARTS)
def test_what_a_part_buys(part, monkeypatch):
    monkeypatch.setattr(problem, "time", SimpleNamespace(monotonic=time.process_time))
    PARTS[part](monkeypatch)
    cost, proven, began = Decimal(0), 0, time.process_time()
    for seed in range(JOBS):
        plan = cutting_plan.cutting_plan(*job(seed), limit=TimeLimit(2))
        cost += plan.cost
        proven += plan.optimal
        assert plan.bound <= plan.cost
    took = time.process_time() - began
    print(f"\n{part + ' off':28} cost {cost:>12}  proven {proven:>2} of {JOBS}  {took:6.1f} s")
