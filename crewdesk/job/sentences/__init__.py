"""One clear sentence for everything that can be refused.

Each file in here speaks for one topic of the trade: a dict from a refusal's name
to a template over its facts. Facts that are lengths are shown as a carpenter
writes them. A sentence says what was wrong and what is accepted; whoever shows it
adds that nothing was changed, where something could have been.
"""

from fractions import Fraction
from importlib import import_module

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.caution import Caution
from crewdesk.trade.length import show_length
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


def sentence(refusal: Refusal | Caution) -> str:
    """The sentence for a refusal or a caution of the trade."""
    if isinstance(refusal, BadInput):
        return str(refusal)
    for topic in TOPICS:
        template = import_module(f"{__name__}.{topic}").SENTENCES.get(refusal.why)
        if template is not None:
            return str(template).format(**{k: _shown(v) for k, v in refusal.facts.items()})
    raise KeyError(refusal.why)


def _shown(fact: object) -> str:
    if isinstance(fact, Fraction):
        shown = show_length(fact)
        return "less than 1/64" if shown == "0+" else shown
    if isinstance(fact, float):
        return f"{fact:.1f}"
    if isinstance(fact, tuple):
        return " or ".join(_shown(part) for part in fact)
    return "".join(c if c.isprintable() else "?" for c in str(fact))
