"""Cleats that have no room beside one another, or under a box's top.

The room is what the section leaves: the width less the sides, and the height less the top.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.cleats import check_cleats, cleats_of
from crewdesk.job.lumber.boards import change_rules
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.cuts.section import Section
from tests.job.test_type_of_beam import new

WIDE = Fr(3, 2)


def told(beam, projection: Fr = WIDE) -> str:
    with pytest.raises(BadInput) as refused:
        check_cleats(beam, projection)
    return str(refused.value)


def test_two_cleats_wider_than_what_is_between_the_sides(record, now) -> None:
    """4 in wide less two sides of 3/4 in leaves 2 1/2; two cleats of 1 1/2 in are 3."""
    beam = new(record, now, "usual", section=Section(Fr(4), Fr(10)))
    assert told(beam) == (
        "Hall new has 2 1/2 in between the sides, too little for two cleats of 1 1/2 in. "
        "Make the cleats 1 1/4 in wide or less in the cutting rules."
    )
    assert cleats_of(beam, Fr(5, 4))
    with pytest.raises(BadInput):
        check_cleats(beam, Fr(5, 4) + Fr(1, 32))


def test_the_side_and_the_wall(record, now) -> None:
    """3 in from the show face to the wall less one side of 3/4 in leaves 2 1/4."""
    beam = new(record, now, "wall", section=Section(Fr(3), Fr(10)))
    assert "2 1/4 in between the side and the wall" in told(beam)
    assert "1 1/8 in wide or less" in told(beam)
    assert cleats_of(beam, Fr(9, 8))


@pytest.mark.parametrize(("lower", "meet"), [(Fr(1, 2), True), (Fr(4), False)])
def test_cleats_that_pass_over_one_another_along_a_ridge(record, now, lower, meet) -> None:
    """Cleats 3/4 in high on sides whose bottom edges hang farther apart than that, with what
    a tilted bottom moves them, don't meet beside one another."""
    section = Section(Fr(4), Fr(10), bottom_thickness=Fr(1, 2))
    beam = new(record, now, "ridge", section=section, height_b=Fr(10) + lower)
    if meet:
        assert "two cleats" in told(beam)
    else:
        check_cleats(beam, WIDE)
        assert "a cleat of that width" in told(beam, Fr(3))


def test_a_top_over_cleats_that_reach_into_it(record, now) -> None:
    """In a box 2 in deep its top begins at 1 1/4; the cleats, from 1 in up, reach 1 3/4."""
    beam = new(record, now, "box", section=Section(Fr(8), Fr(2)))
    assert told(beam, Fr(3, 4)) == (
        "The cleats of Hall new reach 1 3/4 in up its sides, but its top begins at 1 1/4 in. "
        "Make the beam 2 1/2 in deep or more."
    )
    check_cleats(beam._replace(section=Section(Fr(8), Fr(5, 2))), Fr(3, 4))


def test_the_cut_list_and_the_rip_say_so_and_give_no_cleat(record, now) -> None:
    new(record, now, "usual", section=Section(Fr(4), Fr(10)))
    record.make(change_rules(record, {"cleat": "3/2"}, now))
    values = cut_list("hill", record).values["beams"][2]["pieces"]
    cleats = next(one for one in values if one["piece"] == "cleats")
    assert cleats["marks"] is None
    assert cleats["doubts"] == [told(record.beam("3"))]
    [group] = batch_settings(record, "rip-cleats", (Spot("3", "cleats"),)).groups
    assert (group.setting, group.why) == ((), cleats["doubts"][0])
