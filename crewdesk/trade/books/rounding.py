"""Round worked time for billing; the worked time is always kept beside it.

29 CFR 785.48(b) accepts working time recorded to the nearest five minutes, tenth or
quarter of an hour, if over time all that was worked is counted. It speaks of a
clock's starts and stops; here the time worked is rounded, by entry, day or stage.
"""

import re
from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact
from crewdesk.trade.bounds import checked

Way = Literal["length", "evenly"]


class Share(NamedTuple):
    """One piece's share of a batch's seconds."""

    key: str
    seconds: int


def shares(total: int, weights: Sequence[Length | int]) -> tuple[int, ...]:
    """Return `total` in whole parts as close to the weights' proportions as possible.

    The method of the largest remainder (Hamilton's): each gets the whole part of the exact share,
    and the rest goes one by one to the largest remainders, ties to the earlier. The parts sum to
    `total` exactly and none differs from its exact share by a whole unit. Weights that are all zero
    share evenly.

    Raises `BadInput`.
    """
    if total < 0:
        raise BadInput("A share of {total} can't be made; it must be zero or more.", total=total)
    if not weights:
        raise BadInput("There is no piece to share the time among. Name at least one.")
    parts = [exact(w) if isinstance(w, float) else Fraction(w) for w in weights]
    if any(part < 0 for part in parts):
        raise BadInput("A piece has a length below zero. Lengths must be zero or more.")
    whole = sum(parts)
    if whole == 0:
        parts, whole = [Fraction(1)] * len(parts), Fraction(len(parts))
    fair = [total * part / whole for part in parts]
    given = [int(part) for part in fair]
    neediest = sorted(range(len(parts)), key=lambda i: (given[i] - fair[i], i))
    for i in neediest[: total - sum(given)]:
        given[i] += 1
    return tuple(given)


def batch_shares(
    seconds: int, pieces: Sequence[tuple[str, Length]], way: Way = "length"
) -> tuple[Share, ...]:
    """Return a batch's seconds among its pieces (key, length in inches), by length or evenly.

    Raises `BadInput`: as `shares`, and for another way.
    """
    if way not in ("length", "evenly"):
        raise BadInput("{way} isn't a way to share a batch's time. Type length or evenly.", way=way)
    weights = [length if way == "length" else Fraction(1) for _, length in pieces]
    found = shares(seconds, weights)
    return tuple(Share(key, part) for (key, _), part in zip(pieces, found, strict=True))


Toward = Literal["nearest", "up", "down"]
Per = Literal["entry", "day", "stage"]
STEPS = (0, 5, 6, 15)
"""The minutes that time can be rounded to; 0 is not at all, 6 is a tenth of an hour."""

_STEP_WORDS = {"none": 0, "tenth": 6, "quarter": 15} | {str(n): n for n in STEPS}


@checked
class Rule(NamedTuple):
    """A rounding rule: to `minutes`, `toward` the nearest, up or down, the total `per` entry, day
    or stage.

    Raises `BadInput` for anything else.
    """

    minutes: int = 0
    toward: Toward = "nearest"
    per: Per = "entry"

    def check(self) -> None:
        """Raise `BadInput` for an invalid rule."""
        known = self.minutes in STEPS
        known &= self.toward in ("nearest", "up", "down") and self.per in ("entry", "day", "stage")
        if not known:
            raise BadInput(
                "{text} isn't a rounding rule. Type none, 5, 6 or 15 (minutes), then "
                "nearest, up or down, then entry, day or stage, for example 15 nearest "
                "day.",
                text=f"{self.minutes} {self.toward} {self.per}",
            )


class Worked(NamedTuple):
    """Time to bill: its entry, its start (aware, on the site's clock), its stage."""

    key: str
    start: datetime
    stage: str
    seconds: int


class Billed(NamedTuple):
    """One entry with both figures."""

    key: str
    stage: str
    seconds: int
    billed_seconds: int


class Bill(NamedTuple):
    """All entries, in the order they came, with both totals."""

    entries: tuple[Billed, ...]

    @property
    def seconds(self) -> int:
        """The total worked seconds."""
        return sum(entry.seconds for entry in self.entries)

    @property
    def billed_seconds(self) -> int:
        """The total billed seconds."""
        return sum(entry.billed_seconds for entry in self.entries)

    def by_stage(self) -> tuple[Billed, ...]:
        """Return both totals of each stage (its name is `key` too), as first met."""
        stages = dict.fromkeys(entry.stage for entry in self.entries)
        return tuple(
            Billed(
                stage,
                stage,
                sum(e.seconds for e in self.entries if e.stage == stage),
                sum(e.billed_seconds for e in self.entries if e.stage == stage),
            )
            for stage in stages
        )


def read_rule(text: str) -> Rule:
    """Return a typed rule: ``none``, ``15``, ``15 up``, ``6 nearest per day``,
    ``quarter-down-stage``.

    Raises `BadInput`.
    """
    plain = text.strip().lower()
    m = re.fullmatch(
        r"(none|tenth|quarter|\d{1,2})(?: ?min(?:utes)?)?(?:[ -](nearest|up|down))?"
        r"(?:[ -](?:per[ -])?(entry|day|stage))?",
        plain,
    )
    if m is None or m[1] not in _STEP_WORDS:
        raise BadInput(
            "{text} isn't a rounding rule. Type none, 5, 6 or 15 (minutes), then "
            "nearest, up or down, then entry, day or stage, for example 15 nearest day.",
            text=text.strip()[:40],
        )
    toward: Toward = "up" if m[2] == "up" else "down" if m[2] == "down" else "nearest"
    per: Per = "day" if m[3] == "day" else "stage" if m[3] == "stage" else "entry"
    return Rule(_STEP_WORDS[m[1]], toward, per)


def rounded(seconds: int, minutes: int, toward: Toward) -> int:
    """Return `seconds` rounded to a whole step of `minutes`; the exact middle goes up.

    Of whole minutes, 1 to 7 past a quarter go down and 8 to 14 up, as is the
    practice under 29 CFR 785.48(b).
    """
    if minutes == 0:
        return seconds
    step = minutes * 60
    ahead = {"nearest": step // 2, "up": step - 1, "down": 0}[toward]
    return (seconds + ahead) // step * step


def bill(worked: Sequence[Worked], rule: Rule) -> Bill:
    """Return every entry with its billed time.

    Per day or stage the total is rounded and then shared among its entries by
    their own seconds, so that the entries add up to what is billed. An entry's day
    is that of its start.
    """
    groups: dict[object, list[int]] = {}
    for i, entry in enumerate(worked):
        group: object = i
        if rule.per != "entry":
            group = entry.start.date() if rule.per == "day" else entry.stage
        groups.setdefault(group, []).append(i)
    billed = [0] * len(worked)
    for members in groups.values():
        each = [worked[i].seconds for i in members]
        total = rounded(sum(each), rule.minutes, rule.toward)
        for i, part in zip(members, shares(total, each), strict=True):
            billed[i] = part
    return Bill(
        tuple(Billed(w.key, w.stage, w.seconds, b) for w, b in zip(worked, billed, strict=True))
    )
