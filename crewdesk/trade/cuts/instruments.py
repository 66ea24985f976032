"""The instruments of a crew: what each is read to, and how far each can be off by itself."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import SIXTEENTH, THIRTY_SECOND
from crewdesk.trade.bounds import checked
from crewdesk.trade.read_length import read_length

REPEATS = Fraction(1, 32)
"""How far apart two readings of one length by one instrument can be, on top of their steps, in
inches: it is never held to quite the same spot twice (common practice, no source)."""


@checked
class Instrument(NamedTuple):
    """An instrument by its `name`. `step` is what it is read to, in inches. `own` is how far it
    can be off by itself: inches for what reads a length; inches per inch for a level, a square
    and a line laser.

    Raise `BadInput` for a step of zero.
    """

    name: str
    step: Fraction
    own: Fraction

    def check(self) -> None:
        """Raise `BadInput` for a value out of bounds."""
        if self.step <= 0:
            raise BadInput(
                "The {name} reads to {value} in; a step must be more than zero.",
                name=self.name,
                value=self.step,
            )

    @property
    def length_off(self) -> Fraction:
        """Return how far a length read with it can be off, in inches.

        That is half a step, the resolution of an indication (JCGM 100:2008, F.2.2.1), and its own
        error. Both are bounds, and are added, as for errors that go together (5.2.2, note 1).
        """
        return self.step / 2 + self.own

    def ratio_off(self, over: Fraction) -> Fraction:
        """Return how far a ratio can be off that was read as a gap over `over` inches of it."""
        return self.step / 2 / over + self.own


class Instruments(NamedTuple):
    """The instruments that marks come from.

    A tape's own error is the tolerance of a metal tape from 7 to 30 ft (NIST Handbook 44,
    section 5.52, table 2). The others are what makers print on the usual ones: a laser distance
    meter 1/16 in, a level and a square 0.0005 in per in, a line laser 1/8 in at 30 ft (common
    practice, no source). What a line laser is read to is the step of the heights over its line.
    """

    laser: Instrument = Instrument("laser", THIRTY_SECOND, SIXTEENTH)
    tape: Instrument = Instrument("tape", SIXTEENTH, SIXTEENTH)
    level: Instrument = Instrument("level", THIRTY_SECOND, Fraction(1, 2000))
    square: Instrument = Instrument("square", THIRTY_SECOND, Fraction(1, 2000))
    line_laser: Instrument = Instrument("line_laser", THIRTY_SECOND, Fraction(1, 2880))

    def for_length(self, name: str) -> Instrument:
        """Return the instrument of that name that a length was read with; one that is as coarse
        as the laser and the tape together where it isn't one of them."""
        if name in ("laser", "tape"):
            return self.laser if name == "laser" else self.tape
        return Instrument(
            name, max(self.laser.step, self.tape.step), max(self.laser.own, self.tape.own)
        )

    def with_steps(self, steps: Mapping[str, Fraction]) -> "Instruments":
        """Return the same instruments, read to other steps, by name; heights over a laser line
        are read to the laser's step."""
        if "laser" in steps:
            steps = {"line_laser": steps["laser"], **steps}
        return self._replace(
            **{name: getattr(self, name)._replace(step=step) for name, step in steps.items()}
        )

    def with_own(self, typed: Mapping[str, str]) -> "Instruments":
        """Return the same instruments with other errors of their own, as typed, by name. Raise as
        `read_own`."""
        return self._replace(
            **{
                name: getattr(self, name)._replace(own=read_own(name, text))
                for name, text in typed.items()
            }
        )


USUAL_INSTRUMENTS = Instruments()
PER_INCH = ("level", "square", "line_laser")
"""The instruments whose own error grows with the distance."""
_AT = r"(.+?) ?(?:@| at ) ?(.+)"
_PER_METER = r"(\d{1,4}(?:\.\d{1,6})?) ?mm ?/ ?m"
_PER_IN = r"(\d{0,4}(?:\.\d{1,12})?|\d{1,6}/[1-9]\d{0,5})(?: ?in)?(?: ?(?:per|/) ?in)?"


def read_own(name: str, text: str) -> Fraction:
    """Read an instrument's own error as makers print it: ``1/16`` or ``1.5 mm`` for a length;
    ``0.0005``, ``1/8 at 30'`` or ``0.5 mm/m`` for what grows with the distance.

    Raise `BadInput`, or what a length raises.
    """
    called = name.replace("_", " ")
    if name not in Instruments._fields:
        known = ", ".join(one.replace("_", " ") for one in Instruments._fields)
        raise BadInput(f"There is no instrument {called[:20]!r}. Use one of {known}.", field=name)
    plain = " ".join(text.lower().split())
    if name not in PER_INCH:
        own = read_length(plain)
        if not 0 < own <= 1:
            raise BadInput(
                f"The {called}'s own error must be over 0 and up to 1 in. Type it like "
                "1/16 or 1.5 mm.",
                field=name,
            )
        return own
    ratio = _ratio(plain)
    if ratio is None or not 0 < ratio <= Fraction(1, 50):
        raise BadInput(
            f"The {called}'s own error must be over 0 and up to 0.02 in per in. Type it "
            "like 0.0005, 1/8 at 30', or 0.5 mm/m.",
            field=name,
        )
    return ratio


def _ratio(plain: str) -> Fraction | None:
    if m := re.fullmatch(_PER_METER, plain):
        return Fraction(m[1]) / 1000
    if m := re.fullmatch(_AT, plain):
        over = read_length(m[2])
        return read_length(m[1]) / over if over > 0 else None
    if (m := re.fullmatch(_PER_IN, plain)) and m[1].strip("."):
        return Fraction(m[1])
    return None


def apart_off(first: Instrument, second: Instrument) -> Fraction:
    """Return how far the difference of two lengths can be off, each read with its instrument.

    One instrument's own error is common to both readings and drops out; what is left of it is
    `REPEATS`. Two instruments, or unknown ones, are each off by themselves. In inches.
    """
    steps = (first.step + second.step) / 2
    same = first.name == second.name and first.name in ("laser", "tape")
    return steps + (REPEATS if same else first.own + second.own)
