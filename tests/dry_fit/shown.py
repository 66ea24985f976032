"""Read a figure as it is shown: ``146 3/4``, ``212 5/32+``, ``-3/32``, ``5389- mm``, ``0.45°``."""

import re
from fractions import Fraction

MM = Fraction(10, 254)
_LENGTH = re.compile(
    r"(?P<sign>-?)(?:(?P<whole>\d+(?:\.\d+)?)(?![\d/.]))?\s?(?P<part>\d+/\d+)?[+-]?(?P<mm>\s?mm)?"
)


def shown_length(text: str) -> Fraction:
    """A shown length in inches; the `+` or `-` behind it is passed over, as at the bench.

    Raises `ValueError` where the text is no length.
    """
    found = _LENGTH.fullmatch(text.strip().removesuffix(" in"))
    if found is None or not (found["whole"] or found["part"]):
        raise ValueError(f"not a shown length: {text!r}")
    value = Fraction(found["whole"] or 0) + Fraction(found["part"] or 0)
    return (-value if found["sign"] else value) * (MM if found["mm"] else 1)


def length_of(value: dict[str, str] | None) -> float:
    """The shown figure of a length out of a cut list's JSON, in inches; 0 where there is none."""
    return 0.0 if value is None else float(shown_length(value["shown"]))


def degrees_of(value: float) -> float:
    """An angle as a user sees it, to a hundredth of a degree."""
    return round(value, 2)
