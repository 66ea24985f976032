"""Parse typed lengths exactly."""

import re
from collections.abc import Iterator
from fractions import Fraction

from crewdesk.errors import Ambiguous, BadInput, Unread
from crewdesk.length import INCHES_PER_FOOT, MM_PER_INCH, Step, feet_and_inches, mixed

LONGEST = Fraction(1_000_000)
"""The longest length, in inches (about 16 miles); a longer one is treated as a typo."""
LONGEST_TEXT = 64


class _TooLong(BadInput):
    """A length that no board can have."""

    def __init__(self, given: str) -> None:
        super().__init__(
            "{text} is longer than any board; the limit is {limit} in.", text=given, limit=LONGEST
        )


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

# Python compiles each of these at first use, and caches it.
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
    """Return one typed length in exact inches.

    Accepted: ``12' 3-5/16"``, ``12 3 5/16`` (feet, inches, fraction), ``147-5/16``, ``147+5/16``,
    ``147.3125``, ``5/16``, ``12 ft 3 in``, ``3738 mm``; also typographic quotes, dashes and
    fractions, and a mark typed twice or the wrong way round. A bare number is in `unit`, "in" or
    "mm".

    Raises `Unread`, `Ambiguous` (each of its `readings` would be accepted), and `BadInput` for a
    zero under a fraction or a length over `LONGEST`.
    """
    if len(text) > LONGEST_TEXT:
        raise BadInput(
            "A length has at most {limit} characters, and this text has more: {text}...",
            text=text[:20],
            limit=LONGEST_TEXT,
        )
    plain = _plain(text)
    if not plain:
        raise BadInput(
            "Type a length, for example 12' 3-5/16\", 12 3 5/16, 147-5/16, 147.3125, "
            "5/16 or 3738 mm."
        )
    if plain.startswith("-"):
        raise BadInput("{text} is below zero. Type a length of zero or more.", text=text.strip())
    return _believed(_read_plain(plain, text.strip(), unit), text.strip())


def read_off(text: str, *, unit: str = "in") -> Fraction:
    """Return `read_length` of a length read off a rule: its fraction must be on a rule, since
    ``5/166`` is a key hit twice. Millimeters in inches, in 127ths, pass.

    Raises `BadInput` as `read_length` does, and for a fraction that no rule has.
    """
    value = read_length(text, unit=unit)
    for bottom in map(int, re.findall(r"/ ?(\d+)", _plain(text))):
        if bottom not in _DIVIDED and bottom % 127:
            raise BadInput(
                "{text} has {bottom} under its fraction, which rulers don't show. Use "
                "2, 4, 8, 16, 32 or 64 there, or 10 or 100.",
                text=text.strip(),
                bottom=bottom,
            )
    return value


def _believed(value: Fraction, given: str) -> Fraction:
    if value > LONGEST:
        raise _TooLong(given)
    return value


def _plain(text: str) -> str:
    """Return `text` in ASCII marks: ' for feet, " for inches, single spaces."""
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
            text = (*_run_together(m), mixed(_believed(inches, given)))
            raise _ambiguous(given, text, unit)
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
    """Return the inches of an `_INCH_FORM`, and whether a whole number was beside a part of 1 or
    more, or may have run together with a part below 1: ``1475/16``."""
    whole, top, bottom, number = m.groups()
    if number is not None:
        return Fraction(_dotted(number)), False
    if int(bottom) == 0:
        raise BadInput("{text} has a zero under its fraction. Type it like 5/16.", text=given)
    part = Fraction(int(top), int(bottom))
    if whole is None:
        return part, bool(_run_together(m))
    return int(whole) + part, part >= 1


def _run_together(m: re.Match[str]) -> list[str]:
    """Return the ways to split an `_INCH_FORM` of 1 or more into a whole and a part without a
    gap."""
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


def _ambiguous(given: str, candidates: tuple[str, ...], unit: str) -> BadInput:
    """Return the error that offers those `candidates` that would be accepted."""
    readings: dict[str, None] = {}
    too_long: BadInput | None = None
    for candidate in candidates:
        try:
            read_length(candidate, unit=unit)
            readings[candidate] = None
        except Ambiguous as refusal:
            readings |= dict.fromkeys(refusal.readings)
        except _TooLong:
            too_long = _TooLong(given)
        except BadInput:
            continue
    if readings:
        return Ambiguous(given, tuple(readings))
    return too_long or Unread(
        "{text} isn't a length. Type it like 12' 3-5/16\", 12 3 5/16, 147-5/16, "
        "147.3125, 5/16 or 3738 mm.",
        text=given,
    )


def _not_read(plain: str, given: str, unit: str, feet: str | None = None) -> BadInput:
    """Return the error for a text of no accepted form, with likely meanings."""
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
    """Return `ahead` over the two coarsest divisions of a rule that leave a part below 1."""
    return [f"{ahead}/{bottom}" for bottom in _RULES if 0 < top < bottom][:2]


def with_its_unit(text: str, unit: str, step: Step) -> str:
    """Return a typed length with its unit, so that it means the same if lengths are shown to
    `step`; a bare number is in `unit`, "in" or "mm"; an invalid text is unchanged."""
    if unit == ("mm" if step.mm else "in"):
        return text
    try:
        bare = read_length(text, unit="in") != read_length(text, unit="mm")
    except BadInput:
        return text
    return f"{text} {unit}" if bare else text
