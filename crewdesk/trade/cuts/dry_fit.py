"""A board as it is marked, tried in its room as it was measured, before it is cut.

Heights run up from the sides' bottom edges. Each wall is a plane; a board's end is a line
from its bottom corner to its top corner, off square by its marked offset.
"""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.side_board import End
from crewdesk.trade.cuts.skew import BACK_BEVEL
from crewdesk.trade.length import Length, exact

WayIn = Literal["straight up", "one end first", "no way"]
Place = Literal["top", "bottom", "edge A", "edge B", "width"]
BEVEL_FROM = Fraction(1)
"""A back bevel starts so far up that it never shows, in inches (common practice, no source)."""


SPRINGS = Fraction(1, 32)
"""What a board gives as it is sprung in, in inches (common practice, no source)."""


class Contact(NamedTuple):
    """A place where a board and a wall are near: at the end, there, `gap` inches apart
    (negative: the board would enter the wall)."""

    end: End | None
    place: Place
    gap: Length


class BackBevel(NamedTuple):
    """A back bevel that is needed at an end: at least `by` inches off the back, `deg` degrees,
    from `start` inches up; `pare` is whether the part below it must be pared as well."""

    end: End
    by: Length
    deg: float
    start: Fraction
    pare: bool


class DryFit(NamedTuple):
    """How a board fits its room.

    `over` is how much too long or too wide it is, in inches, 0 where it goes in; `slack`
    the length that stays free at the tightest height. `touches` is where it touches first,
    `opens` the widest gap at a face that shows. `way` is how it can be brought in, `bevels`
    what its back must lose for that, and `jams` how much too long it is, in inches, for the
    narrower room that it must pass on its way up, 0 where it passes.
    """

    over: Length
    slack: Length
    touches: Contact
    opens: Contact
    way: WayIn
    bevels: tuple[BackBevel, ...] = ()
    jams: Length = Fraction(0)


class SideRoom(NamedTuple):
    """The room of a side, in inches: `run` along its bottom edge; at end 1 and end 2 how far
    the wall comes in per inch up, and per inch behind the show face (None: not measured)."""

    run: Length
    comes_in: tuple[Length, Length]
    behind: tuple[Length | None, Length | None]


def side_fit(
    room: SideRoom,
    length: Length,
    offsets: tuple[Length, Length],
    height: Length,
    thickness: Fraction,
    allowed: Length = Fraction(0),
) -> DryFit:
    """Return how a side fits: `length` along its bottom edge and its `offsets` at the top, as
    marked. Being over by no more than `allowed`, what the marks were rounded by, counts as
    a board to be planed to the line.

    Held in the middle, each end stands (run - length) / 2 off its wall at the bottom and
    differs from that by offset - wall x height at the top. Straight up it goes where the
    walls don't close in below it by more than what is free: -(in1 + in2) x height <= slack.
    Swung in plan about the other end, the far back corner sweeps at most thickness^2 /
    (2 x length) past the show face's length, which the back bevel must take.
    """
    free = room.run - length
    ends: tuple[End, End] = (1, 2)
    gaps = []
    for end, offset, wall in zip(ends, offsets, room.comes_in, strict=True):
        gaps.append(Contact(end, "bottom", free / 2))
        gaps.append(Contact(end, "top", free / 2 + offset - wall * height))
    at_top = free + sum(offsets) - (room.comes_in[0] + room.comes_in[1]) * height
    slack = min(free, at_top)
    over = max(Fraction(0), -exact(slack))
    sweep = thickness * thickness / (2 * exact(length))
    closing = -(room.comes_in[0] + room.comes_in[1]) * height
    straight = closing <= max(exact(slack), Fraction(0))
    way: WayIn = "straight up" if straight else "one end first"
    if over > exact(allowed):
        way = "no way"
    return DryFit(
        over,
        slack,
        min(gaps, key=lambda spot: spot.gap),
        max(gaps, key=lambda spot: spot.gap),
        way,
        _bevels(room, thickness, sweep, free, straight=straight),
    )


def _bevels(
    room: SideRoom, thickness: Fraction, sweep: Fraction, free: Length, *, straight: bool
) -> tuple[BackBevel, ...]:
    """What the back must lose: where the show face has more room, and at the end that swings
    in. With one end first, end 2 is taken for the one that swings."""
    ends: tuple[End, End] = (1, 2)
    made = []
    for end, behind in zip(ends, room.behind, strict=True):
        skew = max(Fraction(0), exact(behind or 0)) * thickness
        swing = sweep if not straight and end == 2 else Fraction(0)
        by = skew + max(Fraction(0), swing - exact(free))
        if not skew and not swing:
            continue
        deg = max(float(BACK_BEVEL), arctangent(by / thickness))
        made.append(BackBevel(end, by, deg, BEVEL_FROM, pare=by > 0))
    return tuple(made)


class FlatRoom(NamedTuple):
    """The room of a bottom board, in inches: wall to wall along edge A and edge B at its show
    face, how far each wall comes in per inch behind that face, and `between` the sides. `up`
    is how far each wall comes in per inch that the board is brought up, where that is another
    direction, as for one that lies tilted."""

    edges: tuple[Length, Length]
    comes_in: tuple[Length, Length]
    between: Length
    up: tuple[Length, Length] | None = None


def flat_fit(
    room: FlatRoom,
    edges: tuple[Length, Length],
    width: Length,
    profile: EdgeProfile,
    beveled: tuple[bool, bool],
    travel: Length,
) -> DryFit:
    """Return how a bottom board fits: its `edges` and `width` as marked, `beveled` the ends
    that are cut along the wall, `travel` how far up it goes between the sides.

    Each square end enters the wall by what its flat needs. Walls that together leave less
    room below, by their slopes over the travel, let it in only tilted, one end first. Tilted by
    f, the end that follows hangs length x f below, where its wall has slope x length x f less
    room, and the board is length x f^2 / 2 shorter: at the worst f, the slope itself, it lacks
    slope^2 x length / 2. It is the end whose wall goes out less; the relieved back clears.
    """
    needs = [
        Fraction(0) if cut else exact(profile.need(wall))
        for cut, wall in zip(beveled, room.comes_in, strict=True)
    ]
    free = [exact(read) - exact(edge) for read, edge in zip(room.edges, edges, strict=True)]
    places: tuple[Place, Place] = ("edge A", "edge B")
    gaps = [
        Contact(None, place, one - sum(needs, Fraction(0)))
        for place, one in zip(places, free, strict=True)
    ]
    across = exact(room.between) - exact(width)
    gaps.append(Contact(None, "width", across))
    slack = min(gaps[0].gap, gaps[1].gap)
    tightest = min(gaps, key=lambda spot: spot.gap)
    over = max(Fraction(0), -exact(tightest.gap))
    up = room.up or room.comes_in
    closing = -exact(up[0]) - exact(up[1])
    out = min(max(Fraction(0), -exact(wall)) for wall in up)
    stuck = out * out * exact(max(edges)) / 2 - exact(slack) - SPRINGS
    way: WayIn = "straight up" if closing * exact(travel) <= slack else "one end first"
    jams = max(Fraction(0), stuck) if way == "one end first" else Fraction(0)
    widest = max(zip(places, free, strict=True), key=lambda pair: pair[1])
    opens = Contact(None, widest[0], widest[1] / 2)
    return DryFit(over, slack, tightest, opens, "no way" if over or jams else way, jams=jams)
