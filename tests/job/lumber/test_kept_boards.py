"""Boards that were ripped and kept are planned at what they were ripped to.

A takeoff counts every board of the job, cut or not; that a board on the bench is of the width
and stock that it is, and not of what the section says since, is common practice, no source.
"""

from datetime import timedelta
from fractions import Fraction as Fr

from crewdesk.job.beams import beams
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.lumber.blanks import wanted_cleats
from crewdesk.job.lumber.kept import keep, kept_takeoff, without_board
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.task import task_of
from crewdesk.job.steps.ticks import Spot, tick

THICK = (("1x12", "8', 10', 12'", "6.60"), ("5/4x12", "8', 10', 12'", "8.80"))


def ripped(record, now, keys, then, **since):
    """Rip pieces by a section `then`, change the section `since`, and keep what was ripped."""
    base = record.beam("1").section
    cuts = [(Spot("1", key), f"rip-{'side' if key in 'AB' else key}") for key in keys]
    record.make(beams.change_beam(record, "1", {"section": base._replace(**then)}, now))
    for spot, step in cuts:
        record.make(tick(record, spot, step, now))
    record.make(beams.change_beam(record, "1", {"section": base._replace(**since)}, now))
    for spot, step in cuts:
        if (spot, step) not in {(one.spot, one.step_id) for one in open_cuts(record)}:
            continue  # cleats follow the stock of the sides that were kept before them
        record.make(keep_cut(record, spot, step, "no more stock", now + timedelta(minutes=1)))


def planned(record, books):
    takeoff = solve(task_of(record, books, "hill"))
    return {p.piece: (b.thickness, p.width) for b in takeoff.boards for p in b.pieces}


def test_a_kept_bottom_is_planned_as_wide_as_it_was_ripped(job_of, shop_of, now) -> None:
    """9 in less two sides of 3/4 and the clearance, then 8 in."""
    record = job_of([(90, 8, 10)])
    fit = record.beam("1").section.fit
    ripped(record, now, ["bottom"], {"width": Fr(9)})
    found = planned(record, shop_of())
    assert found["bottom"][1] == 9 - Fr(3, 2) - fit
    assert found["A"][1] == 10


def test_a_kept_side_is_planned_from_the_stock_it_was_ripped_from(job_of, shop_of, now) -> None:
    record = job_of([(90, 8, 10)])
    ripped(record, now, ["A"], {"side_thickness": Fr(1)})
    found = planned(record, shop_of(THICK))
    assert found["A"][0] == 1
    assert found["B"][0] == found["bottom"][0] == Fr(3, 4)


def test_stock_that_only_the_section_asks_for_is_not_asked_for(job_of, shop_of, now) -> None:
    """Sides and cleats ripped from 1 in, then the section says 1/2, which nobody has."""
    record = job_of([(90, 8, 10)])
    keys = ("A", "B", "cleats")
    ripped(record, now, keys, {"side_thickness": Fr(1)}, side_thickness=Fr(1, 2))
    found = planned(record, shop_of(THICK))
    assert [found[key][0] for key in ("A", "B", "bottom")] == [1, 1, Fr(3, 4)]
    assert {one.thickness for one in wanted_cleats(record, record.job.cutting)} == {1}


def test_a_kept_plan_lacks_nothing_for_boards_that_were_ripped_so(job_of, shop_of, now) -> None:
    record = job_of([(90, 8, 10)])
    ripped(record, now, ["bottom"], {"width": Fr(9)})
    record.make(keep(record, solve(task_of(record, shop_of(), "hill")), now))
    assert not without_board(record)
    takeoff = kept_takeoff(record)
    assert takeoff is not None
    assert not takeoff.changed
