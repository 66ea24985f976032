"""Sentences for people, filled with their values, lengths as a carpenter writes them; cautions."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.length import DEFAULT_STEP, MM_PER_INCH, Step, nearest, rounded_up, show_length

_INCHES = r"\{(\w+)\} in(?![\w-])"
"""A length in a sentence, with its unit."""
_MIXED = r"\d+( \d+/\d+)?|\d+/\d+"
_SIGNED = r"[+-]( mm)?$|less than"
_HALF_MM = 1 / (2 * MM_PER_INCH)


def filled(text: str, facts: Mapping[str, object], step: Step = DEFAULT_STEP) -> str:
    """Return `text` with each `{name}` in it replaced by the fact of that name.

    A fraction is a length in inches and is shown to 1/32 in, any other number to one decimal place,
    a tuple as alternatives. Two lengths that would look equal get a `+` or `-`, however small the
    difference. Where `step` is in millimeters, "{name} in" becomes millimeters. A fact named `cut`
    is rounded down, like its mark on the board.
    """
    shown = {name: _shown(fact) for name, fact in facts.items()}
    shown |= _told_apart(facts, shown, DEFAULT_STEP)
    if isinstance(cut := facts.get("cut"), Fraction):
        shown["cut"] = show_length(cut, step, way="down")
    if step.mm:
        lengths = {name: in_mm(facts[name], step) for name in re.findall(_INCHES, text)}
        lengths |= {"cut": shown["cut"]} if "cut" in lengths else {}
        known = {name: length for name, length in lengths.items() if length}
        known |= _told_apart(facts, known, step)
        shown |= known
        text = re.sub(
            _INCHES, lambda found: f"{{{found[1]}}}" if found[1] in known else found[0], text
        )
    return text.format(**shown)


def in_mm(fact: object, step: Step) -> str:
    """Return a length in inches as millimeters with their unit, "" where `fact` is no length.

    Text, as an accuracy comes, is rounded up to half a millimeter.
    """
    if isinstance(fact, (int, float, Fraction)):
        return show_length(Fraction(fact), step)
    if isinstance(fact, str) and re.fullmatch(_MIXED, fact):
        inches = sum((Fraction(part) for part in fact.split()), Fraction(0))
        return f"{float(rounded_up(inches, _HALF_MM) * MM_PER_INCH):g} mm"
    return ""


def _told_apart(
    facts: Mapping[str, object], shown: Mapping[str, str], step: Step
) -> dict[str, str]:
    """Return the text, with its sign, of each length that would look equal to another one."""
    found = {}
    lengths = {
        name: fact
        for name, fact in facts.items()
        if isinstance(fact, Fraction) and name in shown and name != "cut"
    }
    for name, length in lengths.items():
        alike = (one for other, one in lengths.items() if shown[other] == shown[name])
        off = length - nearest(length, step.size)
        if off and any(one != length for one in alike) and not re.search(_SIGNED, shown[name]):
            number, space, unit = shown[name].partition(" mm")
            found[name] = f"{number}{'+' if off > 0 else '-'}{space}{unit}"
    return found


def _shown(fact: object) -> str:
    if isinstance(fact, Fraction):
        shown = show_length(fact)
        return "less than 1/64" if shown == "0+" else shown
    if isinstance(fact, float):
        return f"{fact:.1f}"
    if isinstance(fact, tuple):
        return " or ".join(_shown(part) for part in fact)
    return "".join(c if c.isprintable() else "?" for c in str(fact))


def many(count: int, word: str) -> str:
    """Return a count with its noun: ``1 beam``, ``3 beams``."""
    return f"{count} {word}{'' if count == 1 else 's'}"


class Caution(NamedTuple):
    """A warning beside marks; its text and facts work like an error's (`crewdesk.errors`)."""

    text: str
    facts: dict[str, Any]

    def __str__(self) -> str:
        return self.shown()

    def shown(self, step: Step = DEFAULT_STEP) -> str:
        """Return the text with its facts, lengths in millimeters where `step` is."""
        return filled(self.text, self.facts, step)


def caution(text: str, /, **facts: Any) -> Caution:
    """Return the caution of that text with the facts that it names."""
    return Caution(text, facts)
