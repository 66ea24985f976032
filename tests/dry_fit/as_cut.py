"""Sides that were cut for one room and are tried in another: the room was read again after the
cut, and its walls turned out to be elsewhere.

Each side is made of what the first room's cut list and dry fit ask for, also its back bevels,
and slid along in the second room, point by point.
"""

import json
import math
import random
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from tests.dry_fit.cut_list import Beam, Doc, beam_of
from tests.dry_fit.hang import hung_sides
from tests.dry_fit.job_file import beam_name, job_file
from tests.dry_fit.measure import ANGLES, STEP_SIZES, Measure
from tests.dry_fit.random_rooms import random_room
from tests.dry_fit.readings import read
from tests.dry_fit.room import Room, Wall
from tests.dry_fit.saw import Point3
from tests.dry_fit.trial import ROOT, crewdesk

KINDS = ("usual", "uneven", "wall", "box", "sloped")
"""Those whose sides are square in section."""
CUT, READ_AGAIN = "Cut", "Read again"
HIDDEN = 1 / 128
"""What nobody can see at a board's back, in inches."""
_HEIGHTS = 40
"""At so many heights a board's ends are compared with the walls."""


def both_rooms(seed: int, count: int) -> Iterator[tuple[Room, Room]]:
    """A room as it was read first, and as it was read again."""
    number = 0
    while count:
        room = random_room(seed, number)
        number += 1
        if room.kind in KINDS:
            count -= 1
            room = room._replace(squares=(True, True), both_edges=True)
            yield room, _read_again(random.Random(f"again {seed} {number}"), room)


def _read_again(draw: random.Random, room: Room) -> Room:
    """The same room with one wall or both elsewhere: out of plumb or square by another amount,
    often the other way round."""

    def other(ratio: Fraction) -> Fraction:
        return draw.choice((ratio, -ratio, ratio / 2, Fraction(draw.randint(-30, 30), 960)))

    one, two = (Wall(other(wall.out), other(wall.turn)) for wall in room.walls)
    longer = Fraction(draw.choice((0, 0, 0, -1, 1, 4)), 16)
    return room._replace(walls=(one, two), run=room.run + longer)


def measure_as_cut(
    rooms: list[tuple[Room, Room]], step: str, folder: Path, root: Path = ROOT
) -> Iterator[Measure]:
    """What the dry fit says of every side, beside what it is."""
    cut = [(first, read(first)) for first, _ in rooms]
    file = folder / "job.json"
    file.write_text(job_file(CUT, step, cut, up_to=(None,)), "utf-8")
    crewdesk(root, folder, "import", str(file))
    marked = json.loads(crewdesk(root, folder, "cutlist", CUT, "--json"))
    asked = _by_beam(crewdesk(root, folder, "dryfit", CUT, "--json"))
    done = json.loads(job_file(READ_AGAIN, step, cut, up_to=("tack",)))
    later = json.loads(job_file(READ_AGAIN, step, [(one, read(one)) for _, one in rooms]))
    for row, beam in done["beams"].items():
        _read_later(beam, later["beams"][row])
    file.write_text(json.dumps(done), "utf-8")
    crewdesk(root, folder, "import", str(file))
    said = _by_beam(crewdesk(root, folder, "dryfit", READ_AGAIN, "--json"))
    beams = {one["name"]: beam_of(one) for one in marked["beams"]}
    for first, again in rooms:
        name = beam_name(first)
        for key in first.sides:
            over = too_long(again, key, _outline(first, beams[name], key, asked[name][key]))
            # Its height is shown to the nearest, so its top edge lies that much higher or lower.
            ripped = abs(beams[name].sides[key].height - first.height(key))
            ripped *= abs(again.lean(1)) + abs(again.lean(2))
            yield from _compare(f"room {name} side {key}", over, said[name][key], step, ripped)


def _by_beam(text: str) -> dict[str, dict[str, Doc]]:
    return {
        beam["name"]: {piece["piece"]: piece for piece in beam["pieces"]}
        for beam in json.loads(text)["beams"]
    }


def _read_later(beam: Doc, later: Doc) -> None:
    """Add what was read again, twice, after the cuts."""
    for key in ("A", "B"):
        if key in beam["pieces"]:
            _add(beam["pieces"][key]["readings"], later["pieces"][key]["readings"])
    squares = {end: later["pair"][end] for end in ("square1", "square2")}
    _add(beam["pair"], squares)


def _add(readings: Doc, later: Doc) -> None:
    for name, (one,) in later.items():
        again = [{**one, "when": f"2026-03-0{day}T08:00:00-07:00"} for day in (3, 4)]
        readings[name] = [*readings[name], *again]


def _outline(room: Room, beam: Beam, key: str, asked: Doc) -> tuple[list[Point3], list[Point3]]:
    """Points of both ends of a side: its show face, straight from corner to corner, and its
    back, which stays behind by what was beveled and pared off it."""
    thick = float(room.section.side_thickness)
    bevels = {one["end"]: one for one in asked["back_bevels"]}
    reliefs = {one.number: one.relief for one in (beam.sides[key].left, beam.sides[key].right)}
    inward = thick if key == "A" else -thick
    out: tuple[list[Point3], list[Point3]] = ([], [])
    for at, shows in enumerate(hung_sides(room, beam)[key].shows):
        low, high = min(shows, key=_height), max(shows, key=_height)
        way = 1 if at == 0 else -1
        bevel = bevels.get(at + 1)
        starts = low[2] + 1.0
        above = thick * math.tan(math.radians(bevel["angle_deg"])) if bevel else 0.0
        # As the cut list and the sheets show it, at the job's step.
        pared = reliefs[at + 1] if bevel and bevel["pare_below"] else 0.0
        for part in range(_HEIGHTS + 1):
            x, y, z = (a + (b - a) * part / _HEIGHTS for a, b in zip(low, high, strict=True))
            lost = max(above, pared) if z > starts else pared
            out[at].extend([(x, y, z), (x + way * lost, y + inward, z)])
        slope = (high[0] - low[0]) / (high[2] - low[2])
        out[at].append((low[0] + slope + way * pared, low[1] + inward, starts))
    return out


def _height(point: Point3) -> float:
    return point[2]


def too_long(room: Room, key: str, ends: tuple[list[Point3], list[Point3]]) -> float:
    """How much too long a rigid side is for a room, below 0 where it has room left: it is slid
    along to where the most that it enters either wall is least, at one place for all heights.
    Sliding takes from the one wall what it adds at the other, so it is the deepest that each end
    enters its wall, in all."""
    walls = room.plane(1), room.plane(2)
    return sum(
        max(-wall.clearance(*point) for point in points)
        for wall, points in zip(walls, ends, strict=True)
    )


def _compare(board: str, over: float, said: Doc, step: str, ripped: float) -> Iterator[Measure]:
    """`over` beside what is said; both are rounded as marked, angles to a hundredth of a degree.
    `ripped` is what the board's height, as it is shown, puts it off by."""
    off = 3 * ANGLES + HIDDEN + ripped
    yield Measure("tried as marked", board, float(not said["as_cut"]), 0.0)
    told = float(Fraction(said["over"]["exact"])) or -float(Fraction(said["slack"]["exact"]))
    yield Measure("over or free not as said", board, abs(told - over), off)
    goes_in = float(said["fits"] is True and over > STEP_SIZES[step] + off)
    yield Measure("said to go in", board, goes_in, 0.0)
