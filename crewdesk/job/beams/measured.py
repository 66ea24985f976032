"""Lengths and angles measured between a beam's walls, each with its uncertainty."""

import math
from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import ENDS, Reading
from crewdesk.job.cuts.as_built import height_as_cut, off_center, side_thickness
from crewdesk.trade.cuts.instruments import Instrument
from crewdesk.trade.cuts.measured import (
    Measured,
    OnSlope,
    Two,
    at_edges,
    end_ratios,
    in_slope,
    lean_of,
    room,
    skew_of,
    twist,
)
from crewdesk.trade.cuts.side_board import End

Typed = Mapping[str, Reading] | None
ZERO = Fraction(0)
NO_LEAN = Measured(ZERO, ZERO)
BOTH: tuple[End, End] = (1, 2)


def read_with(beam: Beam, reading: Reading) -> Instrument:
    """Return the instrument that a length was read with, by its name, to the reading's step."""
    return beam.instruments.for_length(reading.instrument)._replace(step=reading.read_to)


def level_of(beam: Beam, reading: Reading) -> Instrument:
    """Return the level that a wall's lean was read with, to the reading's own step."""
    return beam.instruments.level._replace(step=reading.read_to)


def measured(beam: Beam, reading: Reading) -> Measured:
    """Return a measured length with its uncertainty."""
    return Measured(reading.value, read_with(beam, reading).length_off)


def slope_of(beam: Beam) -> OnSlope | None:
    """Return the slope that the beam runs up, or None if it hangs level."""
    if beam.ceiling != "sloped" or beam.pitch is None:
        return None
    return OnSlope(beam.pitch, beam.low)


def squares_of(beam: Beam, side: Piece | None = None, typed: Typed = None) -> Two:
    """Return the squares' readings at both walls, in the beam's own slope, each or None if not
    taken; at one side, or between both."""
    if typed is None and (side is None or beam.pieces.get(side.key) is side):
        name = "squares" if side is None else f"squares at {side.key}"
        return beam.once(name, lambda: _squares_of(beam, side, None))
    return _squares_of(beam, side, typed)


def _squares_of(beam: Beam, side: Piece | None, typed: Typed) -> Two:
    read, slope = [beam.pair.square(end) for end in BOTH], slope_of(beam)
    if read == [None, None]:
        return None, None
    leans: Two = (None, None)
    if slope is not None:
        leans = _mean_leans(beam) if side is None else leans_of(beam, side, typed)
    first, second = (
        None
        if one is None
        else in_slope(skew_of(one.reading, beam.instruments.square), lean or NO_LEAN, slope, end)
        for end, one, lean in zip(BOTH, read, leans, strict=True)
    )
    return first, second


def slants_of(beam: Beam) -> Two:
    """Return how a bottom board's ends slant, per inch across it, by the squares at both walls; or
    None if no square was held. On a bottom tilted by t, edge A the lower, this is skew x cos t +
    lean x sin t."""
    tilt = math.radians(beam.boards["bottom"].tilt)
    squares = squares_of(beam)
    if not tilt:
        return squares
    cosine, sine = Fraction(math.cos(tilt)), Fraction(math.sin(tilt))
    first, second = (
        None
        if square is None
        else Measured(
            square.value * cosine + wall.value * sine,
            square.off * cosine + wall.off * abs(sine),
        )
        for square, wall in zip(squares, coming_in(beam), strict=True)
    )
    return first, second


def top_twists_of(beam: Beam) -> tuple[Measured, Measured]:
    """Return how much each wall's twist between side A and side B slants a top board's end, per
    inch across it, at the sides' upper edges; a lean that was not measured counts as plumb."""
    sides = sides_of(beam)
    leans = [[one or NO_LEAN for one in leans_of(beam, side)] for side in sides]
    per_inch = max(height_as_cut(beam, one.key) for one in sides) / beam.section.width
    first, second = (
        Measured(made.value * per_inch, made.off * per_inch)
        for at, end in enumerate(BOTH)
        for made in [twist(leans[0][at], leans[-1][at], slope_of(beam), end)]
    )
    return first, second


def side_twist_of(beam: Beam, piece: Piece, end: End, typed: Typed = None) -> Measured:
    """Return how much farther side A reaches per inch across at a side's upper edge than at its
    bottom edge, by the wall's twist between both sides; none until both sides' leans were read."""
    if typed is None:
        made = beam.once(f"twist at end {end}", lambda: _twist(beam, piece, end, None))
    else:
        made = _twist(beam, piece, end, typed)
    if made is None:
        return Measured(ZERO, ZERO)
    per_inch = height_as_cut(beam, piece.key) / beam.section.width
    return Measured(made.value * per_inch, made.off * per_inch)


def _twist(beam: Beam, piece: Piece, end: End, typed: Typed) -> Measured | None:
    """Return how much more a wall comes in at side B than at side A, per inch up, if `typed`
    replaces readings of the piece; None until both sides' leans were read."""
    sides = sides_of(beam)
    over_a, over_b = (
        leans_of(beam, side, typed if side.key == piece.key else None)[end - 1]
        for side in (sides[0], sides[-1])
    )
    if len(sides) < 2 or over_a is None or over_b is None:
        return None
    return twist(over_a, over_b, slope_of(beam), end)


def sides_of(beam: Beam) -> list[Piece]:
    """Return the beam's sides."""
    return [one for one in beam.pieces.values() if one.kind == "side"]


def leans_of(beam: Beam, side: Piece, typed: Typed = None) -> Two:
    """Return both walls' leans as read at a side; those of the record are computed once."""
    if typed is None and beam.pieces.get(side.key) is side:
        return beam.once(f"leans at {side.key}", lambda: _leans_read(beam, side, None))
    return _leans_read(beam, side, typed)


def _leans_read(beam: Beam, side: Piece, typed: Typed) -> Two:
    first, second = (
        None if one is None else lean_of(one.end, level_of(beam, one))
        for one in side.read(ENDS, typed)
    )
    return first, second


def _mean_leans(beam: Beam) -> Two:
    """Return the walls' leans between both sides: the mean of those that were read."""
    lines = [leans_of(beam, side) for side in sides_of(beam)]
    first, second = (_mean([one for leans in lines if (one := leans[at])]) for at in (0, 1))
    return first, second


def _mean(read: list[Measured]) -> Measured | None:
    if not read:
        return None
    count = len(read)
    return Measured(
        sum((one.value for one in read), ZERO) / count, sum((one.off for one in read), ZERO) / count
    )


def ratios_of(beam: Beam, side: Piece) -> Two:
    """Return how far each wall comes in per inch up a side, or None if its lean was not
    measured."""
    slope = slope_of(beam)
    first, second = (
        None if one is None else end_ratios(one, slope, end)
        for end, one in zip(BOTH, leans_of(beam, side), strict=True)
    )
    return first, second


def a_over_b(beam: Beam) -> Measured | None:
    """Return how much longer side A's run is than side B's by the squares, in inches; or None until
    both squares and the necessary leans were read.

    On a slope the squares count as they meet the slope. Between walls that come in by `l` per inch
    up, a side whose bottom edge is `h` higher is shorter by l x h.
    """
    first, second = squares_of(beam)
    if first is None or second is None:
        return None
    wide, higher = beam.section.width, _higher(beam)
    value, off = (first.value + second.value) * wide, (first.off + second.off) * wide
    leans = _mean_leans(beam)
    if (higher or slope_of(beam)) and None in leans:
        return None
    for lean in leans if higher else ():
        assert lean is not None
        value, off = value + lean.value * higher, off + lean.off * abs(higher)
    return Measured(value, off)


def _higher(beam: Beam) -> Fraction:
    """Return how much higher side B's bottom edge is than side A's, in inches: the difference of
    the drops of a beam along a ridge, as its sides were scribed."""
    hung, height_b = beam.as_hung
    if beam.form.id != "ridge" or height_b is None:
        return ZERO
    return hung.height - height_b


def runs_of(beam: Beam) -> list[Reading]:
    """Return the sides' lengths wall to wall that were read."""
    return [run for side in sides_of(beam) if (run := side.latest("run")) is not None]


def edges_between(beam: Beam, height: Fraction, places: tuple[Fraction, Fraction]) -> Two:
    """Return the length between the walls along two lines, from the sides' and the square's
    readings, or None if they aren't enough. A lean that was not measured counts as plumb.

    height: inches up from the sides' bottom edges. places: inches from side A's show face.
    """
    return at_edges(rooms_at(beam, height), places, beam.section.width, squares_of(beam))


def rooms_at(beam: Beam, height: Fraction) -> Two:
    """Return the length between the walls at side A's and at side B's show face, `height` inches up
    from their bottom edges; None at a side that isn't there or whose run was not measured."""
    rooms = [None if key not in beam.pieces else _room(beam, key, height) for key in "AB"]
    return rooms[0], rooms[1]


def _room(beam: Beam, key: str, height: Fraction) -> Measured | None:
    side = beam.pieces[key]
    run = side.latest("run")
    if run is None:
        return None
    first, second = (one or NO_LEAN for one in leans_of(beam, side))
    return room(measured(beam, run), (first, second), height, slope_of(beam))


def places_of(beam: Beam, piece: Piece) -> tuple[Fraction, Fraction]:
    """Return where a flat board's edges are, in inches from side A's show face."""
    section, width = beam.section, beam.boards[piece.key].width
    if "B" not in beam.pieces:
        near = side_thickness(beam, "A") + section.fit / 2
        return near, near + width
    near = (section.width - width) / 2 + off_center(beam)
    return near, near + width


def coming_in(beam: Beam) -> tuple[Measured, Measured]:
    """Return the most that each wall comes in per inch up, over both sides; an unmeasured wall
    counts as plumb."""
    ratios = [ratios_of(beam, side) for side in sides_of(beam)]
    found = []
    for at, end in enumerate(BOTH):
        read = [one for pair in ratios if (one := pair[at]) is not None]
        read = read or [end_ratios(NO_LEAN, slope_of(beam), end)]
        found.append(Measured(max(one.value for one in read), max(one.off for one in read)))
    return found[0], found[1]
