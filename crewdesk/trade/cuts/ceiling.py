"""The ceiling over a beam, and the scribe: a pair of sides leveled to one another under it.

Heights are those of the ceiling above one level laser line, measured at spots along the beam. Both
sides are held level with one another and pushed up until the ceiling's lowest point touches; the
scriber, set once for both, then follows the ceiling and draws its line on the painter's tape.
"""

from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import DEFAULT_STEP, SIXTEENTH, SIXTY_FOURTH, mixed, rounded_up
from crewdesk.sentence import Caution, caution
from crewdesk.trade.bounds import more_than_zero, zero_or_more
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instrument
from crewdesk.trade.cuts.resting import Alone, Resting, alone_cautions, resting, scribed_alone
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.cuts.sureness import Gap, scribe_sureness


class Station(NamedTuple):
    """Heights of the ceiling over the laser line, `at` inches from end 1, over each side."""

    at: Fraction
    height_a: Fraction
    height_b: Fraction

    def height(self, side: Side) -> Fraction:
        """Return the ceiling's height over a side, in inches."""
        return self.height_a if side == "A" else self.height_b


SIDES: tuple[Side, Side] = ("A", "B")
TAPE_WIDTHS = (Fraction(1), Fraction(3, 2), Fraction(2), Fraction(3))
"""Painter's tape as sold, in inches (common practice, no source)."""
USUAL_WIDTH = Fraction(8)
"""A beam's width if none is given, in inches (common practice, no source)."""
NEAR_END = Fraction(6)
"""The distance from a beam's end, in inches, within which a spot counts for that end."""
DROP_SHORT = (
    "The lowest finished side is {lowest} in wide, less than the {drop} in wanted. "
    "Start with sides {needed} in wide."
)


class StationMark(NamedTuple):
    """One side at one station, in inches: the `gap` over the top edge while the pair is
    level, what the scribe takes off there, and the side's height after it."""

    side: Side
    at: Fraction
    gap: Fraction
    cut_depth: Fraction
    finished_height: Fraction


class Pry(NamedTuple):
    """An end of a side to pry down by that many inches from where it rests."""

    side: Side
    end: int
    by: Fraction


class Scribe(NamedTuple):
    """The scriber's `setting` and what follows from it; lengths in inches.

    `marks` go side A's stations first, from end 1. `meets_drop` is None if no drop was asked for.
    """

    setting: Fraction
    marks: tuple[StationMark, ...]
    rest_a: Resting
    rest_b: Resting
    pry_down: tuple[Pry, ...]
    alone: Alone
    lowest_drop: Fraction
    meets_drop: bool | None
    cautions: tuple[Caution, ...]


def scribe(
    stations: tuple[Station, ...],
    height: Fraction,
    *,
    length: Fraction | None = None,
    margin: Fraction | None = None,
    tape: Fraction = Fraction(1),
    drop: Fraction | None = None,
    step: Fraction = DEFAULT_STEP.size,
    line_laser: Instrument = USUAL_INSTRUMENTS.line_laser,
    width: Fraction = USUAL_WIDTH,
    height_b: Fraction | None = None,
    b_lower: Fraction = Fraction(0),
) -> Scribe:
    """Return all marks of a pair of sides `height` inches wide, from the ceiling's heights.

    `margin` is what comes off where the ceiling is highest: by default what covers all that the
    setting can be off by, read with `line_laser` over a beam `width` inches wide, so that the
    line stays on the board. Less than that gets a caution.

    `height_b` is side B's own width, where it is another, and `b_lower` how much lower than
    side A's its bottom edge is wanted. Held so that the bottom edges are in that relation,
    side B's top edge stands higher than side A's by d = `height_b` - `height` - `b_lower`.

    With c the ceiling's height at a station, less d over side B, and c0 the lowest over both
    sides, side A's top edge is held at c0. So

    - gap = c - c0, zero if the ceiling is lowest;
    - setting = (highest c - c0), rounded up to `step`, + `margin`;
    - cut depth = setting - gap, at least `margin` and, at the lowest, the setting;
    - finished height = the side's width - cut depth.

    Side A's bottom edge then hangs at c - finished height = c0 + setting - `height`, the
    same everywhere, and side B's `b_lower` below it: straight and level. Without `length`
    the last station is end 2.

    Raises `BadInput`.
    """
    widths = {"A": height, "B": height if height_b is None else height_b}
    narrow = min(widths.values())
    _checked(stations, narrow, margin, tape, drop, length)
    higher = widths["B"] - height - b_lower
    stations = tuple(one._replace(height_b=one.height_b - higher) for one in stations)
    span = stations[-1].at if length is None else length
    heights = [s.height(side) for side in SIDES for s in stations]
    lowest, highest = min(heights), max(heights)
    gaps = [Gap(side, s.at, s.height(side) - lowest) for side in SIDES for s in stations]
    off = scribe_sureness(gaps, width, line_laser).setting
    margin = covering_margin(off) if margin is None else margin
    setting = rounded_up(highest - lowest, step) + margin
    if setting >= narrow:
        raise BadInput(
            "A scriber set to {setting} in would leave nothing of a side {height} in "
            "wide. Measure the ceiling again, or start with wider sides.",
            setting=setting,
            height=narrow,
        )
    marks = tuple(
        StationMark(*one, setting - one.gap, widths[one.side] - setting + one.gap) for one in gaps
    )
    rest_a, rest_b = (resting([(s.at, s.height(side)) for s in stations], span) for side in SIDES)
    alone = scribed_alone(
        rest_a, rest_b, min(s.height_a for s in stations), min(s.height_b for s in stations)
    )
    lowest_drop = min(mark.finished_height for mark in marks)
    meets = None if drop is None else lowest_drop >= drop
    return Scribe(
        setting,
        marks,
        rest_a,
        rest_b,
        _pry_down(rest_a, rest_b, lowest),
        alone,
        lowest_drop,
        meets,
        (
            *_drop_caution(lowest_drop, drop, setting),
            *_tape_caution(setting, tape),
            *alone_cautions(alone, step),
            *_center_caution(stations, span),
            *_margin_caution(margin, off),
        ),
    )


def _checked(
    stations: tuple[Station, ...],
    height: Fraction,
    margin: Fraction | None,
    tape: Fraction,
    drop: Fraction | None,
    length: Fraction | None,
) -> None:
    named = {"height": height, "tape": tape, "drop": drop, "length": length}
    for name, value in named.items():
        if value is not None:
            more_than_zero(f"ceiling's {name}", value)
    if margin is not None:
        zero_or_more("ceiling's margin", margin)
    if len(stations) < 3:
        raise BadInput(
            "Spots so far: {count}. Measure the ceiling at both ends and the center at least.",
            count=len(stations),
        )
    for station in stations:
        for name, value in station._asdict().items():
            zero_or_more(f"ceiling's {name.replace('_', ' ')}", value)
        if length is not None and station.at > length:
            raise station_beyond(station.at, length)
    for before, after in pairwise(stations):
        if after.at == before.at:
            raise BadInput("The spot at {at} in was typed twice. Keep one of them.", at=after.at)
        if after.at < before.at:
            raise BadInput(
                "The spot at {at} in comes after the one at {before} in. Type them in "
                "order, from end 1 to end 2.",
                at=after.at,
                before=before.at,
            )
    span = stations[-1].at if length is None else length
    near = min(NEAR_END, span / 8)
    for end, off in ((1, stations[0].at), (2, span - stations[-1].at)):
        if off > near:
            raise no_station_near(end, off, near)


def no_station_near(end: int, off: Fraction, near: Fraction) -> BadInput:
    """Return the error for an end without a spot `near` it, the nearest being `off` inches away."""
    return BadInput(
        "The spot nearest to end {end} is {off} in away from it. Measure one within "
        "{near} in of each end.",
        end=end,
        off=off,
        near=near,
    )


def station_beyond(at: Fraction, length: Fraction) -> BadInput:
    """Return the error for a spot `at` inches from end 1 of a beam of `length` inches."""
    return BadInput(
        "The spot at {at} in is past the beam's end at {length} in. Measure spots from end 1.",
        at=at,
        length=length,
    )


def _pry_down(rest_a: Resting, rest_b: Resting, level: Fraction) -> tuple[Pry, ...]:
    """Return how each side is brought from its resting position to the common level; an end that
    rests too low comes up as its other end is pried down."""
    return tuple(
        Pry(side, end, top - level)
        for side, rest in zip(SIDES, (rest_a, rest_b), strict=True)
        for end, top in ((1, rest.end1), (2, rest.end2))
        if top > level
    )


def _drop_caution(
    lowest: Fraction, drop: Fraction | None, setting: Fraction
) -> tuple[Caution, ...]:
    if drop is None or lowest >= drop:
        return ()
    return (
        caution(
            DROP_SHORT,
            lowest=lowest,
            drop=drop,
            needed=drop + setting,
        ),
    )


def _tape_caution(deepest: Fraction, tape: Fraction) -> tuple[Caution, ...]:
    if deepest <= tape:
        return ()
    wide = next((width for width in TAPE_WIDTHS if width >= deepest), None)
    if wide is None:
        return (
            caution(
                "The deepest cut is {deepest} in, and the widest painter's tape is "
                "{widest} in. Put strips side by side, and make sure that this isn't a "
                "slope to be cut as one.",
                deepest=deepest,
                widest=TAPE_WIDTHS[-1],
            ),
        )
    return (
        caution(
            "The deepest cut is {deepest} in, more than the {tape} in painter's tape. "
            "Tape {wide} in wide takes the whole line.",
            deepest=deepest,
            tape=tape,
            wide=wide,
        ),
    )


def _center_caution(stations: tuple[Station, ...], span: Fraction) -> tuple[Caution, ...]:
    if any(span / 3 <= s.at <= 2 * span / 3 for s in stations):
        return ()
    return (
        caution(
            "The ceiling hasn't been measured near the center, at {centre} in. Measure it there "
            "before cutting.",
            centre=span / 2,
        ),
    )


def _margin_caution(margin: Fraction, off: Fraction) -> tuple[Caution, ...]:
    if margin >= off:
        return ()
    off_shown, more = (mixed(rounded_up(one, SIXTY_FOURTH)) for one in (off, off - margin))
    return (
        caution(
            "The margin of {margin} in is less than the setting can be off by, {off} in. Where "
            "the ceiling is highest the line may run off the board: look there before you cut. If "
            "it does, set the scriber {more} in wider and draw both lines again.",
            margin=margin,
            off=off_shown,
            more=more,
        ),
    )


def covering_margin(off: Fraction) -> Fraction:
    """Return the margin that covers a setting's uncertainty of `off` inches: rounded up to 1/16 in,
    and at least that (common practice, no source)."""
    return max(SIXTEENTH, rounded_up(off, SIXTEENTH))
