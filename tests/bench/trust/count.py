"""What was counted, and the bar that it is held against."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Count:
    """`bar` is the least that there must be, or with `most` the most that there may be."""

    what: str
    counted: int
    bar: int
    most: bool = False

    @property
    def holds(self) -> bool:
        """Whether it is within its bar."""
        return self.counted <= self.bar if self.most else self.counted >= self.bar

    @property
    def line(self) -> str:
        """A row of the table."""
        bar = f"at {'most' if self.most else 'least'} {self.bar:,}"
        return f"{self.what:<62}{self.counted:>8,}   {bar:<16}{'holds' if self.holds else 'NO'}"
