"""How a side is cut to its scribe line (the rule is common practice, no source)."""

from fractions import Fraction as Fr

import pytest

from crewdesk.trade.cuts.shop_machine import bend, way_to_cut


def test_a_line_bends_by_what_it_leaves_its_chord() -> None:
    # On a chord from 0 to 4 over 8 the middle is at 2 (Euclid, Elements, VI 2).
    assert bend([(Fr(0), Fr(0)), (Fr(4), Fr(9, 4)), (Fr(8), Fr(4))]) == Fr(1, 4)
    assert bend([(Fr(0), Fr(0)), (Fr(2), Fr(1)), (Fr(8), Fr(4))]) == 0


@pytest.mark.parametrize(
    ("length", "deepest", "bent", "way", "why"),
    [
        (Fr(90), Fr(1, 8), Fr(1), "plane", "shallow"),
        (Fr(90), Fr(1, 2), Fr(1, 32), "table saw", "straight and short"),
        (Fr(97), Fr(1, 2), Fr(1, 32), "track saw", "straight and long"),
        (None, Fr(1, 2), Fr(0), "track saw", "straight and long"),
        (Fr(90), Fr(1, 2), Fr(1, 16), "circular saw", "bent"),
        (None, None, None, "circular saw", "not known"),
    ],
)
def test_the_rule(length, deepest, bent, way, why) -> None:
    assert way_to_cut(length, deepest, bent) == (way, why)
