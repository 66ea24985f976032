"""How far a job is, and what part of its base price that is worth."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.trade.books.invoice_lines import Line, fixed_line
from crewdesk.trade.books.money import cents
from crewdesk.trade.books.shares import shares

_MOST_PLACES = 6


@dataclass(frozen=True)
class Tick:
    """One step of the run sheet on one piece: its stage, estimated minutes, done or not."""

    stage: str
    minutes: Fraction
    done: bool


@dataclass(frozen=True)
class StageDone:
    """A stage's estimated minutes, and the part of them that is done, 0 to 1."""

    stage: str
    minutes: Fraction
    part: Fraction


def stages_done(ticks: Sequence[Tick]) -> tuple[StageDone, ...]:
    """Each stage's part done, in the order first met, weighted by estimated minutes.

    Steps without minutes count alike where a whole stage has none.
    Raises `BadInput`.
    """
    found = []
    for stage in dict.fromkeys(tick.stage for tick in ticks):
        own = [tick for tick in ticks if tick.stage == stage]
        if any(tick.minutes < 0 for tick in own):
            raise BadInput(
                "A step of stage {stage} has minutes below zero; give zero or more.", stage=stage
            )
        minutes = sum((tick.minutes for tick in own), Fraction(0))
        if minutes:
            done = sum((tick.minutes for tick in own if tick.done), Fraction(0))
            found.append(StageDone(stage, minutes, done / minutes))
        else:
            part = Fraction(sum(tick.done for tick in own), len(own))
            found.append(StageDone(stage, minutes, part))
    return tuple(found)


def part_done(stages: Sequence[StageDone]) -> Fraction:
    """The part of the whole job that is done, 0 to 1, by estimated minutes."""
    minutes = sum((stage.minutes for stage in stages), Fraction(0))
    if not minutes:
        return Fraction(0)
    return sum((stage.minutes * stage.part for stage in stages), Fraction(0)) / minutes


def stages_worth(base: Decimal, stages: Sequence[StageDone]) -> tuple[Decimal, ...]:
    """What each stage is worth once it is done: the base shared by minutes, to the cent."""
    worth = shares(int(cents(base) * 100), [stage.minutes for stage in stages])
    return tuple(cents(Fraction(whole, 100)) for whole in worth)


def percent_told(whole: Decimal, part: Fraction) -> str:
    """`part` of `whole` in percent, rounded down, with the fewest decimals from which the
    reader comes to the same cent; six at most."""
    told = ""
    for places in range(_MOST_PLACES + 1):
        rounded = int(part * 100 * 10**places)
        told = f"{Decimal(rounded).scaleb(-places):f}"
        if cents(Fraction(whole) * Fraction(told) / 100) == cents(Fraction(whole) * part):
            break
    return told


def progress_lines(
    base: Decimal,
    stages: Sequence[StageDone],
    names: Mapping[str, str] | None = None,
    *,
    taxed: bool = False,
) -> tuple[Line, ...]:
    """What is earned of the base price, by stage; a stage not begun has no line.

    The base is shared among the stages by their minutes, exact to the cent, so that
    a job all done has earned the base and no cent more.
    """
    if not stages:
        return ()
    found = []
    for stage, whole in zip(stages, stages_worth(base, stages), strict=True):
        earned = cents(Fraction(whole) * stage.part)
        if earned:
            name = (names or {}).get(stage.stage, stage.stage)
            found.append(fixed_line(name, earned, taxed=taxed))
    return tuple(found)
