"""How fast and how close: the cutting plan against first fit and a constraint solver.

Run with ``pytest -n 0 -s tests/bench/test_cutting_bench.py``; the comparison needs the
`bench` extra. Every solver has one thread. Each line ends with the target, in seconds of
processor time so that other work on the machine doesn't count, and what share of it was
used.
"""

import random
import time
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from statistics import median

import pytest

from crewdesk.trade.boards.cutting_plan import cutting_plan
from crewdesk.trade.boards.problem import TimeLimit
from crewdesk.trade.boards.stock import Cleats, Need, Saws, Stock

WIDE = Fraction(1)
NO_KERF = Saws(Fraction(0))
LUMBER = ((8, "11.98"), (10, "15.75"), (12, "19.40"), (14, "23.65"), (16, "27.90"), (20, "37.60"))
PAPER = {
    **{1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20},
    **{2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20},
}


def board(name, length, price):
    """A board of which only the length counts."""
    return Stock(name, WIDE, length, price)


def piece(name, length, count=1):
    """A piece of which only the length counts."""
    return Need(name, WIDE, length, count)


def one_length(length, sizes):
    needs = tuple(piece(str(s), Fraction(s), n) for s, n in sorted(Counter(sizes).items()))
    return (board("stock", Fraction(length), Decimal(1)),), needs, NO_KERF


def triplets(items, seed):
    """Falkenauer 1996: three of 250 to 500 fill 1000 exactly."""
    chance, sizes = random.Random(seed), []
    for _ in range(items // 3):
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        sizes += [first, second, 1000 - first - second]
    return sizes


def spread(items, least, most, seed):
    chance = random.Random(seed)
    return [chance.randint(least, most) for _ in range(items)]


def job(seed, *, step):
    """60 beams of 7 to 19 ft, two sides and a bottom each, and 70 short pieces, all
    lengths to 1/`step` in: 250 pieces from six lengths of stock."""
    chance, needs = random.Random(seed), []
    for beam in range(60):
        run = Fraction(chance.randint(84 * step, 228 * step), step)
        bottom = run - Fraction(chance.randint(0, step), step)
        needs += [piece(f"{beam}A", run), piece(f"{beam}B", run), piece(f"{beam}C", bottom)]
    for short in range(70):
        needs.append(piece(f"s{short}", Fraction(chance.randint(18 * step, 60 * step), step)))
    stocks = tuple(board(f"{f} ft", Fraction(12 * f), Decimal(p)) for f, p in LUMBER)
    return stocks, tuple(needs), Saws(Fraction(1, 8), Fraction(1, 2))


def ripped_job(seed, side, bottom, *, beams=60):
    """Sides and bottoms of a width each from three widths of stock in six lengths, the
    cleats beside them."""
    chance, needs, cleats = random.Random(seed), [], Fraction(0)
    for beam in range(beams):
        run = Fraction(chance.randint(84 * 16, 228 * 16), 16)
        needs += [Need(f"{beam}A", side, run), Need(f"{beam}B", side, run)]
        needs.append(Need(f"{beam}C", bottom, run - Fraction(chance.randint(0, 16), 16)))
        cleats += 2 * run
    stocks = tuple(
        Stock(f"{width} x {feet}", width, Fraction(12 * feet), Decimal(price) * share)
        for width, share in (
            (Fraction(29, 4), Decimal("1.9")),
            (Fraction(37, 4), Decimal("2.6")),
            (Fraction(45, 4), Decimal("3.4")),
        )
        for feet, price in LUMBER
    )
    return stocks, tuple(needs), Cleats(Fraction(3, 4), cleats, Fraction(12))


def job_of_sections(seed, sections, *, read, beams=40):
    """40 beams of several sections, as rough lengths or as each side and bottom was read,
    with the cleats, from lumber priced in cents."""
    chance, needs, cleats = random.Random(seed), [], Fraction(0)
    sizes = [
        (Fraction(chance.randint(20, 40), 4), Fraction(chance.randint(16, 32), 4))
        for _ in range(sections)
    ]
    for beam in range(beams):
        side, width = sizes[beam % sections]
        run = Fraction(chance.randint(84 * 16, 220 * 16), 16)
        a, b, c = (Fraction(chance.randint(0, 8) * read, 16) for _ in range(3))
        needs += [Need(f"{beam}A", side, run + a), Need(f"{beam}B", side, run + b)]
        needs.append(Need(f"{beam}C", width - Fraction(3, 2), run - c))
        cleats += 2 * run
    stocks = tuple(
        Stock(f"{wide} x {feet}", wide, Fraction(12 * feet), round(Decimal(price) * share, 2))
        for wide, share in (
            (Fraction(29, 4), Decimal("1.9")),
            (Fraction(37, 4), Decimal("2.6")),
            (Fraction(45, 4), Decimal("3.4")),
        )
        for feet, price in LUMBER
    )
    return stocks, tuple(needs), Cleats(Fraction(3, 4), cleats, Fraction(12))


def timed(instance, seconds=60.0):
    began = time.process_time()
    plan = cutting_plan(*instance, limit=TimeLimit(seconds))
    return plan, time.process_time() - began


def told(name, plan, took, target):
    proof = "optimal" if plan.optimal else f"gap {plan.cost - plan.bound}"
    print(
        f"{name:24} cost {plan.cost:>9}  bound {plan.bound:>9}  {proof:10} by eye "
        f"{plan.first_fit:>9}  {took:6.2f} s of {target} s, ratio {took / target:.2f}"
    )


def test_real_jobs_are_proven_in_two_seconds():
    found = []
    for step in (1, 2, 16, 32):
        for seed in range(6):
            plan, took = timed(job(seed, step=step))
            told(f"job {seed}, to 1/{step} in", plan, took, 2)
            assert plan.optimal
            found.append(took)
    print(f"jobs: median {median(found):.2f} s, most {max(found):.2f} s of 2 s")
    assert max(found) < 2


@pytest.mark.parametrize("first", [("rip",), ("crosscut",), ("rip", "crosscut")])
def test_ripped_jobs_are_proven_in_two_seconds(first):
    saws = Saws(Fraction(1, 8), Fraction(1, 4), Fraction(1, 8), Fraction(1, 8), first)
    found = []
    for side, bottom in (("15/2", "11/2"), ("7", "5"), ("11/2", "7/2"), ("11/2", "5")):
        for seed in range(2):
            stocks, needs, cleats = ripped_job(seed, Fraction(side), Fraction(bottom))
            began = time.process_time()
            plan = cutting_plan(stocks, needs, saws, cleats)
            found.append(time.process_time() - began)
            told(f"{'/'.join(first)} {seed}, {side} {bottom}", plan, found[-1], 2)
            assert plan.optimal
    assert max(found) < 2


@pytest.mark.parametrize("first", [("rip",), ("crosscut",), ("rip", "crosscut")])
@pytest.mark.parametrize("sections", [1, 3, 6])
def test_jobs_of_several_sections_are_proven_in_four_seconds(first, sections):
    saws = Saws(Fraction(1, 8), Fraction(1, 4), Fraction(1, 8), Fraction(1, 8), first)
    for seed, read in ((0, False), (1, False), (0, True), (1, True)):
        instance = job_of_sections(seed, sections, read=read)
        began = time.process_time()
        plan = cutting_plan(*instance[:2], saws, instance[2])
        took = time.process_time() - began
        told(f"{'/'.join(first)} {sections}, {seed} {'read' if read else 'rough'}", plan, took, 4)
        assert plan.optimal
        assert took < 4


def test_paper_rolls_take_73():
    plan, took = timed(one_length(5600, Counter(PAPER).elements()))
    told("paper rolls", plan, took, 2)
    assert (plan.cost, plan.optimal) == (73, True)


@pytest.mark.parametrize(
    ("items", "seconds", "seed"),
    [(n, limit, seed) for n, limit in ((60, 10), (120, 10), (249, 60)) for seed in range(5)],
)
def test_triplets_take_a_third(items, seconds, seed):
    plan, took = timed(one_length(1000, triplets(items, seed)))
    told(f"triplets {items}, {seed}", plan, took, seconds)
    assert plan.cost == items // 3
    assert took < seconds


@pytest.mark.parametrize("items", [120, 250, 500])
@pytest.mark.parametrize("seed", range(5))
def test_the_uniform_class(items, seed):
    # Falkenauer 1996: items of 20 to 100 in 150
    plan, took = timed(one_length(150, spread(items, 20, 100, seed)))
    told(f"uniform {items}, {seed}", plan, took, 60)
    assert plan.cost <= plan.bound + 1


@pytest.mark.parametrize("items", [50, 100, 200, 500])
@pytest.mark.parametrize("length", [100, 120, 150])
@pytest.mark.parametrize("least", [1, 20, 30])
def test_the_first_set_of_scholl(items, length, least):
    # Scholl, Klein and Juergens 1997: items up to 100 in 100, 120 or 150
    plan, took = timed(one_length(length, spread(items, least, 100, items + length + least)))
    told(f"set 1: {items} {length} {least}", plan, took, 60)
    assert plan.cost <= plan.bound + 1


def constraint_solver(instance, seconds):
    """The same by CP-SAT: how many of each length on each board, and which board it is,
    the plan by eye given as a hint; cost, bound and time."""
    cp_model = pytest.importorskip("ortools.sat.python.cp_model")
    stocks, needs, saw = instance
    unit = Fraction(1, 32)
    model = cp_model.CpModel()
    wanted = Counter()
    for need in needs:
        wanted[int((need.length + saw.kerf) / unit)] += need.count
    rooms = [int((s.length - 2 * saw.end_trim + saw.kerf) / unit) for s in stocks]
    prices = [int(s.price * 100) for s in stocks]
    by_eye = cutting_plan(*instance, limit=TimeLimit(stop=lambda: True)).boards
    by_eye = sorted(by_eye, key=lambda board: -board.stock.price)
    boards = len(by_eye)
    on = [[model.new_int_var(0, n, "") for n in wanted.values()] for _ in range(boards)]
    kind = [[model.new_bool_var("") for _ in stocks] for _ in range(boards)]
    cost = [sum(k * p for k, p in zip(ks, prices, strict=True)) for ks in kind]
    for number in range(boards):
        model.add_at_most_one(kind[number])
        room = sum(k * r for k, r in zip(kind[number], rooms, strict=True))
        model.add(sum(x * size for x, size in zip(on[number], wanted, strict=True)) <= room)
        if number:
            model.add(cost[number] <= cost[number - 1])
    for place, count in enumerate(wanted.values()):
        model.add(sum(board[place] for board in on) == count)
    for number, board in enumerate(by_eye):
        sizes = Counter(int((p.end - p.start + saw.kerf) / unit) for p in board.pieces)
        for place, size in enumerate(wanted):
            model.add_hint(on[number][place], sizes[size])
        for place, stock in enumerate(stocks):
            model.add_hint(kind[number][place], stock == board.stock)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    began = time.process_time()
    status = solver.solve(model)
    took = time.process_time() - began
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    value = solver.objective_value / 100 if found else None
    return value, solver.best_objective_bound / 100, took


def test_against_first_fit_and_a_constraint_solver():
    limit = 30.0
    for name, instance in (
        ("paper rolls", one_length(5600, Counter(PAPER).elements())),
        ("triplets 60", one_length(1000, triplets(60, 0))),
        ("triplets 120", one_length(1000, triplets(120, 0))),
        ("uniform 120", one_length(150, spread(120, 20, 100, 0))),
        ("job 0, to 1/2 in", job(0, step=2)),
    ):
        plan, took = timed(instance)
        value, bound, other = constraint_solver(instance, limit)
        print(
            f"{name:18} ours {plan.cost} in {took:.2f} s (bound {plan.bound}); by eye "
            f"{plan.first_fit}; CP-SAT {value} in {other:.2f} s (bound {bound:.2f}); "
            f"time ratio {other / took:.1f}"
        )
        assert plan.optimal
        assert value is None or float(plan.cost) <= value + 1e-6
