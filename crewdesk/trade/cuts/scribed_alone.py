"""What goes wrong when each side of a pair is scribed by itself, not leveled to the other."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.sentence import Caution, caution
from crewdesk.trade.cuts.resting import Resting


class Alone(NamedTuple):
    """How far out, in inches, if each side were pushed up and scribed by itself.

    `end1` and `end2`: between the two sides' bottom edges at each end; `along_a` and
    `along_b`: from end 1 to end 2 of one side; `levelled`: between the two sides, if
    each were at least level along its own length.
    """

    end1: Fraction
    end2: Fraction
    along_a: Fraction
    along_b: Fraction
    levelled: Fraction

    @property
    def worst(self) -> Fraction:
        """The most of the five."""
        return max(self.end1, self.end2, self.along_a, self.along_b, self.levelled)


def scribed_alone(
    rest_a: Resting, rest_b: Resting, lowest_a: Fraction, lowest_b: Fraction
) -> Alone:
    """Both sides as they rest, and the lowest height of the ceiling over each.

    A side scribed where it rests gets a bottom edge parallel to its resting line; one
    leveled by itself hangs at its own lowest point, not the pair's.
    """
    return Alone(
        abs(rest_a.end1 - rest_b.end1),
        abs(rest_a.end2 - rest_b.end2),
        abs(rest_a.end1 - rest_a.end2),
        abs(rest_b.end1 - rest_b.end2),
        abs(lowest_a - lowest_b),
    )


def alone_cautions(alone: Alone, step: Fraction) -> tuple[Caution, ...]:
    """What to tell of it, where it is as much as one `step` that is shown."""
    across = max(alone.end1, alone.end2, alone.levelled)
    along = max(alone.along_a, alone.along_b)
    out = []
    if across >= step:
        out.append(
            caution(
                "Scribed one by one, the two sides would end {across} in out of level. "
                "Level the pair first, then scribe both at one setting.",
                across=across,
            )
        )
    if along >= step:
        out.append(
            caution(
                "Scribed as it rests when pushed up, a side would end {along} in out "
                "of level from end to end. Pry it level first.",
                along=along,
            )
        )
    return tuple(out)
