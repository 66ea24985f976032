"""Rooms drawn at random; the same seed, number and kind always make the same room."""

import random
from fractions import Fraction

from tests.dry_fit.readings import bottom_edges_at
from tests.dry_fit.room import MITRED, SCRIBED, Ridge, Room, Section, Station, Wall

KINDS = (
    *("usual",) * 6,
    *("uneven",) * 2,
    *("wall",) * 2,
    *("ridge",) * 4,
    *("mitred",) * 2,
    *("box",) * 2,
    *("mitred box",) * 1,
    *("sloped",) * 4,
    *("into ridge",) * 1,
)
_IN_PLAN = ("square", "one", "other", "same way", "same way", "opposite", "opposite", "any")


def random_room(seed: int, number: int) -> Room:
    """The room of that number."""
    draw = random.Random(f"{seed} {number}")
    kind = draw.choice(KINDS)
    besides = random.Random(f"besides {seed} {number}")
    tilted = besides.random() < 1 / 10
    kind = "ridge" if tilted else kind
    section = _section(draw, kind)
    ridge = _ridge(draw, section) if kind == "ridge" else None
    if tilted:
        section, ridge = _steeply_tilted(besides, section)
    if ridge:
        section = section._replace(height=ridge.drop_a)
    uneven = None
    if kind == "uneven":
        other = section.height + Fraction(draw.choice((-12, -8, -6, -3, 2, 4, 10, 16)), 4)
        uneven = max(other, section.height / 2)
    walls = _walls(draw, kind, section)
    if (lean := random.Random(f"out at the top {seed} {number}")).random() < 1 / 12:
        walls = _out_at_the_top(lean, walls)
    if tilted:
        walls = _opposite(besides, walls)
    elif kind == "sloped" and besides.random() < 1 / 3:
        walls = _far_off(besides)
    elif kind in ("box", "mitred box") and besides.random() < 1 / 2:
        walls = _out_at_the_top(besides, walls)
    elif kind not in ("ridge", "sloped", "into ridge") and besides.random() < 1 / 8:
        section = section._replace(undercut=Fraction(0))
        walls = _nearly_square(besides, kind, section, walls)
    sloped = kind in ("sloped", "into ridge")
    other_leg = Fraction(besides.choice((0, 24)))
    room = Room(
        number,
        kind,
        section,
        Fraction(draw.randint(45 * 640, 250 * 640), 640),
        walls,
        Fraction(draw.choice((1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12)), 12) if sloped else Fraction(0),
        draw.choice((1, 2)) if sloped else 1,
        uneven,
        ridge,
        Fraction(draw.randint(12, 24), 2) if kind == "into ridge" else None,
        level=Fraction(draw.choice((9, 24, 48))),
        legs=(leg := Fraction(draw.choice((8, 16, 24))), other_leg or leg),
    )
    room = room._replace(ceiling=_ceiling(draw, room)) if kind in SCRIBED else room
    return _read(draw, room)


def _section(draw: random.Random, kind: str) -> Section:
    eighth, quarter = Fraction(1, 8), Fraction(1, 4)
    mitred = kind in MITRED
    thick = Fraction(draw.choice((8, 12, 12, 12, 13, 16)), 16)
    width = draw.randint(18, 48) * quarter
    if draw.random() < 0.2:
        width = Fraction(draw.randint(72, 190), 16)
    height = draw.randint(22, 48) * quarter
    if kind == "ridge":
        height += 4
    if draw.random() < 0.15:
        height += Fraction(draw.choice((1, 3, 5)), 32)
    return Section(
        width,
        height,
        thick,
        thick if mitred else Fraction(draw.choice((8, 12, 12, 12, 13, 16)), 16),
        Fraction(0) if mitred else draw.choice((0, 1, 2, 2, 2, 3, 4)) * eighth,
        Fraction(draw.choice((0, 1, 2, 3, 4, 4, 4, 6)), 16),
        Fraction(draw.choice((10, 20, 30, 30, 30, 40, 45)), 2),
        Fraction(draw.choice((0, 0, 1, 2)), 32),
        Fraction(draw.choice((0, 0, 1, 1, 2)), 32),
    )


def _walls(draw: random.Random, kind: str, section: Section) -> tuple[Wall, Wall]:
    """Two walls: each out of plumb by itself, and turned in plan in one of the usual ways."""

    def out() -> Fraction:
        if draw.random() < 0.25:
            return Fraction(0)
        most = 72 if draw.random() < 0.1 else 20
        return Fraction(draw.randint(-most, most), 960)

    def turn() -> Fraction:
        most = 100 if draw.random() < 0.25 else 40
        return Fraction(draw.choice((-1, 1)) * draw.randint(2, most), 960)

    how, one = draw.choice(_IN_PLAN), turn()
    first, second = {
        "square": (Fraction(0), Fraction(0)),
        "one": (one, Fraction(0)),
        "other": (Fraction(0), one),
        "same way": (one, -one),
        "opposite": (one, one),
        "any": (one, turn()),
    }[how]
    if kind == "into ridge":
        first = second = Fraction(0)  # The ridge beam's face is plumb and square to the beam.
    return Wall(out(), first), Wall(out(), second)


def _out_at_the_top(draw: random.Random, walls: tuple[Wall, Wall]) -> tuple[Wall, Wall]:
    """The same walls, both going out at the top, by 5/8 in to 1 13/16 in over
    24: boards that are cut to such an opening may have no way in, least of all a stiff box."""
    first, second = (wall._replace(out=Fraction(-draw.randint(24, 72), 960)) for wall in walls)
    return first, second


def _opposite(draw: random.Random, walls: tuple[Wall, Wall]) -> tuple[Wall, Wall]:
    """The same walls, turned opposite ways by much: the room along the bottom's edges differs by
    1/8 in to 1/4 in for each inch across."""
    way = draw.choice((-1, 1))
    first, second = (
        wall._replace(turn=Fraction(way * draw.randint(60, 110), 960)) for wall in walls
    )
    return first, second


def _far_off(draw: random.Random) -> tuple[Wall, Wall]:
    """Walls that are far out of square and far out of plumb, so that no angle is near what the
    one or the other would make alone."""

    def far(low: int, high: int) -> Fraction:
        return Fraction(draw.choice((-1, 1)) * draw.randint(low, high), 960)

    return Wall(far(48, 72), far(60, 100)), Wall(far(48, 72), far(60, 100))


def _nearly_square(
    draw: random.Random, kind: str, section: Section, walls: tuple[Wall, Wall]
) -> tuple[Wall, Wall]:
    """The same walls, turned by so little that the slant of either end is about 1/128 in, mostly
    under it, and mostly opposite ways, where both slants are missing along the same edge."""
    sides = {"wall": 1, "mitred": 0, "mitred box": 0}.get(kind, 2)
    across = section.width - sides * section.side_thickness
    slant = Fraction(draw.choice((12, 14, 15, 15, 15, 17)), 2000)
    other = draw.choice((1, 1, 1, -1))
    way = draw.choice((-1, 1, 1))
    turn = (way * slant / across).limit_denominator(10**4)
    return walls[0]._replace(turn=turn), walls[1]._replace(turn=other * turn)


def _steeply_tilted(draw: random.Random, section: Section) -> tuple[Section, Ridge]:
    """A bottom that is tilted by 11 to 24 degrees, thick for its width and with little relief: it
    is narrowed by much, so that its edges lie far from where they were read."""
    section = section._replace(
        width=Fraction(draw.randint(20, 28), 4),
        side_thickness=Fraction(draw.choice((8, 12)), 16),
        bottom_thickness=Fraction(draw.choice((12, 16)), 16),
        flat=Fraction(draw.choice((4, 6)), 16),
        bevel=Fraction(draw.choice((10, 20)), 2),
    )
    pitch, other = (Fraction(draw.choice((4, 6, 8, 10, 12)), 12) for _ in range(2))
    inside = section.width - 2 * section.side_thickness
    unequal = draw.choice((-1, 1)) * Fraction(int(inside * draw.randint(20, 44) / 25), 4)
    fall = section.width / 2 * max(pitch, other)
    drop = fall + section.bottom_thickness + section.reveal + 5 + max(Fraction(0), -unequal)
    drop = Fraction(int(drop * 4) + 1, 4)
    return section, Ridge(pitch, other, drop, drop + unequal)


def _ridge(draw: random.Random, section: Section) -> Ridge:
    pitch = Fraction(draw.choice((2, 3, 4, 6, 8)), 12)
    other = pitch if draw.random() < 0.5 else Fraction(draw.choice((2, 3, 4, 6, 8)), 12)
    fall = section.width / 2 * max(pitch, other)
    drop = max(section.height, fall + section.bottom_thickness + section.reveal + 4)
    drop = Fraction(int(drop * 4) + 1, 4)
    unequal = Fraction(draw.choice((-8, -4, -3, 2, 4, 6)), 8) if draw.random() < 0.5 else 0
    return Ridge(pitch, other, drop, drop + unequal)


def _ceiling(draw: random.Random, room: Room) -> tuple[Station, ...]:
    """Heights over both sides; flat, sagging or bumpy."""
    length = int(min(room.run, Fraction(room.between(float(room.section.width), room.b_edge))))
    count = draw.choice((3, 4, 5, 5, 7))
    places = [Fraction(length * i, count - 1) for i in range(count)]
    if draw.random() < 0.4:
        places.append(Fraction(length * draw.randint(5, 95), 101))
    bump = draw.choice((0, 4, 12, 40))
    sixty_fourth = Fraction(1, 64)
    base = Fraction(draw.randint(2, 30))
    over_b = Fraction(room.height("B") - room.height("A")) + Fraction(room.b_edge)
    out_of_level = draw.randint(-bump, bump) * sixty_fourth

    def height() -> Fraction:
        return draw.randint(0, bump) * sixty_fourth

    low = max(Fraction(0), -over_b, -over_b - out_of_level) + 1
    if room.kind == "wall":
        heights = [(at, low + base + height()) for at in sorted(set(places))]
        return tuple(Station(at, over, over) for at, over in heights)
    return tuple(
        Station(
            at,
            low + base + height(),
            low + base + height() + over_b + out_of_level * (at / length),
        )
        for at in sorted(set(places))
    )


def _read(draw: random.Random, room: Room) -> Room:
    """What the user reads of it: mostly all; sometimes no more than it takes."""
    turns = [wall.turn for wall in room.walls]
    squares, edges = (True, True), True
    a, b = bottom_edges_at(room)
    if abs(room.between(*a) - room.between(*b)) < 1e-9 and draw.random() < 0.5:
        edges = False
    if room.tilt:
        return room._replace(both_edges=edges)
    if draw.random() < 0.25:
        squares = (turns[0] != 0, turns[1] != 0)
    elif draw.random() < 0.06:
        # Without any square nobody can tell a slant from lengths that are equal.
        squares, edges = (draw.random() < 0.5, sum(turns) == 0), True
    elif draw.random() < 0.15:
        edges = False  # Edge B follows from edge A and both squares.
    return room._replace(squares=squares, both_edges=edges)
