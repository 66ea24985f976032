"""One clear sentence for everything that can be refused.

Each file in here speaks for one topic of the trade: a dict from a refusal's name
to a template over its facts. Facts that are lengths are shown as a carpenter
writes them. A sentence says what was wrong and what is accepted; whoever shows it
adds that nothing was changed, where something could have been.
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from importlib import import_module

from crewdesk.errors import BadInput
from crewdesk.length import DEFAULT_STEP, MM_PER_INCH, Step, rounded_up, show_length
from crewdesk.trade.cuts.caution import Caution
from crewdesk.trade.refusal import Refusal

TOPICS = (
    "lengths",
    "sections",
    "ends",
    "ceilings",
    "wedges",
    "gaps",
    "slopes",
    "skews",
    "bottoms",
    "sureness",
    "nails",
    "forms",
    "books",
    "beam_lists",
    "boards",
)


def sentence(refusal: Refusal | Caution, step: Step = DEFAULT_STEP) -> str:
    """The sentence for a refusal or a caution of the trade, its lengths shown to `step` where
    that is one in millimeters."""
    if isinstance(refusal, BadInput):
        return str(refusal)
    for topic in TOPICS:
        template = import_module(f"{__name__}.{topic}").SENTENCES.get(refusal.why)
        if template is not None:
            return _filled(str(template), refusal.facts, step)
    raise KeyError(refusal.why)


_LENGTH = re.compile(r"\{(\w+)\} in(?![\w-])")
"""A length in a sentence, with its unit."""
_HALF_MM = 1 / (2 * MM_PER_INCH)


def _filled(template: str, facts: Mapping[str, object], step: Step) -> str:
    shown = {name: _shown(fact) for name, fact in facts.items()}
    if isinstance(cut := facts.get("cut"), Fraction):
        shown["cut"] = show_length(cut, step, way="down")  # as its mark is shown
    if step.mm:
        lengths = {name: in_mm(facts[name], step) for name in _LENGTH.findall(template)}
        lengths |= {"cut": shown["cut"]} if "cut" in lengths else {}
        known = {name: length for name, length in lengths.items() if length}
        shown |= known
        template = _LENGTH.sub(
            lambda found: f"{{{found[1]}}}" if found[1] in known else found[0], template
        )
    return template.format(**shown)


def in_mm(fact: object, step: Step) -> str:
    """A length in inches as millimeters with their unit; what is said to be within so much, which
    comes as text, to the next half one up. Empty where it is no length."""
    if isinstance(fact, (int, float, Fraction)):
        return show_length(Fraction(fact), step)
    if isinstance(fact, str) and _MIXED.fullmatch(fact):
        inches = sum((Fraction(part) for part in fact.split()), Fraction(0))
        return f"{float(rounded_up(inches, _HALF_MM) * MM_PER_INCH):g} mm"
    return ""


_MIXED = re.compile(r"\d+( \d+/\d+)?|\d+/\d+")


def _shown(fact: object) -> str:
    if isinstance(fact, Fraction):
        shown = show_length(fact)
        return "less than 1/64" if shown == "0+" else shown
    if isinstance(fact, float):
        return f"{fact:.1f}"
    if isinstance(fact, tuple):
        return " or ".join(_shown(part) for part in fact)
    return "".join(c if c.isprintable() else "?" for c in str(fact))
