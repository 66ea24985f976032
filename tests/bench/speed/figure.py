"""One figure: what was measured, beside what, and the most that it may be."""

from dataclasses import dataclass

POWER = "power"
"""The unit of a growth exponent, see `growing`."""


@dataclass(frozen=True)
class Figure:
    """`ours` and `plain` in one unit; without `plain` the bar is for `ours` itself.

    `ratio` is the median of the rounds' ratios, where a round measured one beside the
    other: a disk that takes now one, now two turns then tells the same of both.
    """

    what: str
    ours: float
    plain: float | None
    bar: float
    unit: str = "ms"
    ratio: float | None = None

    @property
    def told(self) -> float:
        """What is held against the bar: the ratio, where there is one."""
        if self.ratio is not None:
            return self.ratio
        return self.ours / self.plain if self.plain else self.ours

    @property
    def holds(self) -> bool:
        """Whether it is within its bar."""
        return self.told <= self.bar

    @property
    def line(self) -> str:
        """A row of the table."""
        unit = "" if self.plain else f" {self.unit}"
        plain = f"{self.plain:9.2f} {self.unit}" if self.plain else ""
        verdict = "holds" if self.holds else "OVER"
        return (
            f"{self.what:<58}{self.ours:9.2f} {self.unit} {plain:>12}"
            f"{self.told:9.2f}{unit:<3} {self.bar:7.2f}  {verdict}"
        )


HEAD = f"{'':<58}{'crewdesk':>12} {'plain':>12}{'told':>9}    {'at most':>7}"
