"""Does the bottom go in between the walls and the sides, and a top board as well?"""

import math
from collections.abc import Iterator

from tests.dry_fit.cut_list import Beam, BoardFigures
from tests.dry_fit.hang import Hung, between_walls, hung_bottom, hung_top, rests_on
from tests.dry_fit.measure import ANGLES, LENGTHWISE, Allowed, Measure
from tests.dry_fit.readings import USUAL, Readings, bottom_edges_at
from tests.dry_fit.room import MITRED, Room
from tests.dry_fit.saw import Point2, flat_board

SCRIBED_OFF = 1 / 4
"""The most that a bottom along a wall is ripped over its width, to be scribed to the wall
(common practice, no source), in inches."""
TOO_SMALL_TO_CUT = 1 / 128
"""An end whose slant is less than this is cut square, in inches: half of the finest step."""
FLAT_INTO_WALL = 1 / 64
"""A flat that reaches no more than this into a wall is left square, and the board cut short."""


def relief(room: Room) -> float:
    """What the relief bevel takes off the back: the leg of a right triangle whose other leg
    is what the flat leaves of the thickness."""
    left = float(room.section.bottom_thickness - room.section.flat)
    return left * math.tan(math.radians(float(room.section.bevel)))


def need(room: Room, lean: float) -> float:
    """How much short of its reading a relieved edge or end must be against a face that comes
    in by `lean`: the face must not reach its flat's upper edge, nor its back."""
    thick, flat = float(room.section.bottom_thickness), float(room.section.flat)
    return max(0.0, lean * flat, lean * thick - relief(room))


def end_need(room: Room, end: int, joint: str) -> float:
    """How much short an end must be that is cut so: one that is bevelled with its wall not at
    all, one that is left square as much as the wall comes in over its whole thickness."""
    lean = _lean(room, end)
    if joint == "bevel":
        return 0.0
    return max(0.0, lean * room.bottom_thickness) if joint == "square" else need(room, lean)


def _lean(room: Room, end: int) -> float:
    """The wall's tangent off the square of the bottom, which may be tilted across the beam."""
    cos, sin = math.cos(room.tilt), math.sin(room.tilt)
    return room.lean(end) * cos - room.turn(end) * sin


def _left_out(room: Room, figures: BoardFigures, allowed: Allowed) -> list[float]:
    """By end, the slant that is too small to be cut, positive where edge A would run past.

    Such an end touches its wall with one edge, and stands off it by the slant at the other, whose
    length is short by as much. With readings that are off the slant is known no better than it is
    said to be.
    """
    cos, sin = math.cos(room.tilt), math.sin(room.tilt)
    out = []
    for end in figures.ends:
        slant = (room.turn(end.number) * cos + room.lean(end.number) * sin) * figures.width
        off = allowed.within("bottom", f"cut{end.number}")
        square = end.offset == end.miter == 0.0 and abs(slant) - off < TOO_SMALL_TO_CUT
        most = min(TOO_SMALL_TO_CUT, abs(slant) + off)
        out.append(math.copysign(most, slant) if square else 0.0)
    return out


def measure_bottom(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """What can be measured on the bottom."""
    if beam.bottom is None:
        yield Measure("bottom missing", "bottom", 1.0, 0.0)
        return
    figures, step = beam.bottom, allowed.step
    yield from _tilt(room, figures)
    yield from _width(room, beam, allowed)
    unknown = any(end.offset is None for end in figures.ends)
    if not any(room.squares):
        yield from _without_squares(room, figures, allowed)
        if unknown or any(room.unread):
            return  # Edges that are read alike are taken for those of square walls.
    yield Measure("slant not known though it was measured", "bottom", float(unknown), 0.0)
    if unknown:
        return
    within = allowed.within("bottom", *LENGTHWISE[1])
    needs = [end_need(room, end.number, end.joint) for end in figures.ends]
    for end, need_ in zip(figures.ends, needs, strict=True):
        what = f"left square against a wall that comes in, end {end.number}"
        yield Measure(what, "bottom", need_, FLAT_INTO_WALL + ANGLES + within)
    short = max(float(room.section.undercut), sum(needs)) - sum(needs)
    left_out = _left_out(room, figures, allowed)
    hows = ["", ", by offset"]
    if any(key == "bottom" for key, _ in beam.compounds):
        hows.append(", compound")
    for how in hows:
        by_offset, compound = how == ", by offset", how == ", compound"
        hung = hung_bottom(room, beam, by_offset=by_offset, compound=compound)
        stand = between_walls(room, hung)
        laid_out = step if by_offset else 0.0
        yield Measure(f"too long{how}", "bottom", stand.over, ANGLES + within)
        for number, (gap, need_) in enumerate(zip(stand.gaps, needs, strict=True), 1):
            # A tilted board's edges are read a little beside where they come to hang.
            left = short + step + (sum(needs) if compound else 0.0) + abs(room.tilt) / 25
            most = left / 2 + need_ + abs(left_out[number - 1]) + laid_out + ANGLES + within
            yield Measure(f"open at the show face, end {number}{how}", "bottom", gap, most)
    yield from _as_it_is(room, figures, short + sum(needs), allowed)
    yield from _board_as_told(room, figures, "bottom", step)
    yield from _reveal(room, beam, step)
    flat = 0.0 if room.kind in MITRED else float(room.section.flat)
    for end in figures.ends:
        if end.joint == "relief":
            yield Measure("flat off", "bottom", abs(end.flat - flat), step / 2 + ANGLES)
            blade = abs(end.blade - float(room.section.bevel))
            yield Measure("relief blade off, degrees", "bottom", blade, 0.006)


def _without_squares(room: Room, figures: BoardFigures, allowed: Allowed) -> Iterator[Measure]:
    """No slant may be told as a fact where edges differ; their lengths are known all the same."""
    differ = figures.edge_a != figures.edge_b
    for end in figures.ends:
        told = float(differ and end.offset is not None)
        yield Measure(f"slant told though no square was held, end {end.number}", "bottom", told, 0)
    at = _edges_at(room, figures)
    needs = sum(end_need(room, end.number, end.joint) for end in figures.ends)
    short = max(float(room.section.undercut), needs)
    within = allowed.within("bottom", "edge_a", "edge_b")
    for name, edge, (y, z) in zip("AB", (figures.edge_a, figures.edge_b), at, strict=True):
        left = room.between(y, z) - short - edge
        yield Measure(f"edge {name} too long", "bottom", -left, ANGLES + within)
        yield Measure(f"edge {name} too short", "bottom", left, allowed.step + ANGLES + within)


def _edges_at(room: Room, figures: BoardFigures) -> tuple[Point2, Point2]:
    """Where the board's edges run, y and z; along a wall edge B is that of the stock, before it
    is scribed. A tilted board's lower edge lies farther in than it was read, by what keeps
    its flat and its back out of that side."""
    a, b = bottom_edges_at(room)
    if room.kind == "wall":
        return a, (a[0] + figures.width, b[1])
    lost = need(room, abs(math.tan(room.tilt)))
    across, rise = lost * math.cos(room.tilt), lost * math.sin(room.tilt)
    if room.tilt > 0:
        return (a[0] + across, a[1] + rise), b
    return a, (b[0] - across, b[1] - rise)


def _as_it_is(
    room: Room, figures: BoardFigures, short: float, allowed: Allowed
) -> Iterator[Measure]:
    """Each mark by itself, beside what the room is in truth."""
    cos, sin = math.cos(room.tilt), math.sin(room.tilt)
    at = _edges_at(room, figures)
    left_out = _left_out(room, figures, allowed)
    for name, edge, (y, z) in zip("ab", (figures.edge_a, figures.edge_b), at, strict=True):
        # The second edge may be told by the first one's mark alone, where both are alike.
        within = allowed.within("bottom", f"edge_{name}") or allowed.within("bottom", "edge_a")
        off = abs(room.between(y, z) - short - edge)
        # With readings that are off nothing says which edge would run past.
        way = 1 if name == "a" else -1
        lost = sum(max(0.0, way * one) if allowed.exact else abs(one) for one in left_out)
        most = allowed.step + ANGLES + within + lost
        yield Measure(f"edge {name.upper()} not within", "bottom", off, most)
    for end in figures.ends:
        if room.unread[end.number - 1] or end.offset is None:
            continue
        across = room.turn(end.number) * cos + room.lean(end.number) * sin
        within = allowed.within("bottom", f"cut{end.number}")
        if not (within or allowed.exact):
            continue  # Nothing is said of an end that is square.
        # The width is rounded too, and the slant over it with it.
        most = allowed.step * (1 + abs(across)) + ANGLES + within
        off = abs(across * figures.width - end.offset)
        yield Measure(f"slant at end {end.number} not within", "bottom", off, most)


def _tilt(room: Room, figures: BoardFigures) -> Iterator[Measure]:
    tilt = math.degrees(room.tilt)
    lower = None if tilt == 0 else "B" if tilt < 0 else "A"
    yield Measure("tilt off, degrees", "bottom", abs(figures.tilt - abs(tilt)), 0.02)
    yield Measure("lower side wrong", "bottom", float(figures.lower_side != lower), 0.0)


def _width(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """Between the faces it goes in between: never too wide, nor with more than its clearance."""
    assert beam.bottom is not None
    figures, fit = beam.bottom, float(room.section.fit)
    near, far = room.faces
    cos = math.cos(room.tilt)
    room_for_it = (far - near) / cos
    if room.kind in MITRED:
        fit, leaning = 0.0, 0.0
    else:
        leaning = need(room, abs(math.tan(room.tilt)))
    if all(end.offset is not None for end in figures.ends):
        across = [y for y, _ in hung_bottom(room, beam).section]
        over = max(across) - min(across) - (far - near)
        most = 2 * ANGLES if room.tilt else ANGLES / 10
        yield Measure("too wide", "bottom", over, most)
    left = room_for_it - fit - leaning - figures.width
    yield Measure("too narrow", "bottom", left, allowed.step + ANGLES)
    to_scribe = SCRIBED_OFF if room.kind == "wall" else 0.0
    yield Measure("wider than its clearance", "bottom", -left, ANGLES / 10 + to_scribe)


def _reveal(room: Room, beam: Beam, step: float) -> Iterator[Measure]:
    """How high the bottom's show face stands over each side's bottom edge, at its inner face."""
    shows = [p for end in hung_bottom(room, beam).shows for p in end]
    near, far = room.faces
    edges = ((near, 0.0, "A"), (far, room.b_edge, "B"))
    # A tilted one hangs between two lines that are both rounded, some way in from its edges.
    (y1, _), (y2, _) = rests_on(room, beam)
    in_from_edge = max(y1 - near, far - y2) / (y2 - y1) if room.tilt else 0.0
    rounded_twice = 1 + 2 * in_from_edge
    for y, edge, key in edges[: len(room.sides)]:
        y0, z0 = min(((y, z) for _, y, z in shows), key=lambda p: abs(p[0] - y))
        at_face = z0 + (y - y0) * math.tan(room.tilt)
        off = abs(at_face - edge - room.reveal)
        most = step / 2 * rounded_twice + ANGLES
        yield Measure(f"reveal off at side {key}", "bottom", off, most)


def _board_as_told(room: Room, figures: BoardFigures, name: str, step: float) -> Iterator[Measure]:
    """The board that the saw makes has the back that is told beside it."""
    plain = name == "top" or room.kind in MITRED
    if figures.flat is not None and figures.relief is not None:
        flat, off = (0.0, 0.0) if plain else (float(room.section.flat), relief(room))
        yield Measure("flat off", name, abs(figures.flat - flat), step / 2 + ANGLES)
        yield Measure("relief off", name, abs(figures.relief - off), step / 2 + ANGLES)
    thick = room.bottom_thickness
    board = flat_board(figures, thick)
    edges = zip("AB", (0.0, figures.width), strict=True)
    told = {"A": (figures.edge_a, figures.back_a), "B": (figures.edge_b, figures.back_b)}
    back = [v for v, w in board.section if w > thick - 1e-6]
    width = max(back) - min(back)
    flats = sum(math.tan(math.radians(edge.blade)) for edge in figures.edges if edge.flat)
    off = step * (1.5 + flats / 2) + ANGLES
    yield Measure("back width off", name, abs(width - figures.back_width), off)
    yield Measure(
        "longer edge off", name, abs(figures.length - max(figures.edge_a, figures.edge_b)), ANGLES
    )
    # Both edges are shown to less than a step under their own, and the width that the slants go
    # over as well.
    slants = sum(math.tan(math.radians(end.miter or 0.0)) for end in figures.ends)
    unlike = step * (1 + abs(slants)) + ANGLES
    for edge, v in edges:
        inside = (min if edge == "A" else max)(back)
        if room.scribed_width and edge == "B":
            inside = v
        at_show, at_back = (
            min(p.u(v, w) for p in board.right) - max(p.u(v, w) for p in board.left)
            for v, w in ((v, 0.0), (inside, thick))
        )
        show, behind = told[edge]
        yield Measure(f"edge {edge} off", name, abs(at_show - show), unlike)
        off = 2 * step + ANGLES
        yield Measure(f"back at edge {edge} off", name, abs(at_back - behind), off)
    for end, planes in zip(figures.ends, (board.left, board.right), strict=True):
        sign = 1 if end.number == 1 else -1
        show, behind = (max(sign * p.u(0.0, w) for p in planes) for w in (0.0, thick))
        short = abs(behind - show - end.back_short)
        yield Measure(f"back short at end {end.number} off", name, short, 1.5 * step + ANGLES)
        assert end.offset is not None
        assert end.miter is not None
        slant = math.tan(math.radians(end.miter))
        slanted = abs(figures.width * slant - end.offset)
        most = (
            step * (1 + abs(slant)) + ANGLES
        )  # The width is shown less than a step under its own.
        yield Measure(f"miter and offset differ, end {end.number}", name, slanted, most)


def measure_shares(room: Room, readings: Readings, beam: Beam) -> Iterator[Measure]:
    """What the edges' readings leave over the slants by the squares is shared by both ends by
    least squares: to each as the square of what its own reading can be off by, which is the
    square's error and half a step of its gap over its leg."""
    one, two = readings.squares
    if beam.bottom is None or one is None or two is None or room.pitch or room.tilt:
        return
    first, second = (end.miter for end in beam.bottom.ends)
    if not first or not second:  # A slant too small to cut is cut square.
        return
    slants = [math.tan(math.radians(miter)) for miter in (first, second)]
    over_1, over_2 = (slants[0] - float(one), slants[1] - float(two))
    weights = [float(USUAL.vial + USUAL.gap_step / 2 / leg) ** 2 for leg in room.legs]
    off = abs(over_1 - (over_1 + over_2) * weights[0] / sum(weights)) * beam.bottom.width
    yield Measure("what is left over isn't shared by how sure", "bottom", off, ANGLES)


def measure_top(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """What can be measured on a top board: its ends don't show, but it must go in."""
    if room.form not in ("box", "mitred box"):
        return
    if beam.top is None:
        yield Measure("top missing", "top", 1.0, 0.0)
        return
    figures, step = beam.top, allowed.step
    near, far = room.faces
    fit = 0.0 if room.kind in MITRED else float(room.section.fit)
    yield Measure("too wide", "top", figures.width - (far - near) + fit, ANGLES / 10)
    yield Measure("too narrow", "top", far - near - fit - figures.width, step + ANGLES)
    if any(end.offset is None for end in figures.ends):
        return
    yield from _board_as_told(room, figures, "top", step)
    if not any(room.squares) and any(room.unread):
        yield from _top_taken_as_square(room, figures, allowed)
        return
    hung: Hung = hung_top(room, beam)
    stand = between_walls(room, hung)
    within = allowed.within("top", *LENGTHWISE[1])
    short = float(room.section.undercut)
    yield Measure("too long", "top", stand.over, ANGLES + within)
    yield Measure("too short", "top", -stand.over, short + 2 * step + ANGLES + within)


def _top_taken_as_square(room: Room, figures: BoardFigures, allowed: Allowed) -> Iterator[Measure]:
    """Where no square was held, sides that are read alike are taken for those between square
    walls, which is said beside the figures. The edges' lengths are known all the same: each is
    short of its room by the under-cut, or by what the walls come in below its outer face."""
    low = [max(0.0, -room.lean(end.number)) for end in figures.ends if end.joint == "square"]
    short = max(float(room.section.undercut), room.bottom_thickness * sum(low))
    near, far = room.faces
    first = (near + far - figures.width) / 2
    within = allowed.within("top", "edge_a", "edge_b")
    places = (first, first + figures.width)
    for name, edge, y in zip("AB", (figures.edge_a, figures.edge_b), places, strict=True):
        left = room.between(y, room.height("A")) - short - edge
        yield Measure(f"edge {name} too long", "top", -left, ANGLES + within)
        yield Measure(f"edge {name} too short", "top", left, allowed.step + ANGLES + within)
