"""Lengths as a carpenter writes them, exact inside, rounded only when shown.

A length is a `fractions.Fraction` of an inch. A length that a tangent made
irrational is a `float` of inches instead, good to about 15 digits; the type
says which of the two one holds. One inch is exactly 25.4 mm (NIST SP 811,
appendix B; the yard is exactly 0.9144 m).
"""

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import gcd
from typing import NamedTuple, TypeAlias

from crewdesk.trade.refusal import Refusal

Length: TypeAlias = Fraction | float

MM_PER_INCH = Fraction(254, 10)
INCHES_PER_FOOT = 12
SIXTEENTH = Fraction(1, 16)
THIRTY_SECOND = Fraction(1, 32)
SIXTY_FOURTH = Fraction(1, 64)
HIDDEN_AT_MOST = Fraction(1, 128)
"""Rounding that hides more than this is told with a `+` or a `-`."""
LONGEST = Fraction(1_000_000)
"""A length over this many inches (about 16 miles) is taken for a slip of the finger."""
LONGEST_TEXT = 64

_METRIC = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}
_WORDS = {
    "feet": "'",
    "foot": "'",
    "ft.": "'",
    "ft": "'",
    "inches": '"',
    "inch": '"',
    "in.": '"',
    "in": '"',
    "millimetres": "mm",
    "millimeters": "mm",
    "centimetres": "cm",
    "centimeters": "cm",
    "metres": "m",
    "meters": "m",
}
_SIGNS = str.maketrans(
    {
        "\u2019": "'",
        "\u2018": "'",
        "\u2032": "'",
        "\u02b9": "'",
        "\u00b4": "'",
        "`": "'",
        "\u201d": '"',
        "\u201c": '"',
        "\u2033": '"',
        "\u02ba": '"',
        "\\": "/",
        "\u2044": "/",
        "\u2215": "/",
        "\u2010": "-",
        "\u2011": "-",
        "\u2012": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2212": "-",
        "\u00a0": " ",
        "\u202f": " ",
        "\u2009": " ",
        "\t": " ",
    }
)
_VULGAR = {
    "\u00bc": "1/4",
    "\u00bd": "1/2",
    "\u00be": "3/4",
    "\u2153": "1/3",
    "\u2154": "2/3",
    "\u215b": "1/8",
    "\u215c": "3/8",
    "\u215d": "5/8",
    "\u215e": "7/8",
}

_INT = r"\d{1,9}"
_NUM = r"(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})"
_GAP = r"(?: *[-+]+ *| +)"
_FRACTION = rf"({_INT}) ?/ ?({_INT})"

# Python makes each of these ready when it is first asked for, and keeps it.
_METRIC_FORM = rf"({_NUM}) ?(mm|cm|m)"
_FEET_FORM = rf"({_NUM}) ?'(?: *-? *(.+))?"
_INCH_FORM = rf"(?:({_INT}){_GAP})?{_FRACTION} ?\"?|({_NUM}) ?\"?"
_THREE_FORM = rf"({_INT}){_GAP}({_INT}){_GAP}{_FRACTION} ?\"?"
_TWO_BARE = rf"({_INT}){_GAP}({_INT}) ?(\"?)"
_THREE_BARE = rf"({_INT}){_GAP}({_INT}){_GAP}({_INT}) ?\"?"
_RULES = (8, 16, 32, 64)
"""Divisions of an inch on a carpenter's rule."""
_DIVIDED = frozenset((2, 4, *_RULES, 10, 100))
"""Divisions of an inch on any rule (common practice, no source)."""

_COMMA = rf"({_INT}),({_INT}) ?(mm|cm|m|'|\")?"


def read_length(text: str, *, unit: str = "in") -> Fraction:
    """Read one length as people write it; the result is exact inches.

    Accepted: ``12' 3-5/16"``, ``12 3 5/16`` (feet, inches, fraction),
    ``147-5/16``, ``147+5/16``, ``147.3125``, ``5/16``, ``12 ft 3 in``, ``3738 mm``;
    typographic quotes, dashes and fractions are taken for what they stand for, and so is
    a stroke that was hit twice or the wrong way round. A bare number is in `unit`, "in"
    or "mm".

    Raises `Refusal`: `length-empty`, `length-too-long`, `length-negative`,
    `length-ambiguous` (with `readings`, each of which would be accepted),
    `length-zero-denominator`, `length-too-large`, `length-unread`.
    """
    if len(text) > LONGEST_TEXT:
        raise Refusal("length-too-long", text=text[:20], limit=LONGEST_TEXT)
    plain = _plain(text)
    if not plain:
        raise Refusal("length-empty")
    if plain.startswith("-"):
        raise Refusal("length-negative", text=text.strip())
    return _believed(_read_plain(plain, text.strip(), unit), text.strip())


def read_off(text: str, *, unit: str = "in") -> Fraction:
    """`read_length` of what was read off a rule: its fraction is one that a rule is divided
    into, for ``5/166`` is a key hit twice. What a length in millimetres comes to in inches,
    in 127ths, passes.

    Raises `Refusal` as `read_length` does, and `length-off-the-rule`.
    """
    value = read_length(text, unit=unit)
    for bottom in map(int, re.findall(r"/ ?(\d+)", _plain(text))):
        if bottom not in _DIVIDED and bottom % 127:
            raise Refusal("length-off-the-rule", text=text.strip(), bottom=bottom)
    return value


def _believed(value: Fraction, given: str) -> Fraction:
    if value > LONGEST:
        raise Refusal("length-too-large", text=given, limit=LONGEST)
    return value


def _plain(text: str) -> str:
    """`text` in ASCII marks: ' for feet, \" for inches, single spaces."""
    out = text.translate(_SIGNS)
    for sign, fraction in _VULGAR.items():
        out = out.replace(sign, f" {fraction}")
    out = re.sub(r"[a-z.]+", lambda m: _WORDS.get(m[0], m[0]), out.lower())
    out = out.replace("''", '"').replace("//", "/")
    return re.sub(r" +", " ", out).strip()


def _read_plain(plain: str, given: str, unit: str) -> Fraction:
    if m := re.fullmatch(_METRIC_FORM, plain):
        return Fraction(_dotted(m[1])) * _METRIC[m[2]] / MM_PER_INCH
    if m := re.fullmatch(_FEET_FORM, plain):
        return _read_feet(m[1], m[2], given, unit)
    if m := re.fullmatch(_INCH_FORM, plain):
        inches, odd = _inches(m, given)
        if odd:
            told = (*_run_together(m), mixed(_believed(inches, given)))
            raise _ambiguous(given, told, unit)
        bare = '"' not in plain and m[2] is None
        return inches / MM_PER_INCH if bare and unit == "mm" else inches
    if m := re.fullmatch(_THREE_FORM, plain):
        return _read_feet(m[1], f"{m[2]} {m[3]}/{m[4]}", given, unit)
    raise _not_read(plain, given, unit)


def _read_feet(feet: str, rest: str | None, given: str, unit: str) -> Fraction:
    whole = Fraction(_dotted(feet)) * INCHES_PER_FOOT
    if rest is None:
        return whole
    m = re.fullmatch(_INCH_FORM, rest)
    if m is None:
        raise _not_read(rest, given, unit, feet=feet)
    inches, odd = _inches(m, given)
    total = _believed(whole + inches, given)
    if odd or "." in feet or inches >= INCHES_PER_FOOT:
        apart = (f"{feet}' {one}" for one in _run_together(m))
        raise _ambiguous(given, (*apart, feet_and_inches(total)), unit)
    return total


def _inches(m: re.Match[str], given: str) -> tuple[Fraction, bool]:
    """The inches of an `_INCH_FORM`, and whether a whole number stood by a part of 1 or more,
    or may have run together with a part below 1: ``1475/16``."""
    whole, top, bottom, number = m.groups()
    if number is not None:
        return Fraction(_dotted(number)), False
    if int(bottom) == 0:
        raise Refusal("length-zero-denominator", text=given)
    part = Fraction(int(top), int(bottom))
    if whole is None:
        return part, bool(_run_together(m))
    return int(whole) + part, part >= 1


def _run_together(m: re.Match[str]) -> list[str]:
    """The ways to take an `_INCH_FORM` of 1 or more for a whole and a part without a gap."""
    whole, top, bottom, _ = m.groups()
    if whole is not None or top is None or int(top) < int(bottom):
        return []
    return [
        f"{top[:cut]}-{top[cut:]}/{bottom}"
        for cut in range(1, len(top))
        if top[cut] != "0" and int(top[cut:]) < int(bottom)
    ]


def _dotted(number: str) -> str:
    return f"0{number}" if number.startswith(".") else number.rstrip(".")


def _ambiguous(given: str, candidates: tuple[str, ...], unit: str) -> Refusal:
    """The refusal that offers those `candidates` which would themselves be accepted."""
    readings: dict[str, None] = {}
    why = "length-unread"
    for candidate in candidates:
        try:
            read_length(candidate, unit=unit)
            readings[candidate] = None
        except Refusal as refusal:
            if refusal.why == "length-ambiguous":
                readings |= dict.fromkeys(refusal.facts["readings"])  # type: ignore[call-overload]
            elif refusal.why == "length-too-large":
                why = refusal.why
    if readings:
        return Refusal("length-ambiguous", text=given, readings=tuple(readings))
    return Refusal(why, text=given, limit=LONGEST)


def _not_read(plain: str, given: str, unit: str, feet: str | None = None) -> Refusal:
    """The refusal for a text of no accepted form, with what may have been meant."""
    return _ambiguous(given, tuple(_meant(plain, unit, feet)), unit)


def _meant(plain: str, unit: str, feet: str | None) -> Iterator[str]:
    ahead = f"{feet}' " if feet else ""
    if m := re.fullmatch(_TWO_BARE, plain):
        first, second = int(m[1]), int(m[2])
        mark = " mm" if unit == "mm" and not m[3] and not feet else '"'
        rule = mark == '"' and second in _RULES and 0 < first < second
        if second < INCHES_PER_FOOT and not feet:
            yield f"{m[1]}' {m[2]}\""
        if rule:
            yield f'{ahead}{m[1]}/{m[2]}"'
        if feet and not rule and first < INCHES_PER_FOOT:
            yield from _over_a_rule(f"{ahead}{m[1]}-{m[2]}", second)
        if not feet:
            yield f"{m[1]}.{m[2]}{mark}"
            if second >= INCHES_PER_FOOT and not rule:
                yield f"{m[1]}{m[2]}{mark}"
    elif m := re.fullmatch(_THREE_BARE, plain):
        if not feet and int(m[3]) in _RULES and 0 < int(m[2]) < int(m[3]):
            yield f'{m[1]}-{m[2]}/{m[3]}"'
        if not feet and int(m[2]) < INCHES_PER_FOOT:
            yield from _over_a_rule(f"{m[1]}' {m[2]}-{m[3]}", int(m[3]))
    elif m := re.fullmatch(_COMMA, plain):
        mark = m[3] or ""
        yield f"{ahead}{m[1]}.{m[2]}{mark}"
        if len(m[2]) == 3:
            yield f"{ahead}{m[1]}{m[2]}{mark}"
        elif not mark and not feet and int(m[2]) < INCHES_PER_FOOT:
            yield f"{m[1]}' {m[2]}\""
    elif re.search(r"[.,;]", plain):
        yield ahead + re.sub(r" *[.,;] *", " ", plain)
    elif plain.endswith("'"):
        yield f'{ahead}{plain[:-1]}"'


def _over_a_rule(ahead: str, top: int) -> list[str]:
    """`ahead` over the two coarsest divisions of a rule that leave a part below 1."""
    return [f"{ahead}/{bottom}" for bottom in _RULES if 0 < top < bottom][:2]


class Step(NamedTuple):
    """What lengths are shown to: `size` in inches, `mm` where shown in millimetres."""

    name: str
    size: Fraction
    mm: bool = False


STEPS = {
    step.name: step
    for step in (
        Step("1/16", SIXTEENTH),
        Step("1/32", THIRTY_SECOND),
        Step("1/64", SIXTY_FOURTH),
        Step("mm", 1 / MM_PER_INCH, mm=True),
    )
}
DEFAULT_STEP = STEPS["1/32"]


def exact(value: Length) -> Fraction:
    """`value` as a fraction; a float is taken for exactly the number it holds."""
    return value if isinstance(value, Fraction) else Fraction(value)


def nearest(value: Length, step: Fraction) -> Fraction:
    """`value` rounded to the nearest multiple of `step` inches, a tie away from zero."""
    return _steps(exact(value), step) * step


def _steps(value: Fraction, step: Fraction) -> int:
    """How many steps `nearest` gives."""
    top = 2 * abs(value.numerator) * step.denominator
    bottom = value.denominator * step.numerator
    steps = (top + bottom) // (2 * bottom)
    return steps if value >= 0 else -steps


def rounded_up(value: Length, step: Fraction) -> Fraction:
    """The least multiple of `step` inches that is not below `value`."""
    return -(-exact(value) // step) * step


def rounded_down(value: Length, step: Fraction) -> Fraction:
    """The greatest multiple of `step` inches that is not above `value`."""
    return exact(value) // step * step


def show_at_most(value: Length, step: Step = DEFAULT_STEP) -> str:
    """`value` rounded down to the step, for what must never be cut over; a `+` as ever."""
    shown = rounded_down(value, step.size)
    mark = "+" if exact(value) - shown > HIDDEN_AT_MOST else ""
    return f"{shown / step.size}{mark} mm" if step.mm else f"{mixed(shown)}{mark}"


def mixed(value: Fraction) -> str:
    """Inches as a whole number and a fraction: ``146 3/4``, ``-5/32``, ``0``."""
    return _mixed(value.numerator, value.denominator)


def _mixed(top: int, bottom: int) -> str:
    sign = "-" if top < 0 else ""
    whole, rest = divmod(abs(top), bottom)
    if rest == 0:
        return f"{sign}{whole}"
    common = gcd(rest, bottom)
    part = f"{rest // common}/{bottom // common}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def to_type(value: Fraction, step: Step) -> str:
    """An exact length as one could type it where lengths are shown to `step`: the unit goes
    with it where a bare number would be taken for millimetres; it is millimetres where three
    decimals of them tell it."""
    if not step.mm:
        return mixed(value)
    thousandths = value * MM_PER_INCH * 1000
    if thousandths.denominator > 1:
        return f"{mixed(value)} in"
    return f"{Decimal(thousandths.numerator) / 1000:f} mm"


def with_its_unit(text: str, unit: str, step: Step) -> str:
    """A length typed where a bare number is in `unit`, "in" or "mm", so that it says the same
    where lengths are shown to `step`; what can't be read stays as it is."""
    if unit == ("mm" if step.mm else "in"):
        return text
    try:
        bare = read_length(text, unit="in") != read_length(text, unit="mm")
    except Refusal:
        return text
    return f"{text} {unit}" if bare else text


def feet_and_inches(value: Fraction) -> str:
    """``12' 3 5/16"``; below one foot ``3 5/16"``."""
    sign = "-" if value < 0 else ""
    feet, inches = divmod(abs(value), INCHES_PER_FOOT)
    return f"{sign}{feet}' {mixed(inches)}\"" if feet else f'{sign}{mixed(inches)}"'


def show_length(value: Length, step: Step = DEFAULT_STEP, *, feet: bool = False) -> str:
    """`value` inches as shown: rounded to the nearest step, a tie away from zero.

    A `+` behind it says that the true length is longer than shown, a `-` that it
    is shorter, wherever rounding hid more than 1/128 in.
    """
    whole, size = exact(value), step.size
    steps = _steps(whole, size)
    # What rounding hid is over / under inches; whole numbers, for every length shown asks it.
    under = whole.denominator * size.denominator
    over = whole.numerator * size.denominator - steps * size.numerator * whole.denominator
    much = abs(over) * HIDDEN_AT_MOST.denominator > under * HIDDEN_AT_MOST.numerator
    mark = ("+" if over > 0 else "-") if much else ""
    if step.mm:
        return f"{steps}{mark} mm"
    if feet:
        return feet_and_inches(steps * size) + mark
    return _mixed(steps * size.numerator, size.denominator) + mark


def exact_text(value: Length) -> str:
    """`value` without loss: ``587/4``; an irrational one with 12 decimals."""
    return str(value) if isinstance(value, Fraction) else f"{value:.12f}"
