"""Instruments' own errors, as makers print them."""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, read_own


@pytest.mark.parametrize(
    ("name", "text", "own"),
    [
        ("laser", "1/16", Fr(1, 16)),
        ("laser", "1.5 mm", Fr("1.5") / Fr("25.4")),  # 25.4 mm to the inch (NIST SP 811)
        ("tape", '1/32"', Fr(1, 32)),
        ("level", "0.0005", Fr(1, 2000)),
        ("level", ".0005 in/in", Fr(1, 2000)),
        ("level", "0.0005 in per in", Fr(1, 2000)),
        ("square", "0.5 mm/m", Fr(1, 2000)),
        ("square", "1/2000", Fr(1, 2000)),
        ("line_laser", "1/8 at 30'", Fr(1, 8) / 360),
        ("line_laser", '1/8" @ 30 ft', Fr(1, 8) / 360),
        ("line_laser", "3 mm at 10 m", Fr(3, 10000)),
    ],
)
def test_own_errors_as_they_are_printed(name: str, text: str, own: Fr) -> None:
    assert read_own(name, text) == own
    assert getattr(USUAL_INSTRUMENTS.with_own({name: text}), name).own == own


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("laser", "0"),
        ("laser", "2"),
        ("laser", ""),
        ("level", ""),
        ("level", "."),
        ("level", "1/00"),
        ("level", "1/0"),
        ("level", "1/8"),
        ("level", "0"),
        ("line_laser", "1/8 at 0"),
        ("line_laser", "30' at 1/8"),
        ("square", "exact"),
        ("plumb bob", "1/16"),
    ],
)
def test_what_is_no_error_of_an_instrument(name: str, text: str) -> None:
    with pytest.raises(BadInput):
        read_own(name, text)


def test_a_refused_error_names_its_field() -> None:
    with pytest.raises(BadInput) as told:
        read_own("line_laser", "straight")
    assert told.value.field == "line_laser"
    assert "1/8 at 30'" in str(told.value)


def test_heights_over_the_laser_line_are_read_to_the_laser_s_step() -> None:
    read = USUAL_INSTRUMENTS.with_steps({"laser": Fr(1, 8), "level": Fr(1, 64)})
    assert (read.laser.step, read.line_laser.step, read.level.step) == (
        Fr(1, 8),
        Fr(1, 8),
        Fr(1, 64),
    )
    assert read.tape == USUAL_INSTRUMENTS.tape
