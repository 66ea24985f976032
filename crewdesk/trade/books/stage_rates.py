"""How long a stage takes: minutes per foot of beam and minutes per beam, from past jobs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import isqrt
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT, Length, exact

How = Literal["default", "scaled", "fitted"]

JOBS_FOR_A_FIT = 3
DEFAULT_SPREAD = Fraction(1, 4)
"""The spread if there are too few past jobs to compute one: a quarter over or under; no source."""
LEAST_SPREAD = Fraction(1, 10)
"""The least spread, a tenth: few jobs fit too well; no source."""


@dataclass(frozen=True)
class Beams:
    """`count` beams alike, each `length` inches long, of a section and a kind of ceiling.

    Raises `BadInput`.
    """

    name: str
    count: int
    length: Length
    section: str = ""
    ceiling: str = "flat"

    def __post_init__(self) -> None:
        if self.count < 1:
            raise BadInput(
                "{name} has {count} beams; the number must be 1 or more.",
                name=self.name,
                count=self.count,
            )
        if self.length <= 0:
            raise BadInput(
                "{name} is {length} in long; it must be more than zero.",
                name=self.name,
                length=self.length,
            )


@dataclass(frozen=True)
class Factors:
    """Factors on the work of a plain beam under a flat ceiling.

    The defaults are guesses to start from, no source; each shop can have its own. A section
    without a factor counts 1.
    """

    ceilings: Mapping[str, Fraction] = field(
        default_factory=lambda: {"flat": Fraction(1), "sloped": Fraction(5, 4)}
    )
    sections: Mapping[str, Fraction] = field(default_factory=dict)

    def of(self, beams: Beams) -> Fraction:
        """Return both factors multiplied; raises `BadInput`."""
        if beams.ceiling not in self.ceilings:
            raise BadInput(
                "{name} can't have a ceiling of type {ceiling}. Known are {known}.",
                name=beams.name,
                ceiling=beams.ceiling,
                known=tuple(self.ceilings),
            )
        return self.ceilings[beams.ceiling] * self.sections.get(beams.section, Fraction(1))


@dataclass(frozen=True)
class Load:
    """The size of a job: feet of beam and number of beams, each times its factors."""

    feet: Fraction
    beams: Fraction


@dataclass(frozen=True)
class PastJob:
    """A finished job: its size, each stage's seconds, and by how much each reveal measured at its
    fix-up differed from the planned one, in inches (positive: more)."""

    name: str
    load: Load
    seconds: Mapping[str, int]
    reveals_off: tuple[Fraction, ...] = ()


@dataclass(frozen=True)
class StageRate:
    """One stage's minutes per foot and per beam, and their basis.

    `spread` is one standard deviation of a job's true time over the computed one, as a part of 1.
    `jobs` counts the past jobs behind it; `how` is "default", "scaled" (the default, scaled to few
    jobs) or "fitted".
    """

    stage: str
    per_foot: Fraction
    per_beam: Fraction
    spread: Fraction = DEFAULT_SPREAD
    jobs: int = 0
    how: How = "default"

    def minutes(self, load: Load) -> Fraction:
        """Return the likely minutes of a job of that size."""
        return self.per_foot * load.feet + self.per_beam * load.beams


_SHOWN = Load(Fraction(10), Fraction(1))
"""The beam by which a rate is shown by the foot if no job has time on it: one of 10 ft."""


def per_foot_span(rate: StageRate, past: Sequence[PastJob]) -> tuple[Fraction, Fraction, Fraction]:
    """Return a stage's minutes per foot, all its time shared over the feet: the least, the
    likely and the most over the past jobs; without any, those of a beam of 10 ft by the rate and
    its spread."""
    points = [
        (Fraction(job.seconds[rate.stage], 60), job.load.feet)
        for job in past
        if job.seconds.get(rate.stage, 0) > 0 and job.load.feet > 0
    ]
    if points:
        each = [minutes / feet for minutes, feet in points]
        all_ = sum((m for m, _ in points), Fraction(0)) / sum((f for _, f in points), Fraction(0))
        return min(each), all_, max(each)
    likely = rate.minutes(_SHOWN) / _SHOWN.feet
    return likely / (1 + rate.spread), likely, likely * (1 + rate.spread)


DEFAULT_RATES = tuple(
    StageRate(stage, Fraction(per_foot), Fraction(per_beam))
    for stage, per_foot, per_beam in (
        ("rip", "1", "4"),
        ("ease", "1.5", "2"),
        ("tape", "0.25", "1"),
        ("tack", "0.75", "25"),
        ("scribe", "1.25", "20"),
        ("nail", "1", "15"),
        ("fix-up", "0.5", "10"),
    )
)
"""Guesses to start with, until there are past jobs; no source."""


def load_of(beams: Sequence[Beams], factors: Factors) -> Load:
    """Return the size of all beams together."""
    feet = sum((factors.of(b) * b.count * exact(b.length) for b in beams), Fraction(0))
    return Load(feet / INCHES_PER_FOOT, sum((factors.of(b) * b.count for b in beams), Fraction(0)))


def fit(default: StageRate, past: Sequence[PastJob]) -> StageRate:
    """Return the stage's rate from the past jobs that have time on it.

    From three jobs on, the two rates are the least squares fit of minutes = per_foot x feet +
    per_beam x beams, neither below zero; the spread is the standard deviation of true over computed
    minutes, two degrees of freedom taken by the fit. With fewer jobs, or where feet and beams of
    all jobs are in one proportion so that no fit can tell them apart, the default rates are scaled
    by all true minutes over all that the default computes; one or two jobs keep the default's
    spread. A stage whose default is nothing (one of the user's own) is scaled by the foot alone.
    """
    points = [
        (job.load.feet, job.load.beams, Fraction(job.seconds[default.stage], 60))
        for job in past
        if job.seconds.get(default.stage, 0) > 0 and job.load.feet > 0 and job.load.beams > 0
    ]
    if not points:
        return default
    rates = least_squares(points) if len(points) >= JOBS_FOR_A_FIT else None
    if rates is not None:
        found = replace(default, per_foot=rates[0], per_beam=rates[1], how="fitted")
        taken = 2
    else:
        if not default.per_foot and not default.per_beam:
            default = replace(default, per_foot=Fraction(1))
        reckoned = sum(default.minutes(Load(f, b)) for f, b, _ in points)
        scale = Fraction(sum(m for _, _, m in points)) / reckoned
        found = replace(
            default,
            per_foot=default.per_foot * scale,
            per_beam=default.per_beam * scale,
            how="scaled",
        )
        taken = 1
    spread = default.spread
    if len(points) >= JOBS_FOR_A_FIT:
        ratios = [m / found.minutes(Load(f, b)) for f, b, m in points]
        spread = max(LEAST_SPREAD, _deviation(ratios, taken))
    return replace(found, spread=spread, jobs=len(points))


def least_squares(
    points: Sequence[tuple[Fraction, Fraction, Fraction]],
) -> tuple[Fraction, Fraction] | None:
    """Return a and b, neither below zero, with the least sum of (y - a x1 - b x2)^2; exact.

    By the normal equations of two variables without a constant; where one rate would be below zero
    the least sum lies on the edge, with that rate zero (the sum is convex), so the better edge is
    taken. None if x1 and x2 are proportional.
    """
    s11 = sum((x * x for x, _, _ in points), Fraction(0))
    s22 = sum((z * z for _, z, _ in points), Fraction(0))
    s12 = sum((x * z for x, z, _ in points), Fraction(0))
    s1y = sum((x * y for x, _, y in points), Fraction(0))
    s2y = sum((z * y for _, z, y in points), Fraction(0))
    det = s11 * s22 - s12 * s12
    if det == 0:
        return None
    a, b = (s1y * s22 - s2y * s12) / det, (s2y * s11 - s1y * s12) / det
    if a >= 0 and b >= 0:
        return a, b
    edges = ((max(s1y / s11, Fraction(0)), Fraction(0)), (Fraction(0), max(s2y / s22, Fraction(0))))
    return min(edges, key=lambda e: sum((y - e[0] * x - e[1] * z) ** 2 for x, z, y in points))


def _deviation(ratios: Sequence[Fraction], taken: int) -> Fraction:
    """Return the root of the mean square distance from 1, to a thousandth, rounded down."""
    square = sum((r - 1) ** 2 for r in ratios) / Fraction(len(ratios) - taken)
    return Fraction(isqrt(int(square * 10**6)), 1000)
