"""The instruments of a crew: each one's step, and its own error."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import SIXTEENTH, THIRTY_SECOND
from crewdesk.trade.bounds import checked
from crewdesk.trade.read_length import read_length

REPEATS = Fraction(1, 32)
"""How far apart two readings of one length by one instrument can be, in addition to their steps, in
inches: it is never held to exactly the same spot (common practice, no source)."""


@checked
class Instrument(NamedTuple):
    """An instrument by its `name`. `step` is the step it is read to, in inches. `own` is its own
    error: inches if it measures a length; inches per inch for a level, a square and a line laser.

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
        """Return the uncertainty of a length measured with it, in inches.

        That is half a step, the resolution of an indication (JCGM 100:2008, F.2.2.1), and its own
        error. Both are bounds, and are added, as for errors that go together (5.2.2, note 1).
        """
        return self.step / 2 + self.own

    def ratio_off(self, over: Fraction) -> Fraction:
        """Return the uncertainty of a ratio measured as a gap over `over` inches of it."""
        return self.step / 2 / over + self.own


class Instruments(NamedTuple):
    """The instruments that marks come from.

    A tape's own error is the tolerance of a metal tape from 7 to 30 ft (NIST Handbook 44, section
    5.52, table 2). The others are makers' figures for the usual ones: a laser distance meter 1/16
    in, a level and a square 0.0005 in per in, a line laser 1/8 in at 30 ft (common practice, no
    source). A line laser's step is that of the heights over its line.
    """

    laser: Instrument = Instrument("laser", THIRTY_SECOND, SIXTEENTH)
    tape: Instrument = Instrument("tape", SIXTEENTH, SIXTEENTH)
    level: Instrument = Instrument("level", THIRTY_SECOND, Fraction(1, 2000))
    square: Instrument = Instrument("square", THIRTY_SECOND, Fraction(1, 2000))
    line_laser: Instrument = Instrument("line_laser", THIRTY_SECOND, Fraction(1, 2880))

    def for_length(self, name: str) -> Instrument:
        """Return the instrument of that name for a length; for another name one as coarse as laser
        and tape together."""
        if name in ("laser", "tape"):
            return self.laser if name == "laser" else self.tape
        return Instrument(
            name, max(self.laser.step, self.tape.step), max(self.laser.own, self.tape.own)
        )

    def with_steps(self, steps: Mapping[str, Fraction]) -> "Instruments":
        """Return the same instruments with other steps, by name; heights over a laser line have the
        laser's step."""
        if "laser" in steps:
            steps = {"line_laser": steps["laser"], **steps}
        return self._replace(
            **{name: getattr(self, name)._replace(step=step) for name, step in steps.items()}
        )

    def with_own(self, typed: Mapping[str, str]) -> "Instruments":
        """Return the same instruments with other own errors, as typed, by name. Raise as
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
    """Return an instrument's own error as makers print it: ``1/16`` or ``1.5 mm`` for a length;
    ``0.0005``, ``1/8 at 30'`` or ``0.5 mm/m`` if it grows with the distance.

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
    """Return the uncertainty of the difference of two lengths, each with its instrument.

    One instrument's own error is common to both readings and cancels, except for `REPEATS`. Two
    instruments, or unknown ones, have independent errors. In inches.
    """
    steps = (first.step + second.step) / 2
    same = first.name == second.name and first.name in ("laser", "tape")
    return steps + (REPEATS if same else first.own + second.own)
