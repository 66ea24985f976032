"""A cleat is ripped to the job's rule and as high as the sides are thick, in all that uses it."""

from fractions import Fraction as Fr

from crewdesk.job.beams import beams
from crewdesk.job.beams.beams import change_about
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.lumber.boards import change_rules
from crewdesk.job.lumber.buying_list import used_up
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.task import task_of
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.cuts.section import Section


def setting(record, step, piece):
    (group,) = batch_settings(record, step, [Spot("1", piece)]).groups
    return dict(group.setting), group.why


def nails_used(record):
    return {one.name for one in used_up(record, ()) if one.sort == "nails"}


def test_a_thin_cleat_gets_a_shorter_nail_and_its_own_fence(job_of, now, refusing) -> None:
    record = job_of([(96, 8, 10)])
    assert setting(record, "rip-cleats", "cleats")[0]["fence"] == Fr(3, 4)
    # 3/4 + 3/4, less 1/16 for a head set below and 1/8 behind the point, takes 1-1/4
    # (common practice, no source).
    assert setting(record, "fix-cleats", "cleats")[0] == {"nail": Fr(5, 4)}
    record.make(change_rules(record, {"cleat": "1/2"}, now))
    assert setting(record, "rip-cleats", "cleats")[0]["fence"] == Fr(1, 2)
    # 1/2 + 3/4 = 1-1/4: a nail of 1-1/4 comes through, 1 in stays inside.
    assert setting(record, "fix-cleats", "cleats")[0] == {"nail": 1}
    # The bottom, 3/4, is nailed into the cleat's height, which is the stock's 3/4.
    assert setting(record, "nail-bottom", "bottom")[0] == {"nail": Fr(5, 4)}
    assert nails_used(record) == {"18 gauge nails, 1 in", "18 gauge nails, 1 1/4 in"}
    typed = {"cleats": "1-1/4", "bottom": ""}
    assert "comes through a stack of 1 1/4 in" in refusing(change_about, record, {}, {}, typed, now)
    lines = cut_list("hill", record).lines
    assert any(
        "ripped to 1/2 in off the side, sawn face against it, stock 3/4 in up the side" in line
        for line in lines
    )


def test_a_wide_cleat_takes_a_longer_nail_and_one_of_the_user_is_counted(job_of, now) -> None:
    record = job_of([(96, 8, 10)], cleat="3/2")
    # 1-1/2 + 3/4 = 2-1/4 less 3/16 is 2-1/16: 2 in.
    assert setting(record, "fix-cleats", "cleats")[0] == {"nail": 2}
    record.make(change_about(record, {}, {}, {"cleats": "7/4", "bottom": ""}, now))
    assert nails_used(record) == {"18 gauge nails, 1 3/4 in", "18 gauge nails, 1 1/4 in"}


def test_cleats_of_thin_sides_are_low(job_of, now) -> None:
    record = job_of([(96, 8, 10)])
    thin = Section(Fr(8), Fr(10), side_thickness=Fr(1, 2))
    record.make(beams.add_beam(record, "2", "Hall", now, section=thin, rough=Fr(96)))
    (group,) = batch_settings(record, "nail-bottom", [Spot("2", "bottom")]).groups
    # The bottom's 3/4 and a cleat 1/2 high are 1-1/4: 1 in stays inside, 1-1/4 does not.
    assert dict(group.setting) == {"nail": 1}


def test_cleats_are_ripped_to_the_rule_from_stock_as_thick_as_the_sides(job_of, shop_of) -> None:
    record = job_of([(95, 6, 7)], cleat="1/2", allowance="1/4")
    takeoff = solve(task_of(record, shop_of(), "hill"))
    assert {c.far - c.near for b in takeoff.boards for c in b.cleats} == {Fr(1, 2)}
    assert {b.thickness for b in takeoff.boards if b.cleats} == {Fr(3, 4)}
    assert sum(c.end - c.start for b in takeoff.boards for c in b.cleats) >= 190
