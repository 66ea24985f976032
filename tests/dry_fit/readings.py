"""What the user reads in a room: exactly, or as far off as the instruments allow."""

import math
import random
from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from tests.dry_fit.room import Room, Station

_FINE = 10**6


class Instruments(NamedTuple):
    """How far an instrument can be off by itself, and the step it is read to (0: exactly).

    `laser`, `tape`: inches on any length; `vial`: inches over an inch of a level or a square,
    whose gap is read to `gap_step`; `line`: inches over an inch from where a line laser
    stands, under the ceiling's heights; `pitch`: a slope's tangent as it is typed.
    """

    laser: Fraction = Fraction(0)
    laser_step: Fraction = Fraction(0)
    tape: Fraction = Fraction(0)
    tape_step: Fraction = Fraction(0)
    vial: Fraction = Fraction(0)
    gap_step: Fraction = Fraction(0)
    line: Fraction = Fraction(0)
    line_step: Fraction = Fraction(0)
    pitch: Fraction = Fraction(0)


REPEATS = Fraction(1, 32)
"""How far apart two readings of one length by one instrument can be, in inches, besides what it
is read to (common practice, no source)."""
EXACT = Instruments()
USUAL = Instruments(
    laser=Fraction(1, 16),
    laser_step=Fraction(1, 32),
    tape=Fraction(1, 16),
    tape_step=Fraction(1, 16),
    vial=Fraction(1, 2000),
    gap_step=Fraction(1, 32),
    line=Fraction(1, 2880),
    line_step=Fraction(1, 32),
    pitch=Fraction(1, 16) / 12,
)
"""A tape's tolerance from 7 to 30 ft is 1/16 in (NIST Handbook 44, section 5.52, table 2, from
memory); the others are what makers print on theirs: a laser distance meter 1/16 in, a level
and a square 0.0005 in/in, a line laser 1/8 in at 30 ft; a pitch is typed to 1/8 in 12 (common
practice, no source)."""


class Readings(NamedTuple):
    """By side: its run, and the wall's tangent out of plumb at each end; by end: the square's
    tangent, None where it was not read; and the bottom's opening."""

    runs: dict[str, Fraction]
    leans: dict[str, tuple[Fraction, Fraction]]
    squares: tuple[Fraction | None, Fraction | None]
    opening: Fraction
    edge_b: Fraction | None
    ceiling: tuple[Station, ...]
    pitch: Fraction


def read(room: Room, instruments: Instruments = EXACT, seed: int = 0) -> Readings:
    """Every reading of a room; each is off by a chance amount within its instrument's error.

    A sloped beam's pitch is typed as it was drawn; `true_room` has what it is in truth.
    """
    draw = random.Random(f"read {seed} {room.number}")
    pitch, room = room.pitch, true_room(room, instruments, seed)

    def off(most: Fraction) -> Fraction:
        """As far off as may be, every other time."""
        if draw.random() < 0.5:
            return draw.choice((-1, 1)) * most
        return Fraction(draw.randint(-1000, 1000), 1000) * most

    def lengths(own: Fraction, step: Fraction) -> Callable[[Fraction], Fraction]:
        """One instrument: off by itself alike each time, and set down on another spot."""
        again = min(own, REPEATS / 2)
        bias = off(own - again)
        return lambda true: _to_step(true + bias + off(again), step)

    def tangent(true: Fraction, over: Fraction) -> Fraction:
        """A gap at the end of a level or at a square's leg, over its length."""
        return _to_step((true + off(instruments.vial)) * over, instruments.gap_step) / over

    laser = lengths(instruments.laser, instruments.laser_step)
    tape = lengths(instruments.tape, instruments.tape_step)
    wide = float(room.section.width)
    edges = {"A": (0.0, 0.0), "B": (wide, room.b_edge)}
    runs = {side: laser(_fraction(room.between(*edges[side]))) for side in room.sides}
    one, two = room.walls
    leans = {
        side: (tangent(one.out, room.level), tangent(two.out, room.level)) for side in room.sides
    }
    held = room.squares
    squares = (
        tangent(one.turn, room.legs[0]) if held[0] else None,
        tangent(two.turn, room.legs[1]) if held[1] else None,
    )
    opening, edge_b = (tape(_fraction(room.between(*at))) for at in bottom_edges_at(room))
    # The laser's plane is out of level by no more than its error, this way or that.
    stands = room.run * draw.randint(0, 4) / 4
    share = Fraction(draw.randint(0, 100), 100)
    along, across = off(instruments.line) * share, off(instruments.line) * (1 - share)

    def height(one: Station, side: str) -> Fraction:
        true = one.over_a if side == "A" or room.kind == "wall" else one.over_b
        beside = room.section.width if side == "B" and room.kind != "wall" else 0
        line = along * (one.at - stands) + across * beside
        return max(Fraction(0), _to_step(true + line, instruments.line_step))

    ceiling = tuple(Station(one.at, height(one, "A"), height(one, "B")) for one in room.ceiling)
    return Readings(
        runs, leans, squares, opening, edge_b if room.both_edges else None, ceiling, pitch
    )


def true_room(room: Room, instruments: Instruments, seed: int = 0) -> Room:
    """The room whose slope is as far off what is typed as may be, this way or that."""
    if not room.pitch:
        return room
    way = random.Random(f"pitch {seed} {room.number}").choice((-1, 0, 1))
    return room._replace(pitch=room.pitch + way * instruments.pitch)


def bottom_edges_at(room: Room) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the bottom's edges are read, y and z: half the clearance off each face at its show
    face's height, along a line from one side's reveal to the other's."""
    near, far = room.faces
    clear = 0.0 if room.form.startswith("mitred") else float(room.section.fit) / 2
    if clear == 0:
        return (near, room.reveal), (far, room.reveal + room.b_edge)
    across, rise = clear * math.cos(room.tilt), clear * math.sin(room.tilt)
    return (
        (near + across, room.reveal + rise),
        (far - across, room.reveal + room.b_edge - rise),
    )


def _fraction(value: float) -> Fraction:
    return Fraction(value).limit_denominator(_FINE)


def _to_step(value: Fraction, step: Fraction) -> Fraction:
    return round(value / step) * step if step else value
