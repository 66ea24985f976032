"""Cleats narrower than the relief of a level bottom meet the relief, not the flat back.

The figures are found here from the bottom's outline alone, with no formula of crewdesk's.
"""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.cuts.cleats import check_cleats, cleats_of
from crewdesk.job.cuts.marks import marks
from crewdesk.trade.cuts.section import Section
from tests.job.test_type_of_beam import new

SPOTS = 4000


def top_over(section: Section, reach: float) -> float:
    """The highest point of the bottom's edge within `reach` of its side, over its show face, by
    going in from the side spot by spot: up the flat, then in along the blade's tilt to the
    back."""
    best, tilt = 0.0, math.radians(float(section.bevel))
    for spot in range(SPOTS + 1):
        up = float(section.bottom_thickness) * spot / SPOTS
        in_by = max(0.0, up - float(section.flat)) * math.tan(tilt)
        if float(section.fit) / 2 + in_by <= reach + 1e-9:
            best = up
    return best


@pytest.mark.parametrize(
    ("flat", "bevel", "fit", "cleat"),
    [
        (Fr(0), Fr(30), Fr(0), Fr(1, 2)),
        (Fr(0), Fr(15), Fr(0), Fr(1, 4)),
        (Fr(1, 8), Fr(15), Fr(0), Fr(3, 16)),
        (Fr(1, 8), Fr(15), Fr(1, 16), Fr(1, 4)),
        (Fr(1, 4), Fr(45), Fr(0), Fr(1, 2)),
        (Fr(0), Fr(30), Fr(0), Fr(3, 4)),
    ],
)
@pytest.mark.parametrize("form", ["usual", "box"])
def test_the_bottom_hangs_its_reveal_inside_on_any_cleat(
    record, now, form, flat, bevel, fit, cleat
) -> None:
    section = Section(Fr(8), Fr(10), bottom_thickness=Fr(1), flat=flat, bevel=bevel, fit=fit)
    beam = new(record, now, form, section=section)
    for one in cleats_of(beam, cleat):
        over = float(one.line) - top_over(section, float(cleat))
        assert over == pytest.approx(float(section.reveal), abs=2 / SPOTS)
    made = marks(beam, beam.piece("A"), projection=cleat)
    assert made.cleat_line == cleats_of(beam, cleat)[0].line


def test_the_usual_cleat_lies_on_the_flat_back_exactly(record, now) -> None:
    beam = new(record, now, "usual")
    assert {one.line for one in cleats_of(beam)} == {Fr(1)}


def test_one_cleat_on_the_relief_and_one_on_the_back_are_refused(record, now) -> None:
    section = Section(Fr(8), Fr(10), bottom_thickness=Fr(1), flat=Fr(0), bevel=Fr(30))
    beam = new(record, now, "wall", section=section)
    with pytest.raises(BadInput) as refused:
        check_cleats(beam, Fr(1, 2))
    # The relief is 1 in x tan 30 degrees: 0.577 in.
    assert "Make the cleats 19/32 in wide or more" in str(refused.value).replace("- in", " in")
    check_cleats(beam, Fr(5, 8))


def test_a_cleat_that_stops_short_of_the_bottom_is_refused(record, now) -> None:
    beam = new(record, now, "usual", section=Section(Fr(8), Fr(10), fit=Fr(1)))
    with pytest.raises(BadInput, match="doesn't reach over the bottom"):
        check_cleats(beam, Fr(1, 2))
