"""The true room and the beam that shall hang in it."""

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

Inches = Fraction
Ends = tuple[float, float]

FORMS = {"sloped": "usual", "into ridge": "usual"}
"""The form of a job's file for the kinds of room that have another name here."""
SCRIBED = ("usual", "uneven", "wall", "ridge", "mitred", "sloped", "into ridge")
MITRED = ("mitred", "mitred box")
CLEATED = ("usual", "uneven", "wall", "ridge", "box", "sloped", "into ridge")


class Section(NamedTuple):
    """A beam's section as it is ordered, in inches; `bevel` in degrees."""

    width: Inches
    height: Inches
    side_thickness: Inches = Fraction(3, 4)
    bottom_thickness: Inches = Fraction(3, 4)
    reveal: Inches = Fraction(1, 4)
    flat: Inches = Fraction(1, 4)
    bevel: Fraction = Fraction(15)
    fit: Inches = Fraction(0)
    undercut: Inches = Fraction(1, 32)


class Ridge(NamedTuple):
    """The slopes over side A and side B, and the drops from the ridge to their bottom edges."""

    pitch_a: Fraction
    pitch_b: Fraction
    drop_a: Inches
    drop_b: Inches


class Station(NamedTuple):
    """The ceiling over one level line: its place from end 1, and its heights over both sides."""

    at: Inches
    over_a: Inches
    over_b: Inches


class Wall(NamedTuple):
    """A wall's plane in the world: `out` is its tangent out of plumb (its top comes in where
    positive), `turn` its tangent in plan (side A reaches farther where positive)."""

    out: Fraction = Fraction(0)
    turn: Fraction = Fraction(0)


class Plane(NamedTuple):
    """A wall in the beam's own frame: at end 1 x = `turn` y + `lean` z, and the same seen from
    the far end, `run` away, at end 2."""

    end: int
    run: float
    turn: float
    lean: float

    def clearance(self, x: float, y: float, z: float) -> float:
        """How far a point stands off the wall, along the beam; below 0 it is in it."""
        from_wall = x if self.end == 1 else self.run - x
        return from_wall - self.turn * y - self.lean * z


class Room(NamedTuple):
    """A room and its beam. `run` is wall to wall along side A's bottom edge, in the beam's
    own frame; `squares` says at which walls the user holds a square, of which leg `legs`,
    `both_edges` whether the bottom's opening is read along both edges."""

    number: int
    kind: str
    section: Section
    run: Inches
    walls: tuple[Wall, Wall]
    pitch: Fraction = Fraction(0)
    low: int = 1
    height_b: Inches | None = None
    ridge: Ridge | None = None
    ridge_side: Inches | None = None
    ceiling: tuple[Station, ...] = ()
    squares: tuple[bool, bool] = (True, True)
    both_edges: bool = True
    level: Inches = Fraction(24)
    legs: tuple[Inches, Inches] = (Fraction(24), Fraction(24))

    @property
    def form(self) -> str:
        """The form by its word in a job's file."""
        return FORMS.get(self.kind, self.kind)

    @property
    def case(self) -> str:
        """What kind of room it is, for the tables: beam type, walls in plan, slope."""
        return f"{self.kind} / {self.walls_in_plan} / {self.steepness}"

    @property
    def walls_in_plan(self) -> str:
        """How the two walls are turned in plan."""
        one, two = (wall.turn for wall in self.walls)
        if one == two == 0:
            return "square"
        if one == 0 or two == 0:
            return "one turned"
        return "turned opposite ways" if one * two > 0 else "turned the same way"

    @property
    def steepness(self) -> str:
        """How steep the beam or the ceiling over it is."""
        steepest = max((self.pitch, *(self.ridge[:2] if self.ridge else ())))
        return "level" if steepest == 0 else "to 6/12" if steepest <= Fraction(1, 2) else "steep"

    def slope_at(self, end: int) -> float:
        """The beam's slope as an angle at an end: rising from the wall where positive."""
        angle = math.atan(self.pitch)
        return angle if end == self.low else -angle

    def lean(self, end: int) -> float:
        """The wall's tangent off square in the beam's own frame, in where positive.

        The wall is X = turn Y + out Z, with X level and Z plumb. With the beam's own x and z
        turned by the slope, X = x cos - z sin and Z = x sin + z cos; solved for x.
        """
        out, slope = float(self.walls[end - 1].out), self.slope_at(end)
        return (math.sin(slope) + out * math.cos(slope)) / self._across(end)

    def turn(self, end: int) -> float:
        """The wall's tangent in the beam's own plane, positive where side A reaches farther."""
        return float(self.walls[end - 1].turn) / self._across(end)

    def _across(self, end: int) -> float:
        slope = self.slope_at(end)
        return math.cos(slope) - float(self.walls[end - 1].out) * math.sin(slope)

    def plane(self, end: int) -> Plane:
        """The wall at an end."""
        return Plane(end, float(self.run), self.turn(end), self.lean(end))

    def between(self, y: float, z: float) -> float:
        """Wall to wall along a line at y and z."""
        turns, leans = self.turn(1) + self.turn(2), self.lean(1) + self.lean(2)
        return float(self.run) - turns * y - leans * z

    @property
    def b_edge(self) -> float:
        """How high side B's bottom edge is over side A's: not 0 where the drops differ."""
        return float(self.ridge.drop_a - self.ridge.drop_b) if self.ridge else 0.0

    def height(self, side: str) -> float:
        """A side's height at its show face before it is scribed.

        Along a ridge over the beam's middle the ceiling falls by half the width times the
        pitch down to a show face.
        """
        if self.ridge:
            a, b, drop_a, drop_b = self.ridge
            pitch, drop = (a, drop_a) if side == "A" else (b, drop_b)
            return float(drop - pitch * self.section.width / 2)
        if side == "B" and self.height_b is not None:
            return float(self.height_b)
        return float(self.section.height)

    def top_slope(self, side: str) -> float:
        """How much a side's top edge rises from its show face to its back, as a tangent."""
        if not self.ridge:
            return 0.0
        return float(self.ridge.pitch_a if side == "A" else self.ridge.pitch_b)

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides that there are."""
        return ("A",) if self.kind == "wall" else ("A", "B")

    @property
    def faces(self) -> Ends:
        """Where the bottom goes in: y of side A's inner face, and of side B's or the wall's.
        A mitred bottom reaches from show face to show face."""
        wide, thick = float(self.section.width), float(self.section.side_thickness)
        if self.kind in MITRED:
            return 0.0, wide
        return thick, wide if self.kind == "wall" else wide - thick

    @property
    def scribed_width(self) -> float | None:
        """What a bottom that is scribed to a wall has in width then; None for all others."""
        near, far = self.faces
        return far - near - float(self.section.fit) if self.kind == "wall" else None

    @property
    def tilt(self) -> float:
        """The angle of a bottom that is tilted on purpose, positive where side B is higher."""
        near, far = self.faces
        return math.atan(self.b_edge / (far - near))

    @property
    def reveal(self) -> float:
        """How high the bottom's show face stands over the sides' bottom edges."""
        return 0.0 if self.kind in MITRED else float(self.section.reveal)

    @property
    def bottom_thickness(self) -> float:
        """A mitred beam has one thickness of board all round."""
        one = self.section.side_thickness if self.kind in MITRED else self.section.bottom_thickness
        return float(one)

    @property
    def unread(self) -> tuple[bool, bool]:
        """At which ends a wall is turned in plan that the user held no square to."""
        one, two = (
            not held and wall.turn != 0 for held, wall in zip(self.squares, self.walls, strict=True)
        )
        return one, two

    def ceiling_over(self, side: str) -> list[tuple[float, float]]:
        """Place and height of the ceiling over a side, station by station."""
        return [(float(s.at), float(s.over_a if side == "A" else s.over_b)) for s in self.ceiling]


def along(profile: Sequence[tuple[float, float]], x: float) -> float:
    """The height of a profile at x: straight from station to station, level beyond the last."""
    if x <= profile[0][0]:
        return profile[0][1]
    for (at, height), (to, other) in pairwise(profile):
        if x <= to:
            return height + (other - height) * (x - at) / (to - at)
    return profile[-1][1]
