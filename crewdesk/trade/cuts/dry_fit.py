"""Try a board, as marked or as cut, in its measured room.

Heights run up from the sides' bottom edges. Each wall is a plane; a board's end is a line from its
bottom corner to its top corner, off square by its offset. A board is rigid: it slides along the
beam as a whole, by the same amount at every height.
"""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.length import HIDDEN_AT_MOST, Length, exact
from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.side_board import End
from crewdesk.trade.cuts.skew import BACK_BEVEL

WayIn = Literal["straight up", "one end first", "no way"]
Place = Literal["top", "bottom", "back", "edge A", "edge B", "width"]
BEVEL_FROM = Fraction(1)
"""The height where a back bevel starts, so that it never shows, in inches (common practice, no
source)."""


SPRINGS = Fraction(1, 32)
"""How much a board bends when it is sprung in, in inches (common practice, no source)."""
FROM_BELOW = 24
"""A board comes up from at least this far below its place, in inches, between walls that continue
to the floor (common practice, no source)."""
_NOTHING = Fraction(1, 10**9)
"""The accuracy of floats, in inches."""


class Contact(NamedTuple):
    """A place where a board and a wall are closest: end, place, and `gap` in inches (negative: the
    board would enter the wall)."""

    end: End | None
    place: Place
    gap: Length


class BackBevel(NamedTuple):
    """A back bevel that is needed at an end: at least `by` inches off the back, `deg` degrees,
    from `start` inches up; `pare` is whether the part below it must be pared as well. `relief`
    is that part of `by` which the wall asks for, the rest lets the end swing in; `swings` is
    whether this end swings in last."""

    end: End
    by: Length
    deg: float
    start: Fraction
    pare: bool
    relief: Length = Fraction(0)
    swings: bool = False


class DryFit(NamedTuple):
    """How a board fits its room.

    `over` is how much too long or too wide it is, in inches, 0 if it goes in; `slack` how far it
    can be slid along the beam in its place. `touches` is where it touches first, `opens` the widest
    gap at a face that shows. `way` is how it can be brought in, `bevels` what its back must lose
    for that, and `jams` how much too long it is, in inches, for the narrower room that it must pass
    on its way up, 0 if it passes. `touching` is where it is nearest to the wall at each end,
    `shows` a flat board's gaps at the show face. `edges` are the gaps along its edges A and B
    there, in its middle, where more stays open than is meant to. `as_one` is whether `way` and
    `jams` are those of the sides and the top that go up as one. `first` is the end to put up first,
    where one end goes first.
    """

    over: Length
    slack: Length
    touches: Contact
    opens: Contact
    way: WayIn
    bevels: tuple[BackBevel, ...] = ()
    jams: Length = Fraction(0)
    touching: tuple[Contact, ...] = ()
    shows: tuple[Contact, ...] = ()
    edges: tuple[Contact, ...] = ()
    as_one: bool = False
    first: End | None = None


class SideRoom(NamedTuple):
    """The room of a side, in inches: `run` along its bottom edge; at end 1 and end 2 how far
    the wall comes in per inch up, and per inch behind the show face (None: not measured)."""

    run: Length
    comes_in: tuple[Length, Length]
    behind: tuple[Length | None, Length | None]


class BackCut(NamedTuple):
    """The amount off the back of a side's end, in inches: `below` up to `BEVEL_FROM`, `above` from
    there up."""

    below: Length
    above: Length


def side_fit(
    room: SideRoom,
    length: Length,
    offsets: tuple[Length, Length],
    height: Length,
    thickness: Fraction,
    allowed: Length = Fraction(0),
    *,
    alone: bool = True,
    backs: tuple[BackCut | None, BackCut | None] = (None, None),
) -> DryFit:
    """Return how a side fits: `length` along its bottom edge and its `offsets` at the top, as
    marked or cut. Being over by no more than `allowed`, what the marks were rounded by, counts as a
    board to be planed to the line. One that doesn't go up `alone` needs no bevel to swing in.
    `backs` is how each end's back was relieved, or None if it is still to be relieved as the wall
    asks.

    With its bottom corner at the wall, an end's top stands offset - wall x height off it. The
    board is slid along until both ends are as near to their walls, so one end that is nearest at
    its top and another that is nearest at its bottom add up.
    Straight up it goes where the walls don't close in below it by more than what is free and
    what it springs: -(in1 + in2) x `FROM_BELOW` <= slack + `SPRINGS`.
    Swung in plan about the other end, the far back corner sweeps at most thickness^2 /
    (2 x length) past the show face's length, which the back bevel must take.
    """
    free = room.run - length
    ends: tuple[End, End] = (1, 2)
    spots = [_side_spots(room, at, offsets[at], height, thickness, backs[at]) for at in (0, 1)]
    nearest = [min(one.off for one in at_end) for at_end in spots]
    slack = free + sum(nearest)
    over = max(Fraction(0), -exact(slack))
    over = Fraction(0) if over < _NOTHING else over
    at_walls = [
        [Contact(end, one.place, one.off + left) for one in at_end]
        for end, at_end, left in zip(ends, spots, [slack / 2 - one for one in nearest], strict=True)
    ]
    touching = tuple(min(at_end, key=lambda spot: spot.gap) for at_end in at_walls)
    shown = [one for at_end in at_walls for one in at_end if one.place != "back"]
    sweep = thickness * thickness / (2 * exact(length))
    straight = _straight(room.comes_in, exact(slack))
    way: WayIn = "straight up" if straight else "one end first"
    if over > exact(allowed):
        way = "no way"
    return DryFit(
        over,
        slack,
        min(touching, key=lambda spot: spot.gap),
        max(shown, key=lambda spot: spot.gap),
        way,
        _bevels(room, thickness, sweep, free, straight=straight or not alone),
        touching=touching,
        first=1 if way == "one end first" else None,
    )


def _side_spots(
    room: SideRoom,
    at: int,
    offset: Length,
    height: Length,
    thickness: Fraction,
    back: BackCut | None,
) -> list["_Spot"]:
    """Return the corners of a side's end, each with its distance from the wall when the show face's
    bottom corner touches it: the show face's, then the tightest of the back."""
    wall, behind = room.comes_in[at], room.behind[at]
    top = offset - wall * height
    top = Fraction(0) if abs(exact(top)) < _NOTHING else top
    spots = [_Spot("bottom", Fraction(0)), _Spot("top", top)]
    if back is None or behind is None:
        return spots
    heights = (
        (Fraction(0), back.below),
        (BEVEL_FROM, back.below),
        (BEVEL_FROM, back.above),
        (exact(height), back.above),
    )
    off = min(top * up / height + lost - behind * thickness for up, lost in heights)
    if off < -HIDDEN_AT_MOST:
        spots.append(_Spot("back", off))
    return spots


def _straight(walls: tuple[Length, Length], slack: Fraction) -> bool:
    """Return whether a board with that much free length goes straight up between walls that come in
    by that much per inch up."""
    closing = -exact(walls[0]) - exact(walls[1])
    return closing * FROM_BELOW <= max(Fraction(0), slack) + SPRINGS


def _bevels(
    room: SideRoom, thickness: Fraction, sweep: Fraction, free: Length, *, straight: bool
) -> tuple[BackBevel, ...]:
    """Return what the back must lose: where the show face has more room, and at the end that swings
    in.

    With one end first, end 2 is assumed to swing. The bevel leaves the part below it square. A wall
    out of square requires its relief there too. The swing doesn't, unless it sweeps farther past
    the free length than the board springs; neither does a wall out of plumb, since the end is
    marked along it.
    """
    ends: tuple[End, End] = (1, 2)
    made = []
    for end, behind in zip(ends, room.behind, strict=True):
        skew = max(Fraction(0), exact(behind or 0)) * thickness
        skew = skew if skew > _NOTHING else Fraction(0)
        swings = not straight and end == 2
        swing = max(Fraction(0), sweep - exact(free)) if swings else Fraction(0)
        by = skew + swing
        if not skew and not swings:
            continue
        deg = max(float(BACK_BEVEL), arctangent(by / thickness))
        pare = skew > 0 or swing > SPRINGS
        made.append(BackBevel(end, by, deg, BEVEL_FROM, pare, skew, swings))
    return tuple(made)


class FlatRoom(NamedTuple):
    """The room of a bottom or a top board, in inches, in the board's own frame.

    `edge_a` is wall to wall along its edge A at its show face. `offsets` is how far edge A reaches
    past edge B between the walls at each end, and `comes_in` how far each wall comes in per inch
    behind the show face. `between` is what the board goes in between across; `up` is how far each
    wall comes in per inch that the board is brought up, if that is another direction, as for one
    that lies tilted; `rise` is how much higher one edge of it lies then. `meant` is how much of
    `between` stays free along the edges on purpose, with what a width is rounded by; or None if an
    edge is scribed to a wall.
    """

    edge_a: Length
    offsets: tuple[Length, Length]
    comes_in: tuple[Length, Length]
    between: Length
    up: tuple[Length, Length] | None = None
    rise: Length = Fraction(0)
    meant: Length | None = None


class FlatEnd(NamedTuple):
    """One end of a flat board, in inches: `offset` is how far edge A runs past edge B, `flat`
    how deep it is square from the show face on, `back_short` how far its back stays behind."""

    offset: Length
    flat: Length
    back_short: Length = Fraction(0)


class FlatBoard(NamedTuple):
    """A bottom or a top board as it is marked or cut, in inches: `edge_a` is what the saw's stop
    is set to, `ends` give the slants; `insets` is how far the back's edges A and B lie inside
    the show face's."""

    edge_a: Length
    width: Length
    thickness: Length
    ends: tuple[FlatEnd, FlatEnd]
    insets: tuple[Length, Length] = (Fraction(0), Fraction(0))


class _Spot(NamedTuple):
    """A corner of a board's end: its distance from the wall, in inches, when edge A's corner
    touches it; of a side, when the bottom corner of its show face does."""

    place: Place
    off: Length


def flat_fit(room: FlatRoom, board: FlatBoard) -> DryFit:
    """Return how a bottom or a top board fits.

    The board's whole outline stands between the walls' planes, slid along to the place if both ends
    are as near to their walls: the lengths of the edges alone don't say whether slanted ends meet
    slanted walls.

    Walls that leave less room below, by their slopes over `FROM_BELOW`, let it in only tilted,
    one end first. Tilted by f, the end that follows hangs length x f below, where its wall has
    slope x length x f less room, and the board is length x f^2 / 2 shorter; of one that rises
    across, the higher edge leans over by rise x f. At the worst f, slope + rise / length, it lacks
    f^2 x length / 2. It is the end whose wall goes out less; the back clears, for the wall goes
    out behind it by as much as it leans over.
    """
    ends: tuple[End, End] = (1, 2)
    spots = [_spots(room, board, at) for at in (0, 1)]
    nearest = [min(one.off for one in at_end) for at_end in spots]
    slack = exact(room.edge_a) - exact(board.edge_a) + sum(map(exact, nearest), Fraction(0))
    contacts: list[Contact] = []
    shows: list[Contact] = []
    for end, at_end, near in zip(ends, spots, nearest, strict=True):
        at_walls = [Contact(end, one.place, one.off - near + slack / 2) for one in at_end]
        contacts += at_walls
        shows += at_walls[:2]
    across = exact(room.between) - exact(board.width)
    touching = tuple(min(_at(contacts, end), key=lambda spot: spot.gap) for end in ends)
    tightest = touching[0]
    if across < (slack if min(slack, across) < 0 else slack / 2):
        tightest = Contact(None, "width", across)
    over = max(Fraction(0), -min(slack, across))
    over = Fraction(0) if over < _NOTHING else over
    up = room.up or room.comes_in
    length = exact(board.edge_a)
    tilted = max(Fraction(0), -exact(max(up)) + exact(room.rise) / length)
    edges = _along_edges(room, across)
    stuck = tilted * tilted * length / 2 - slack - SPRINGS
    straight = _straight(up, exact(slack))
    jams = Fraction(0) if straight or over else max(Fraction(0), stuck)
    way: WayIn = "straight up" if straight else "one end first"
    way = "no way" if over or jams else way
    first: End = 1 if exact(up[0]) <= exact(up[1]) else 2
    return DryFit(
        over,
        slack,
        tightest,
        max((*shows, *edges), key=lambda spot: spot.gap),
        way,
        jams=jams,
        touching=touching,
        shows=tuple(shows),
        edges=edges,
        first=first if way == "one end first" else None,
    )


def _along_edges(room: FlatRoom, across: Fraction) -> tuple[Contact, ...]:
    """Return the gaps along edges A and B if `across`, the whole free width, is more than
    planned."""
    if room.meant is None or across <= exact(room.meant):
        return ()
    return (Contact(None, "edge A", across / 2), Contact(None, "edge B", across / 2))


def _at(contacts: list[Contact], end: End) -> list[Contact]:
    return [one for one in contacts if one.end == end]


def _spots(room: FlatRoom, board: FlatBoard, at: int) -> list[_Spot]:
    """Return every corner of a board's end: the two at its show face, then those at the upper edge
    of the square part, and at its back.

    From edge A on the board's end goes back by offset / width, the wall by its own; behind the
    show face the wall comes in.
    """
    end = board.ends[at]
    wide, back = exact(board.width), (Fraction(0), Fraction(0))
    slant, wall = exact(end.offset) / wide, exact(room.offsets[at]) / wide
    inset = (exact(board.insets[0]), exact(board.insets[1]))
    depths = (
        (Fraction(0), back, Fraction(0)),
        (exact(end.flat), back, Fraction(0)),
        (exact(board.thickness), inset, exact(end.back_short)),
    )
    places: tuple[Place, Place] = ("edge A", "edge B")
    spots = []
    for deep, (inset_a, inset_b), behind in depths:
        for place, across in zip(places, (inset_a, wide - inset_b), strict=True):
            off = (slant - wall) * across + behind - exact(room.comes_in[at]) * deep
            spots.append(_Spot(place, off))
    return spots
