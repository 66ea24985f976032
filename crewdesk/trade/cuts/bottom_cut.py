"""The bottom board's cut, from its reading between the walls once the sides are up."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import SIXTEENTH, SIXTY_FOURTH, Length, exact, rounded_down
from crewdesk.sentence import Caution, caution
from crewdesk.trade.angle import tangent
from crewdesk.trade.bounds import checked, more_than_zero
from crewdesk.trade.cuts.board_end import (
    PLUMB_WALL,
    BoardEnd,
    EdgeProfile,
    WallAt,
    board_ends,
    edges_between,
    end_need,
)
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.section import Section, bottom_back_width, bottom_width, relief_per_edge
from crewdesk.trade.cuts.side_board import STEEPEST_WALL

OVER_READING = (
    "A cut of {cut} in is longer than its reading of {reading} in and wouldn't go up. "
    "Cut no more than the reading, or give a reason."
)
OVER_ALLOWED = (
    "The cut of {cut} in is longer than its reading of {reading} in, allowed because: {reason}."
)
OTHER_SLANTS = (
    "Your own lengths, edge A {edge_a} in and edge B {edge_b} in, don't fit the walls: "
    "with edge A as it is, edge B comes to {by_walls} in."
)
WIDEST_UNDERCUT = Fraction(1, 4)


def bottom_length(reading: Length, undercut: Fraction = Fraction(1, 32)) -> Length:
    """Return the length to cut, in inches: the reading less the length deduction, never over it.

    Common practice, no source: exact or 1/32 in short goes up and shows no gap. Raises `BadInput`.
    """
    if not 0 <= undercut <= WIDEST_UNDERCUT:
        raise BadInput(
            "The bottom can't be cut {undercut} in short. Type 0 to {limit} in; 1/32 is usual.",
            undercut=undercut,
            limit=WIDEST_UNDERCUT,
        )
    if reading <= undercut:
        raise BadInput(
            "A reading of {reading} in leaves nothing of the bottom board once it is cut short.",
            reading=exact(reading),
        )
    return reading - undercut


@checked
class BottomReading(NamedTuple):
    """Wall to wall at the height of the board's show face, in inches: along one line, or along
    edge A and edge B.

    Raises `BadInput`.
    """

    edge_a: Fraction
    edge_b: Fraction | None = None

    def check(self) -> None:
        """Raise `BadInput` for a value out of bounds."""
        for value in self.edges:
            more_than_zero("bottom board's reading", value)

    @property
    def edges(self) -> tuple[Fraction, Fraction]:
        """Edge A's and edge B's reading; a single line counts for both."""
        return self.edge_a, self.edge_a if self.edge_b is None else self.edge_b


class BottomCut(NamedTuple):
    """The marks of a board that lies flat between the walls, in inches.

    `edge_a` and `edge_b` are the lengths of its two edges at the show face, `back_a` and
    `back_b` at the back, widths likewise; `flat`, `relief` and `bevel_deg` are those of
    its long edges, `ends` how each end is cut; `rooms` are the distances between
    the walls along its edges that the cut was made from.
    """

    edge_a: Length
    edge_b: Length
    back_a: Length
    back_b: Length
    width: Fraction
    back_width: Length
    flat: Fraction
    relief: Length
    bevel_deg: Fraction
    cautions: tuple[Caution, ...]
    ends: tuple[BoardEnd, BoardEnd]
    rooms: tuple[Length, Length]


def bottom_cut(
    section: Section,
    reading: BottomReading,
    *,
    board: FormBoard | None = None,
    wanted: tuple[Fraction, Fraction] | None = None,
    reason: str = "",
    walls: tuple[WallAt, WallAt] = (PLUMB_WALL, PLUMB_WALL),
    apart_off: Fraction = SIXTEENTH,
) -> BottomCut:
    """Return all marks of the bottom board.

    Each edge is its reading less the section's length deduction, or less what the two walls enter
    the ends' flats, whichever is more. The ends carry the same flat and relief as the edges (common
    practice, no source) where the wall leaves room for them, and are beveled along the wall
    elsewhere. `board` is the bottom of a form with widths of its own; one without relief, as in
    mitered corners, has square ends. `wanted`, edge A and edge B, replaces the computed lengths;
    where it is over a reading it takes a `reason`. It moves no wall: the ends slant as they were
    read, so one length for both is edge A's, and edge B follows. Of two lengths that differ
    otherwise by more than `apart_off` edge A's holds, with a caution.

    If both walls were read with the square and edge B wasn't, edge B follows from them. A board
    with stock to scribe to a wall has its edge B that much farther out than the reading, and one
    that is narrowed for its tilt has its lower edge that much farther in.

    Raises `BadInput`.
    """
    width = board.width if board else bottom_width(section)
    scribed = board is not None and board.second_edge == "scribed"
    stock = board.stock if board is not None and scribed else Fraction(0)
    read_a, read_b = _edges_read(reading, width, _inside(board, stock), walls)
    apart = abs(exact(read_a) - exact(read_b))
    if apart > 2 * width * exact(tangent(Fraction(STEEPEST_WALL))):
        raise BadInput(
            "The two edges' readings are {apart} in apart over a board {width} in "
            "wide, more than walls {limit} degrees out of square would make. Measure "
            "both again.",
            apart=apart,
            width=width,
            limit=STEEPEST_WALL,
        )
    plain = board is not None and board.first_edge != "relief"
    thickness = board.thickness if board else section.bottom_thickness
    profile = EdgeProfile(thickness, thickness if plain else section.flat, section.bevel)
    edges, ends = _between(profile, width, (read_a, read_b), section.undercut, walls)
    text: tuple[Caution, ...] = ()
    if wanted is not None:
        edge_b = wanted[0] - (edges[0] - edges[1])
        known = reading.edge_b is not None or all(wall.skew is not None for wall in walls)
        apart = abs(exact(edge_b) - wanted[1])
        if wanted[0] == wanted[1] or (known and apart > apart_off):
            edges = (wanted[0], edge_b)
            text = () if wanted[0] == wanted[1] else (_not_by_walls(wanted, edges),)
        else:
            edges, ends = wanted, board_ends(profile, width, wanted, walls)
    relief: Length = Fraction(0) if plain else relief_per_edge(section)
    back_width = board.back_width if board else bottom_back_width(section)
    inset = width - back_width
    return _made(
        edges,
        ends,
        width,
        back_width,
        (inset, Fraction(0)) if scribed else (inset / 2, inset / 2),
        Fraction(0) if plain else section.flat,
        relief,
        board.first_blade if board else section.bevel,
        (*text, *_over(edges, (read_a, read_b), reason)),
        (read_a, read_b),
        _needs(profile, walls),
    )


def top_cut(
    section: Section,
    board: FormBoard,
    rooms: tuple[Length, Length],
    walls: tuple[WallAt, WallAt],
) -> BottomCut:
    """Return all marks of a top board, whose show face is its upper, outer one.

    `rooms` are the distances between the walls along edge A and edge B at that face; `walls` come
    in positive if the board's lower face has less room than the upper. Each edge is cut short by
    the section's length deduction, as the bottom is.

    Raises `BadInput`.
    """
    profile = EdgeProfile(board.thickness, board.thickness)
    edges, ends = _between(profile, board.width, rooms, section.undercut, walls)
    none, inset = Fraction(0), (board.width - board.back_width) / 2
    return _made(
        edges,
        ends,
        board.width,
        board.back_width,
        (inset, inset),
        none,
        none,
        board.first_blade,
        (),
        rooms,
        _needs(profile, walls),
    )


def _between(
    profile: EdgeProfile,
    width: Length,
    rooms: tuple[Length, Length],
    undercut: Fraction,
    walls: tuple[WallAt, WallAt],
) -> tuple[tuple[Length, Length], tuple[BoardEnd, BoardEnd]]:
    """Return the edges that fit `rooms`, and both ends."""
    edges = cut_short(profile, rooms, undercut, walls)
    ends = board_ends(profile, width, edges, walls)
    return edges_between(edges, ends, width, walls), ends


def _not_by_walls(wanted: tuple[Fraction, Fraction], edges: tuple[Length, Length]) -> Caution:
    return caution(
        OTHER_SLANTS,
        edge_a=wanted[0],
        edge_b=wanted[1],
        by_walls=rounded_down(exact(edges[1]), SIXTY_FOURTH),
    )


def cut_to(
    made: BottomCut,
    board: FormBoard,
    edges: tuple[Length, Length],
    ends: tuple[BoardEnd, BoardEnd],
) -> BottomCut:
    """Return a cut of the same rooms with other edges, in inches, and other ends, as the `board`
    was cut."""
    inset = board.width - board.back_width
    at_b = board.second_edge == "scribed"
    backs = _backs(
        edges, ends, (inset, Fraction(0)) if at_b else (inset / 2, inset / 2), board.width
    )
    return made._replace(
        edge_a=edges[0],
        edge_b=edges[1],
        back_a=backs[0],
        back_b=backs[1],
        width=board.width,
        back_width=board.back_width,
        ends=(ends[0]._replace(free=made.ends[0].free), ends[1]._replace(free=made.ends[1].free)),
    )


def cut_short(
    profile: EdgeProfile,
    rooms: tuple[Length, Length],
    undercut: Fraction,
    walls: tuple[WallAt, WallAt],
) -> tuple[Length, Length]:
    """Return the lengths of two edges that go into `rooms`, in inches: minus the section's
    deduction, or minus what the walls enter the ends' square parts, whichever is more."""
    short = max(undercut, _needs(profile, walls))
    return bottom_length(rooms[0], short), bottom_length(rooms[1], short)


def _needs(profile: EdgeProfile, walls: tuple[WallAt, WallAt]) -> Fraction:
    """Return what both ends take off their reading together, in inches (see `end_need`)."""
    return sum((exact(end_need(profile, wall)) for wall in walls), Fraction(0))


def _made(
    edges: tuple[Length, Length],
    ends: tuple[BoardEnd, BoardEnd],
    width: Fraction,
    back_width: Length,
    insets: tuple[Length, Length],
    flat: Fraction,
    relief: Length,
    bevel: Fraction,
    cautions: tuple[Caution, ...],
    rooms: tuple[Length, Length],
    needs: Length,
) -> BottomCut:
    backs = _backs(edges, ends, insets, width)
    if any(length <= 0 for length in (*edges, *backs)):
        raise BadInput(
            "A reading of {reading} in leaves nothing of the bottom board once it is cut short.",
            reading=exact(min(edges)),
        )
    cut = BottomCut(*edges, *backs, width, back_width, flat, relief, bevel, cautions, ends, rooms)
    return _with_free(cut, needs)


def _with_free(cut: BottomCut, needs: Length) -> BottomCut:
    """Return the cut with each end's share of the free length: what its edges are shorter than
    their rooms, minus what the walls enter the ends."""
    edges = zip(cut.rooms, (cut.edge_a, cut.edge_b), strict=True)
    free = max(Fraction(0), min(exact(room - edge) for room, edge in edges) - exact(needs))
    first, second = (end._replace(free=free) for end in cut.ends)
    return cut._replace(ends=(first, second))


def _inside(board: FormBoard | None, stock: Fraction) -> tuple[Fraction, Fraction]:
    """Return how far the board's edges A and B are inside the measured lines, in inches: stock to
    scribe is outside, and a tilted board is narrowed at its lower edge."""
    if board is None or not board.narrowed:
        return Fraction(0), -stock
    return (board.narrowed, -stock) if board.tilt > 0 else (Fraction(0), board.narrowed - stock)


def _edges_read(
    reading: BottomReading,
    width: Fraction,
    inside: tuple[Fraction, Fraction],
    walls: tuple[WallAt, WallAt],
) -> tuple[Length, Length]:
    """Return the room along the board's edges A and B, which are `inside` the measured lines;
    between straight walls it changes evenly across the board."""
    between = width + inside[0] + inside[1]
    edge_a, edge_b = reading.edges
    skews = (walls[0].skew, walls[1].skew)
    less: Length = (edge_a - edge_b) / between
    if reading.edge_b is None and skews[0] is not None and skews[1] is not None:
        less = skews[0] + skews[1]
    return edge_a - less * inside[0], edge_a - less * (inside[0] + width)


def _backs(
    edges: tuple[Length, Length],
    ends: tuple[BoardEnd, BoardEnd],
    insets: tuple[Length, Length],
    width: Length,
) -> tuple[Length, Length]:
    """Return the back's two edges: shorter at both ends, and at slanted ends by the slant over
    `insets`, how far the back's edges are inside the show face's."""
    short = ends[0].back_short + ends[1].back_short
    slant = (edges[0] - edges[1]) / width
    return edges[0] - short - slant * insets[0], edges[1] - short + slant * insets[1]


_NOTHING = Fraction(1, 10**9)
"""The accuracy of floats, in inches."""


def _over(
    edges: tuple[Length, Length], readings: tuple[Length, Length], reason: str
) -> tuple[Caution, ...]:
    both = zip(edges, readings, strict=True)
    over = [(cut, read) for cut, read in both if exact(cut) - exact(read) > _NOTHING]
    if not over:
        return ()
    cut, read = max(over, key=lambda pair: pair[0] - pair[1])
    if not reason.strip():
        raise BadInput(OVER_READING, cut=exact(cut), reading=exact(read))
    return (
        caution(OVER_ALLOWED, cut=exact(cut), reading=exact(read), reason=reason.strip()[:200]),
    )
