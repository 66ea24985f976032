"""Do the sides fit between the walls, and do their marks agree with one another?"""

import math
from collections.abc import Iterator

from tests.dry_fit.cut_list import Beam, SideEnd, SideFigures
from tests.dry_fit.hang import Hung, between_walls, hung_sides
from tests.dry_fit.measure import ANGLES, LENGTHWISE, Allowed, Measure
from tests.dry_fit.room import Room
from tests.dry_fit.saw import side_board


def measure_sides(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """What can be measured on the sides alone."""
    if tuple(beam.sides) != room.sides:
        yield Measure("sides missing", "side", 1.0, 0.0)
        return
    for key, hung in hung_sides(room, beam).items():
        yield from _between_walls(room, key, hung, beam.sides[key], allowed)
        if any((key, end) in beam.compounds for end in (1, 2)):
            cut = hung_sides(room, beam, compound=True)[key]
            yield from _between_walls(room, key, cut, beam.sides[key], allowed, ", compound")
        yield from _own_marks(room, key, beam.sides[key], allowed)


def relief_needed(room: Room, key: str, end: int) -> float:
    """The least that a side's back must lose at an end, over its thickness.

    The wall is at x = turn y there. Going from the show face into the board, y grows on side
    A and falls on side B: where the wall comes nearer on that way the back is in it.
    """
    nearer = room.turn(end) if key == "A" else -room.turn(end)
    return max(0.0, nearer * float(room.section.side_thickness))


def _between_walls(
    room: Room,
    key: str,
    hung: Hung,
    figures: SideFigures,
    allowed: Allowed,
    how: str = "",
) -> Iterator[Measure]:
    name = f"side {key}"
    stand = between_walls(room, hung, shows_only=room.unread)
    ripped = abs(figures.height - room.height(key))
    off = ripped * (abs(room.lean(1)) + abs(room.lean(2))) + ANGLES
    within = allowed.within(key, *LENGTHWISE[0])
    yield Measure(f"too long between the walls{how}", name, stand.over, off + within)
    for number, gap in enumerate(stand.gaps, 1):
        most = 1.5 * allowed.step + off + within
        yield Measure(f"open at the show face, end {number}{how}", name, gap, most)
    for end in (figures.left, figures.right):
        if room.unread[end.number - 1]:
            continue
        needed = relief_needed(room, key, end.number)
        yield Measure(
            f"back relieved for nothing, end {end.number}",
            name,
            end.relief,
            needed + (allowed.step if end.relief else 0.0) + within + ANGLES,
        )


def _own_marks(room: Room, key: str, figures: SideFigures, allowed: Allowed) -> Iterator[Measure]:
    """What the user would see by laying one mark beside another, or beside the beam."""
    name, step = f"side {key}", allowed.step
    ends = (figures.left, figures.right)
    seen = (1, 2) if key == "A" else (2, 1)
    wrong = float(tuple(end.number for end in ends) != seen)
    yield Measure("ends seen the wrong way round", name, wrong, 0.0)
    yield Measure("height off", name, abs(figures.height - room.height(key)), step / 2 + ANGLES)
    yield from _as_they_are(room, key, figures, allowed)
    thick = float(room.section.side_thickness)
    back = max(w_v for w_v, w in side_board(figures, thick).section if w > thick / 2)
    low = min(w_v for w_v, w in side_board(figures, thick).section if w > thick / 2)
    yield Measure("back height off", name, abs(back - low - figures.back_height), step + ANGLES)
    top = figures.bottom_length - sum(end.offset for end in ends)
    yield Measure("top edge off", name, abs(figures.top_length - top), 3 * step + ANGLES)
    reach = _reach(figures)
    yield Measure("blank too short", name, reach - figures.blank, ANGLES)
    yield Measure("blank too long", name, figures.blank - reach, 4 * step + ANGLES)
    for end in ends:
        yield from _end(figures, end, name, thick, step)


def _as_they_are(room: Room, key: str, figures: SideFigures, allowed: Allowed) -> Iterator[Measure]:
    """Each mark by itself, beside what the room is in truth."""
    name, step = f"side {key}", allowed.step
    y, z = (0.0, 0.0) if key == "A" else (float(room.section.width), room.b_edge)
    high = room.height(key)
    true = room.between(y, z)
    leans = sum(room.lean(end) for end in (1, 2))
    for mark, told, is_ in (
        ("bottom_length", figures.bottom_length, true),
        ("top_length", figures.top_length, true - leans * high),
    ):
        off = step + ANGLES + allowed.within(key, mark)
        yield Measure(f"{mark} not within", name, abs(told - is_), off)
    for end in (figures.left, figures.right):
        off = step + ANGLES + allowed.within(key, f"end{end.number}")
        is_ = room.lean(end.number) * high
        yield Measure(f"end {end.number} not within", name, abs(end.offset - is_), off)
        if not room.unread[end.number - 1]:
            is_ = relief_needed(room, key, end.number)
            off = step + ANGLES + allowed.within(key, f"relief{end.number}")
            if end.relief or allowed.exact:
                what = f"relief at end {end.number} not within"
                yield Measure(what, name, abs(end.relief - is_), off)


def _reach(figures: SideFigures) -> float:
    """From the outermost corner of one end to that of the other."""
    return figures.bottom_length + sum(
        max(0.0, -end.offset) for end in (figures.left, figures.right)
    )


def _end(
    figures: SideFigures, end: SideEnd, name: str, thick: float, step: float
) -> Iterator[Measure]:
    by_angle = figures.height * math.tan(math.radians(end.angle))
    off = figures.height * math.radians(0.005) / math.cos(math.radians(end.angle)) ** 2
    at = f"end {end.number}"
    yield Measure(
        f"angle and offset differ, {at}",
        name,
        abs(by_angle - end.offset),
        step * (1 + abs(end.offset) / figures.height / 2) + off + ANGLES,
    )
    by_blade = thick * math.tan(math.radians(end.relief_deg))
    yield Measure(f"relief and blade differ, {at}", name, abs(by_blade - end.relief), step + ANGLES)
