from collections import defaultdict
from decimal import Decimal
from fractions import Fraction as Fr
from itertools import pairwise

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.cuts.marks import marks
from crewdesk.job.lumber.buying_list import used_up
from crewdesk.job.lumber.kept import keep
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.spliced import spliced, splices_of_piece
from crewdesk.job.lumber.task import task_of
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.takeoff import takeoff_sheet, used_lines
from crewdesk.screens.piece.board_pictures import board_picture


@pytest.fixture(scope="module")
def long_hall(job_of, shop_of, now):
    """A beam too long for any board and one that is not, scarfed and kept."""
    record = job_of([(300, 8, 10), (100, 8, 10)], splices="scarf")
    record.make(keep(record, solve(task_of(record, shop_of(), "hill")), now))
    return record


def test_the_splices_lie_where_the_parts_meet(long_hall) -> None:
    parts = defaultdict(dict)
    for board in long_hall.boards:
        for one in board.pieces:
            if one.parts > 1:
                parts[one.piece][one.part] = one.length
    found = spliced(long_hall, long_hall.boards)
    assert {one.piece for one in found} == set(parts) == {"A", "B", "bottom"}
    # A 45 degree scarf in 3/4 in stock laps 3/4 in, half of it on either side of its middle.
    for one in found:
        assert one.length == 301
        assert one.places == (parts[one.piece][1] - Fr(3, 8),)
        assert one.length - one.places[0] == parts[one.piece][2] - Fr(3, 8)
    places = sorted(one.places[0] for one in found)
    assert all(b - a >= 24 for a, b in pairwise(places))
    assert splices_of_piece(long_hall, "2", "A") is None


def test_on_paper_each_board_of_the_beam_is_drawn_with_its_splice(long_hall, shop_of) -> None:
    takeoff = solve(task_of(long_hall, shop_of(), "hill"))
    sheet = takeoff_sheet("hill", long_hall, takeoff, {}, kept=True)
    at = next(n for n, line in enumerate(sheet.lines) if line.startswith("Splices"))
    for line, one in zip(sheet.lines[at + 2 : at + 5], spliced(long_hall, takeoff.boards),
                         strict=True):  # fmt: skip
        drawn = line[line.index("|") : line.rindex("|") + 1]
        assert abs(drawn.index("/") - float(one.places[0] / one.length) * (len(drawn) - 1)) <= 0.5
    assert [one["joint"] for one in sheet.values["splices"]] == ["scarf"] * 3
    assert any(line.strip().startswith("/===") for line in sheet.lines)


def test_the_marks_of_a_side_show_it_from_its_own_face(long_hall, now) -> None:
    for side in "AB":
        for what, text in (("run", "300"), ("end1", "0"), ("end2", "0")):
            reading = take.typed_reading(
                long_hall, what, text, now, lean="in" if what != "run" else "",
                level="28" if what != "run" else "",
            )  # fmt: skip
            long_hall.make(take.take(long_hall, Spot("1", side), what, reading))
    lines = cut_list("hill", long_hall, "Hall 1").lines
    assert sum("in 2 parts: scarf at" in line for line in lines) == 3
    beam = long_hall.beam("1")
    for side in "AB":
        one = splices_of_piece(long_hall, "1", side)
        cut = marks(beam, beam.piece(side)).cut
        drawn = board_picture(cut, side, beam.ends, long_hall.job.step, 78, 9, one)
        row = drawn.text().plain.splitlines()[1][2:-2]  # between the walls
        share = float(one.places[0] / one.length)
        # Side A has its end 1 at the left, side B at the right.
        wanted = share if side == "A" else 1 - share
        assert abs(row.index("\u2571") - wanted * len(row)) <= 2


def test_glue_goes_into_splices_and_mitres_and_is_priced(long_hall, job_of, now) -> None:
    def glue_of(record):
        return next((u for u in used_up(record, record.boards) if u.sort == "glue"), None)

    # By hand: a 45 degree scarf in 3/4 in stock is 0.75 x 1.41421 wide, over sides of 10 in
    # and a bottom of 6-1/2; spread 6 thousandths thick, 231/128 cubic inches to the ounce.
    glue = glue_of(long_hall)
    inches = 0.75 * 1.41421 * (10 + 10 + 6.5)
    assert float(glue.packs.amount) == pytest.approx(inches * 0.006 / (231 / 128), rel=1e-4)
    assert glue.packs.buy == 1
    assert glue.cost({"glue": Decimal("7.50")}) == Decimal("7.50")
    assert glue.cost({}) is None
    told = used_lines((glue,), {"glue": Decimal("7.50")})
    assert told == ["Wood glue: 0.1 fl oz, 1 bottle at $7.50, $7.50", "In all $7.50."]
    assert "No price is set for Wood glue" in used_lines((glue,), {})[-1]
    # A usual beam that is not spliced has none; one with mitred corners has two mitres.
    record = job_of([(96, 8, 10)])
    assert glue_of(record) is None
    record.make(beams.change_beam(record, "1", {"form": "mitred"}, now))
    inches = 2 * 0.75 * 1.41421 * 96
    assert float(glue_of(record).packs.amount) == pytest.approx(
        inches * 0.006 / (231 / 128), rel=1e-4
    )


def test_a_part_whose_board_is_spoiled_tells_no_splice(long_hall) -> None:
    boards = [b for b in long_hall.boards if not any(p.piece == "A" for p in b.pieces)]
    assert {one.piece for one in spliced(long_hall, boards)} <= {"B", "bottom"}
