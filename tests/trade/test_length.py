"""Lengths: read as written, exact inside, and honest about what rounding hides."""

from decimal import Decimal
from fractions import Fraction as Fr
from functools import cache
from typing import TYPE_CHECKING

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.length import (
    HIDDEN_AT_MOST,
    MM_PER_INCH,
    STEPS,
    exact_text,
    feet_and_inches,
    mixed,
    nearest,
    rounded_up,
    show_length,
    to_type,
)
from crewdesk.trade.read_length import LONGEST, read_length, read_off, with_its_unit

if TYPE_CHECKING:
    import pint

UNITS = ("in", "mm")


def refused(text: str, *, unit: str = "in") -> BadInput:
    with pytest.raises(BadInput) as caught:
        read_length(text, unit=unit)
    return caught.value


def read_or_refused(text: str, unit: str = "in") -> Fr | BadInput:
    try:
        return read_length(text, unit=unit)
    except BadInput as refusal:
        return refusal


# Against the outside


def test_inch_is_exactly_25_4_mm() -> None:
    # NIST SP 811, appendix B.8: 1 inch = 2.54 E-02 m, 1 foot = 3.048 E-01 m, 1 yard =
    # 9.144 E-01 m, all in bold, that is exact (from memory; the yard of 0.9144 m also stands
    # in the addendum to NBS Circular 572, 1959).
    assert read_length('1"') == read_length("25.4 mm") == read_length("2.54 cm") == 1
    assert read_length("1 ft") == read_length("304.8mm") == read_length("0.3048 m")
    assert read_length("3 ft") == read_length("0.9144 m") == 36
    assert Fr("25.4") == MM_PER_INCH


# Decimal equivalents of fractions of an inch, table LXIII of "Principles and Practice of
# Plumbing"; to the millimetre as in any chart of 64ths (21/64 = 8.3344 mm).
TABLE_LXIII = """
    1/64 .015625  3/64 .046875  5/64 .078125  7/64 .109375  9/64 .140625  11/64 .171875
    13/64 .203125  15/64 .234375  17/64 .265625  19/64 .296875  21/64 .328125  23/64 .359375
    25/64 .390625  27/64 .421875  29/64 .453125  31/64 .484375  33/64 .515625  37/64 .578125
    39/64 .609375  41/64 .640625  43/64 .671875  45/64 .703125  47/64 .734375  49/64 .765625
    51/64 .796875  53/64 .828125  55/64 .859375  57/64 .890625  59/64 .921875  61/64 .953125
    63/64 .984375  1/32 .03125  3/32 .09375  5/32 .15625  7/32 .21875  9/32 .28125
    11/32 .34375  13/32 .40625  15/32 .46875  17/32 .53125  19/32 .59375  21/32 .65625
    23/32 .71875  25/32 .78125  27/32 .84375  29/32 .90625  31/32 .96875  1/16 .0625
    5/16 .3125  7/16 .4375  9/16 .5625  11/16 .6875  13/16 .8125  15/16 .9375  1/8 .125
    3/8 .375  5/8 .625  7/8 .875  1/4 .250  3/4 .750  1/2 .500
"""
SIXTY_FOURTHS = TABLE_LXIII.split()


@pytest.mark.parametrize(
    ("fraction", "number"), list(zip(SIXTY_FOURTHS[::2], SIXTY_FOURTHS[1::2], strict=True))
)
def test_decimal_equivalents(fraction: str, number: str) -> None:
    assert read_length(fraction) == read_length(number)
    assert show_length(read_length(number), STEPS["1/64"]) == fraction


@pytest.mark.parametrize(
    ("fraction", "mm"),
    # A published chart of 64ths in millimetres to four decimals.
    [("1/64", "0.3969"), ("21/64", "8.3344"), ("33/64", "13.0969"), ("63/64", "25.0031")],
)
def test_millimetres_of_64ths(fraction: str, mm: str) -> None:
    assert abs(read_length(fraction) - read_length(f"{mm} mm")) <= Fr("0.00005") / MM_PER_INCH


@cache
def quantities() -> "pint.UnitRegistry[Fr]":
    """Pint's units, exact; they take a while to read and so are read by whom they serve."""
    import pint

    return pint.UnitRegistry(non_int_type=Fr)


@given(
    st.decimals(0, 9999, places=4, allow_nan=False),
    st.sampled_from(
        [("mm", "mm"), ("cm", "cm"), ("m", "m"), ("ft", "foot"), ("in", "inch"), ('"', "inch")]
    ),
)
def test_conversions_agree_with_pint(number: Decimal, unit: tuple[str, str]) -> None:
    ours, theirs = unit
    if (Fr(number) * quantities()(theirs).to("inch").magnitude) > LONGEST:
        return
    want = quantities().Quantity(Fr(number), theirs).to("inch").magnitude
    assert read_length(f"{number:f} {ours}") == want


# Reading


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12' 3-5/16\"", Fr("147.3125")),
        ("12 3 5/16", Fr("147.3125")),
        ("12-3-5/16", Fr("147.3125")),
        ("12'-3 5/16", Fr("147.3125")),
        ("12 ft 3 in", Fr(147)),
        ("12 feet 3.25 inches", Fr("147.25")),
        ("12ft. 3in.", Fr(147)),
        ("147-5/16", Fr("147.3125")),
        ("147 5/16", Fr("147.3125")),
        ("147.3125", Fr("147.3125")),
        ("147.", Fr(147)),
        (".5", Fr(1, 2)),
        ("5/16", Fr(5, 16)),
        ("0", Fr(0)),
        ("12\u2019 3\u20135\u204416\u201d", Fr("147.3125")),
        ("12\u2032 3\u00bd\u2033", Fr("147.5")),
        ("3\u215d", Fr("3.625")),
        ("12''", Fr(12)),
        ("3738 mm", Fr(3738) * 5 / 127),
        ("147+5/16", Fr("147.3125")),
        ("12+3+5/16", Fr("147.3125")),
        ("147--5//16", Fr("147.3125")),
        ("5\\16", Fr(5, 16)),
        ("587/4", Fr("146.75")),
        (" 5 \u00a0FT ", Fr(60)),
    ],
)
def test_forms_that_are_read(text: str, inches: Fr) -> None:
    assert read_length(text) == inches


def test_a_bare_number_is_in_the_unit_asked_for() -> None:
    assert read_length("254", unit="mm") == 10
    assert read_length('10"', unit="mm") == 10
    assert read_length("5/16", unit="mm") == Fr(5, 16)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "Type a length, for example 12'"),
        (" \t ", "Type a length, for example 12'"),
        ("-3", "is below zero. Type a length of zero or more"),
        ("\u22123/4", "is below zero. Type a length of zero or more"),
        ("3 5/0", "has a zero under its fraction. Type it like"),
        ("0/0", "has a zero under its fraction. Type it like"),
        ("9" * 65, "characters, and this text has more"),
        ("1000001", "is longer than any board; the limit is"),
        ("999999999'", "is longer than any board; the limit is"),
        ("999999999' 14\"", "is longer than any board; the limit is"),
        ("999999999 9/8", "is longer than any board; the limit is"),
        ("twelve", "isn't a length. Type it like 12' 3-5/16\""),
        ("1/2/3", "isn't a length. Type it like 12' 3-5/16\""),
        ("1e5", "isn't a length. Type it like 12' 3-5/16\""),
        ("nan", "isn't a length. Type it like 12' 3-5/16\""),
        ("3\n4", "isn't a length. Type it like 12' 3-5/16\""),
        ("1,2,3,4", "isn't a length. Type it like 12' 3-5/16\""),
    ],
)
def test_forms_that_are_refused(text: str, why: str) -> None:
    assert why in str(refused(text))


@pytest.mark.parametrize("text", ["171 5/166", "3/1", "71 1/43", "12' 3-5/6\"", "7/128", "1/3"])
def test_a_fraction_that_no_rule_shows_is_a_slip_of_the_finger(text: str) -> None:
    assert read_length(text) > 0
    with pytest.raises(BadInput) as caught:
        read_off(text)
    assert "under its fraction, which rulers don't show." in str(caught.value)


def test_what_a_rule_shows_is_read_off_as_it_is_typed() -> None:
    for text in ("171 5/16", "1/2", "12' 3 63/64", "5/10", "7/100", "3738 mm", "147", "147.3125"):
        assert read_off(text) == read_length(text)
    # 3738 mm is 3738 / 25.4 in (NIST SP 811, appendix B), 147 21/127 in.
    assert read_off("147 21/127") == read_length("3738 mm")


def test_a_length_says_its_unit_where_it_would_be_taken_for_another() -> None:
    inch, mm = STEPS["1/32"], STEPS["mm"]
    assert with_its_unit("24", "in", inch) == "24"
    assert with_its_unit("24", "in", mm) == "24 in"
    assert with_its_unit("600", "mm", inch) == "600 mm"
    assert with_its_unit("2'", "in", mm) == "2'"
    assert with_its_unit("long", "in", mm) == "long"
    # 24 in x 25.4 (NIST SP 811, appendix B).
    assert to_type(Fr(24), mm) == "609.6 mm"
    assert to_type(Fr(1, 3), mm) == "1/3 in"


@pytest.mark.parametrize(
    ("text", "unit", "readings"),
    [
        ("12 3", "in", ("12' 3\"", '12.3"')),
        ("5 16", "in", ('5/16"', '5.16"')),
        ("5 8", "in", ("5' 8\"", '5/8"', '5.8"')),
        ("147 90", "in", ('147.90"', '14790"')),
        ("3 738", "mm", ("3.738 mm", "3738 mm")),
        ("12' 3 5", "in", ("12' 3-5/8", "12' 3-5/16")),
        ("12' 5 16", "in", ("12' 5/16\"",)),
        ("12 3 5", "in", ("12' 3-5/8", "12' 3-5/16")),
        ("12' 14\"", "in", ("13' 2\"",)),
        ("12 14 1/2", "in", ("13' 2 1/2\"",)),
        ("12' 13,5", "in", ("13' 1 1/2\"",)),
        ("1.5' 3", "in", ("1' 9\"",)),
        ("3 9/8", "in", ("4 1/8",)),
        ("12' 3 9/8", "in", ("12' 4 1/8\"",)),
        ("12 3 9/8", "in", ("12' 4 1/8\"",)),
        ("3,5", "in", ("3.5", "3' 5\"")),
        ("1,234", "in", ("1.234", "1234")),
        ("1,234 mm", "in", ("1.234mm", "1234mm")),
    ],
)
def test_a_doubtful_length_is_asked_back(text: str, unit: str, readings: tuple[str, ...]) -> None:
    refusal = refused(text, unit=unit)
    assert "can be read in more than one way. Type" in str(refusal)
    assert refusal.facts["readings"] == readings


PIECES = st.sampled_from(
    [
        "12",
        "3",
        "5",
        "16",
        "13",
        "0",
        "1",
        "234",
        "123456789",
        "9/8",
        "\u0663",
        "\u00bd",
        ".",
        "/",
        "'",
        '"',
        " ",
        "-",
        ",",
        "ft",
        "in",
        "mm",
        "cm",
        "m",
        "\u2032",
        "x",
        "\n",
    ]
)


@settings(deadline=None, max_examples=300)
@given(st.lists(PIECES, max_size=9).map("".join), st.sampled_from(UNITS))
@example("123456789 123456789", "in")
@example("1ft16,11316", "in")
@example("1.123456789012' 3", "in")
def test_near_lengths_are_read_or_refused_with_readings_that_are_accepted(
    text: str, unit: str
) -> None:
    outcome = read_or_refused(text, unit)
    if isinstance(outcome, Fr):
        assert 0 <= outcome <= LONGEST
    elif "can be read in more than one way. Type" in str(outcome):
        readings = outcome.facts["readings"]
        assert isinstance(readings, tuple)
        assert readings
        for reading in readings:
            assert 0 <= read_length(reading, unit=unit) <= LONGEST


@given(st.text(max_size=80))
def test_any_text_at_all_is_read_or_refused(text: str) -> None:
    outcome = read_or_refused(text)
    assert isinstance(outcome, BadInput) or 0 <= outcome <= LONGEST


# Showing

FRACTIONS = st.fractions(0, 5000, max_denominator=4096)
STEP = st.sampled_from(list(STEPS.values()))


@given(st.integers(0, 64 * 5000), st.sampled_from(["1/16", "1/32", "1/64"]), st.booleans())
def test_what_is_shown_reads_back(steps: int, name: str, feet: bool) -> None:
    value = steps * STEPS[name].size
    assert read_length(show_length(value, STEPS[name], feet=feet)) == value


@given(st.integers(0, 100_000))
def test_millimetres_shown_read_back(mm: int) -> None:
    value = Fr(mm) / MM_PER_INCH
    assert show_length(value, STEPS["mm"]) == f"{mm} mm"
    assert read_length(show_length(value, STEPS["mm"])) == value


@given(FRACTIONS)
def test_exact_forms_read_back(value: Fr) -> None:
    assert read_length(mixed(value)) == value
    assert read_length(feet_and_inches(value)) == value
    assert Fr(exact_text(value)) == value


@given(FRACTIONS, STEP, st.booleans())
@example(Fr(1, 64), STEPS["1/32"], False)
@example(Fr(1, 128), STEPS["1/64"], False)
def test_marks_stand_exactly_where_rounding_hides_more_than_a_128th(
    value: Fr, step: object, feet: bool
) -> None:
    text = show_length(value, step, feet=feet)  # type: ignore[arg-type]
    bare = text.replace("+", "").removesuffix(" mm").rstrip("-")
    shown = read_length(bare + (" mm" if text.endswith("mm") else ""))
    hidden = value - shown
    assert abs(hidden) <= step.size / 2  # type: ignore[attr-defined]
    assert ("+" in text) == (hidden > Fr(1, 128))
    assert text.removesuffix(" mm").endswith("-") == (hidden < -Fr(1, 128))
    assert Fr(1, 128) == HIDDEN_AT_MOST


@pytest.mark.parametrize(
    ("value", "step", "shown"),
    [
        ("146.75", "1/32", "146 3/4"),
        ("1/64", "1/32", "1/32-"),  # a tie goes away from zero
        ("3/64", "1/32", "1/16-"),
        ("0.26", "1/16", "1/4+"),
        ("0.2576", "1/32", "1/4"),  # hides 0.0076 in, just under 1/128 = 0.0078125
        ("0.2579", "1/32", "1/4+"),
        ("0.2421", "1/32", "1/4-"),
        ("0.999", "1/16", "1"),
        ("0.99", "1/16", "1-"),
    ],
)
def test_shown_values(value: str, step: str, shown: str) -> None:
    assert show_length(Fr(value), STEPS[step]) == shown


@given(st.fractions(-5000, 5000, max_denominator=4096), STEP)
def test_nearest_is_odd_and_rounded_up_never_short(value: Fr, step: object) -> None:
    size = step.size  # type: ignore[attr-defined]
    assert nearest(-value, size) == -nearest(value, size)
    up = rounded_up(value, size)
    assert 0 <= up - value < size
    assert (up / size).denominator == 1


@given(FRACTIONS, st.integers(1, 12))
def test_twelve_times_the_inches_is_as_many_feet(value: Fr, factor: int) -> None:
    scaled = value * factor
    assert read_length(mixed(scaled)) == factor * read_length(mixed(value))


def test_a_float_is_shown_with_what_it_holds() -> None:
    assert exact_text(2**0.5) == "1.414213562373"  # the root of 2, any table
    assert show_length(2**0.5) == "1 13/32+"  # 1.40625
    assert exact_text(Fr(587, 4)) == "587/4"


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("1475/16", ("147-5/16", "92 3/16")),
        ("19/16", ("1-9/16", "1 3/16")),
        ("12' 19/16", ("12' 1-9/16", "12' 1 3/16\"")),
        ("147 5 16", ('147-5/16"', "147' 5-16/32", "147' 5-16/64")),
        ("147.5/16", ("147 5/16",)),
        ("12.3.5/16", ("12 3 5/16",)),
        ("12,3 5/16", ("12 3 5/16",)),
        ("12;3", ("12' 3\"", '12.3"')),
        ("12' 3'", ("12' 3\"",)),
    ],
)
def test_what_a_gloved_hand_types_is_offered_in_the_ways_it_can_be_meant(
    text: str, readings: tuple[str, ...]
) -> None:
    assert refused(text).facts["readings"] == readings
    assert len({read_length(one) for one in readings}) == len(readings)
