"""How far each mark of a piece, and a beam's scribe, can be off, by what they were read with."""

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import ENDS, Reading
from crewdesk.job.cuts.as_built import (
    board_as_cut,
    built_figure,
    cleat_height,
    cleat_projection,
    height_as_cut,
    off_center,
    section_as_cut,
    side_thickness,
)
from crewdesk.length import exact
from crewdesk.sentence import Caution
from crewdesk.trade.angle import tangent
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.instruments import Instrument, Instruments, apart_off
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
from crewdesk.trade.cuts.skew import BACK_BEVEL
from crewdesk.trade.cuts.sureness import (
    FlatBoardSureness,
    ScribedAt,
    ScribeSureness,
    cleat_sureness,
    flat_board_sureness,
    scribe_sureness,
    side_sureness,
)

Typed = Mapping[str, Reading] | None
ZERO = Fraction(0)
NO_LEAN = Measured(ZERO, ZERO)
_ENDS: tuple[End, End] = (1, 2)


class Sureness(NamedTuple):
    """How far a piece's marks can be off: `within`, in inches by the marks' ids (see
    `crewdesk.job.cuts.mark_list`); and what would make them surer."""

    within: Mapping[str, Fraction]
    cautions: tuple[Caution, ...] = ()


def how_sure(
    beam: Beam,
    piece: Piece,
    typed: Typed = None,
    *,
    instruments: Instruments | None = None,
    projection: Fraction = CLEAT,
) -> Sureness | None:
    """Return how far every mark of a piece can be off, or None until what it hangs on was read.

    `typed` stands in for the piece's readings of the record, as in `marks`; `instruments` for
    those that the beam was read with; `projection` is how far the job's cleats stand off the
    sides, in inches. Raises `BadInput`.
    """
    beam = beam if instruments is None else beam._replace(instruments=instruments)
    if piece.kind == "side":
        return _side(beam, piece, typed)
    if piece.kind == "cleats":
        return _cleats(beam, projection)
    made = _bottom(beam, piece, typed) if piece.kind == "bottom" else _top(beam, piece)
    if made is None:
        return None
    if piece.own_cut is not None:
        return Sureness({})  # lengths that were chosen, not read
    names = ("edge_a", "edge_b", "back_a", "back_b", "cut1", "cut2")
    named = zip(names, made, strict=True)
    return Sureness({name: off for name, off in named if off is not None})


def scribe_sure(beam: Beam, marks: Sequence[ScribedAt]) -> ScribeSureness:
    """Return how far the scriber's setting and the gaps over the beam's sides can be off."""
    under = [one for one in marks if one.side in beam.pieces]
    return scribe_sureness(under, beam.section.width, beam.instruments.line_laser)


# What was read, and how far that can be off.


def read_with(beam: Beam, reading: Reading) -> Instrument:
    """Return the instrument that a length was read with, by its name, to the reading's step."""
    return beam.instruments.for_length(reading.instrument)._replace(step=reading.read_to)


def level_of(beam: Beam, reading: Reading) -> Instrument:
    """Return the level that a wall's lean was read with, to the reading's own step."""
    return beam.instruments.level._replace(step=reading.read_to)


def measured(beam: Beam, reading: Reading) -> Measured:
    """Return a length that was read, and how far it can be off."""
    return Measured(reading.value, read_with(beam, reading).length_off)


def slope_of(beam: Beam) -> OnSlope | None:
    """Return the slope that the beam runs up, None where it hangs level."""
    if beam.ceiling != "sloped" or beam.pitch is None:
        return None
    return OnSlope(beam.pitch, beam.low)


def squares_of(beam: Beam, side: Piece | None = None, typed: Typed = None) -> Two:
    """Return what the square found at both walls, in the beam's own slope, None where it was not
    held; at one side, or between both."""
    if typed is None and (side is None or beam.pieces.get(side.key) is side):
        name = "squares" if side is None else f"squares at {side.key}"
        return beam.once(name, lambda: _squares_of(beam, side, None))
    return _squares_of(beam, side, typed)


def _squares_of(beam: Beam, side: Piece | None, typed: Typed) -> Two:
    read, slope = [beam.pair.square(end) for end in _ENDS], slope_of(beam)
    if read == [None, None]:
        return None, None
    leans: Two = (None, None)
    if slope is not None:
        leans = _mean_leans(beam) if side is None else _leans(beam, side, typed)
    first, second = (
        None
        if one is None
        else in_slope(skew_of(one.reading, beam.instruments.square), lean or NO_LEAN, slope, end)
        for end, one, lean in zip(_ENDS, read, leans, strict=True)
    )
    return first, second


def slants_of(beam: Beam) -> Two:
    """Return how a bottom board's ends slant, per inch across it, by the squares at both walls;
    None where no square was held. On a bottom tilted by t, edge A the lower, that is
    skew x cos t + lean x sin t."""
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
        for square, wall in zip(squares, _coming_in(beam), strict=True)
    )
    return first, second


def top_twists_of(beam: Beam) -> tuple[Measured, Measured]:
    """Return how much each wall's twist between side A and side B slants a top board's end, per
    inch across it, at the sides' upper edges; a lean that was not read counts as plumb."""
    sides = _sides(beam)
    leans = [[one or NO_LEAN for one in _leans(beam, side)] for side in sides]
    per_inch = max(height_as_cut(beam, one.key) for one in sides) / beam.section.width
    first, second = (
        Measured(made.value * per_inch, made.off * per_inch)
        for at, end in enumerate(_ENDS)
        for made in [twist(leans[0][at], leans[-1][at], slope_of(beam), end)]
    )
    return first, second


def side_twist_of(beam: Beam, piece: Piece, end: End, typed: Typed = None) -> Measured:
    """Return how much farther side A reaches per inch across at a side's upper edge than at its
    bottom edge, by the wall's twist between both sides; none until both sides' leans were read."""
    sides = _sides(beam)
    over_a, over_b = (
        _leans(beam, side, typed if side.key == piece.key else None)[end - 1]
        for side in (sides[0], sides[-1])
    )
    if len(sides) < 2 or over_a is None or over_b is None:
        return Measured(ZERO, ZERO)
    made, per_inch = twist(over_a, over_b, slope_of(beam), end), height_as_cut(beam, piece.key)
    per_inch /= beam.section.width
    return Measured(made.value * per_inch, made.off * per_inch)


def _sides(beam: Beam) -> list[Piece]:
    return [one for one in beam.pieces.values() if one.kind == "side"]


def _leans(beam: Beam, side: Piece, typed: Typed = None) -> Two:
    """Return both walls' leans as read at a side; those of the record are worked out once."""
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
    """The walls' leans between both sides: the mean of those that were read."""
    told = [_leans(beam, side) for side in _sides(beam)]
    first, second = (_mean([one for leans in told if (one := leans[at])]) for at in (0, 1))
    return first, second


def _mean(read: list[Measured]) -> Measured | None:
    if not read:
        return None
    count = len(read)
    return Measured(
        sum((one.value for one in read), ZERO) / count, sum((one.off for one in read), ZERO) / count
    )


def _ratios(beam: Beam, side: Piece) -> Two:
    """How far each wall comes in per inch up a side, None where its lean was not read."""
    slope = slope_of(beam)
    first, second = (
        None if one is None else end_ratios(one, slope, end)
        for end, one in zip(_ENDS, _leans(beam, side), strict=True)
    )
    return first, second


# What follows from the sides' readings between the walls.


def a_over_b(beam: Beam) -> Measured | None:
    """Return how much longer side A's run is than side B's by the squares, in inches; None until
    a square was held to both walls and the leans were read that it takes.

    On a slope the squares count as they meet the slope. Between walls that come in by `l` per
    inch up, a side whose bottom edge is higher by `h` is that much shorter again: l x h.
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
    """How much higher side B's bottom edge is than side A's, in inches: the difference of the
    drops of a beam along a ridge."""
    if beam.form.id != "ridge" or beam.height_b is None:
        return ZERO
    return beam.section.height - beam.height_b


def runs_of(beam: Beam) -> list[Reading]:
    """The sides' lengths wall to wall that were read."""
    return [run for side in _sides(beam) if (run := side.latest("run")) is not None]


def edges_between(beam: Beam, height: Fraction, places: tuple[Fraction, Fraction]) -> Two:
    """Return the length between the walls along two lines, `height` inches up from the sides'
    bottom edges and `places` inches from side A's show face, from the readings of the sides and
    of the square; None where they don't say. A lean that was not read counts as plumb."""
    return at_edges(rooms_at(beam, height), places, beam.section.width, squares_of(beam))


def rooms_at(beam: Beam, height: Fraction) -> Two:
    """Return the length between the walls at side A's and at side B's show face, `height` inches
    up from their bottom edges; None at a side that isn't there or whose run was not read."""
    rooms = [None if key not in beam.pieces else _room(beam, key, height) for key in "AB"]
    return rooms[0], rooms[1]


def _room(beam: Beam, key: str, height: Fraction) -> Measured | None:
    side = beam.pieces[key]
    run = side.latest("run")
    if run is None:
        return None
    first, second = (one or NO_LEAN for one in _leans(beam, side))
    return room(measured(beam, run), (first, second), height, slope_of(beam))


def places_of(beam: Beam, piece: Piece) -> tuple[Fraction, Fraction]:
    """Return where a flat board's edges are, in inches from side A's show face."""
    section, width = beam.section, beam.boards[piece.key].width
    if "B" not in beam.pieces:
        near = side_thickness(beam, "A") + section.fit / 2
        return near, near + width
    near = (section.width - width) / 2 + off_center(beam)
    return near, near + width


# The pieces.


def _side(beam: Beam, piece: Piece, typed: Typed) -> Sureness | None:
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if run is None or end1 is None or end2 is None:
        return None
    if beam.ceiling == "sloped" and beam.pitch is None:
        return None
    relieved = [
        None if square is None else _behind(piece, square, side_twist_of(beam, piece, end, typed))
        for end, square in zip(_ENDS, squares_of(beam, piece, typed), strict=True)
    ]
    made = side_sureness(
        measured(beam, run),
        height_as_cut(beam, piece.key),
        (end1.end, end2.end),
        (level_of(beam, end1), level_of(beam, end2)),
        slope=slope_of(beam),
        squares=(relieved[0], relieved[1]),
        thickness=side_thickness(beam, piece.key),
    )
    offs = made._asdict()
    cautions = offs.pop("cautions")
    return Sureness({name: off for name, off in offs.items() if off is not None}, cautions)


def _behind(piece: Piece, square: Measured, twisted: Measured) -> Measured | None:
    """How much more room a side's show face has than its back per inch, at its bottom or its upper
    edge, whichever is more; None where it has none."""
    way = 1 if piece.key == "A" else -1
    most = way * square.value + max(ZERO, way * twisted.value)
    return Measured(most, square.off + twisted.off) if most > 0 else None


def _cleats(beam: Beam, projection: Fraction) -> Sureness | None:
    """How far the cleats can be off. Of one on a wall the end walls are read at side A alone, so
    a wall out of square takes from it over all of the beam's width."""
    section, projection = beam.section, cleat_projection(beam, projection)
    steep = abs(exact(tangent(Fraction(beam.boards["bottom"].tilt))))
    lower = (
        section.reveal
        + section_as_cut(beam, "bottom").bottom_thickness * (1 + steep)
        + projection * steep
    )
    marked = [built_figure(beam, side.key, "cleat_line") for side in _sides(beam)]
    top = max((one for one in marked if one is not None), default=lower) + cleat_height(beam)
    within: dict[str, Fraction] = {}
    for side in _sides(beam):
        run, (first, second) = side.latest("run"), _leans(beam, side)
        if run is None or first is None or second is None:
            continue
        thick = side_thickness(beam, side.key)
        squares, deep = squares_of(beam), thick + projection
        way = 1 if side.key == "A" else -1
        behind = [
            None if one is None else Measured(way * one.value * deep, one.off * deep)
            for one in squares
        ]
        made = cleat_sureness(
            measured(beam, run),
            (first, second),
            top,
            slope=slope_of(beam),
            behind=(behind[0], behind[1]),
            bevel=thick * exact(tangent(BACK_BEVEL)),
        )
        within |= {f"start_{side.key}": made.start, f"length_{side.key}": made.length}
        if beam.form.id == "wall":
            rest = sum((one.off for one in squares if one is not None), ZERO) * section.width
            bare = room(measured(beam, run), (first, second), top, slope_of(beam))
            within["length_wall"] = bare.off + rest
            over = end_ratios(first, slope_of(beam), 1).off * cleat_height(beam)
            over += ZERO if squares[0] is None else squares[0].off * projection
            within["start_wall"] = over
    return Sureness(within) if within else None


def _bottom(beam: Beam, piece: Piece, typed: Typed) -> FlatBoardSureness | None:
    """Along one line alone the tape was held along edge A where squares at both walls say how
    edge B differs; else either edge may lie off that line by as much as the sides' runs, and
    what they can be off, leave between the two."""
    opening, edge_b = piece.read(("opening", "edge_b"), typed)
    if opening is None:
        return None
    board, section = board_as_cut(beam, piece.key), section_as_cut(beam, piece.key)
    tape, squares = read_with(beam, opening), slants_of(beam)
    off = tape.length_off
    if edge_b is not None:
        other = read_with(beam, edge_b)
        edges, apart = (off, other.length_off), apart_off(tape, other)
    elif squares[0] is not None and squares[1] is not None:
        apart = (squares[0].off + squares[1].off) * board.width
        edges = (off, off + apart)
    else:
        apart = _between_edges(beam, board.width)
        edges = (off + apart, off + apart)
    flat = section.flat if board.first_edge == "relief" else board.thickness
    profile = EdgeProfile(board.thickness, flat, section.bevel)
    walls = _coming_in(beam)
    return flat_board_sureness(edges, apart, board.width, profile, walls, section.undercut, squares)


def _coming_in(beam: Beam) -> tuple[Measured, Measured]:
    """The most that each wall comes in per inch up, over both sides; one that was not read
    counts as plumb."""
    ratios = [_ratios(beam, side) for side in _sides(beam)]
    found = []
    for at, end in enumerate(_ENDS):
        read = [one for pair in ratios if (one := pair[at]) is not None]
        read = read or [end_ratios(NO_LEAN, slope_of(beam), end)]
        found.append(Measured(max(one.value for one in read), max(one.off for one in read)))
    return found[0], found[1]


def _between_edges(beam: Beam, across: Fraction) -> Fraction:
    """How far the bottom board's edges can differ in length by the sides' runs, 0 where they
    were not both read."""
    runs = runs_of(beam)
    if len(runs) < 2:
        return ZERO
    apart = abs(runs[0].value - runs[1].value)
    off = apart_off(read_with(beam, runs[0]), read_with(beam, runs[1]))
    return (apart + off) * across / beam.section.width


def _top(beam: Beam, piece: Piece) -> FlatBoardSureness | None:
    """A top board's outer face is at the sides' top edges."""
    runs, sides = runs_of(beam), _sides(beam)
    known = [one for side in sides for one in _ratios(beam, side) if one is not None]
    if len(runs) < 2 or len(known) < 4:
        return None
    twists = [one.off * board_as_cut(beam, piece.key).width for one in top_twists_of(beam)]
    high, width = max(height_as_cut(beam, "A"), height_as_cut(beam, "B")), beam.section.width
    board = board_as_cut(beam, piece.key)
    first, second = edges_between(beam, high, places_of(beam, piece))
    assert first is not None
    assert second is not None
    apart = apart_off(read_with(beam, runs[0]), read_with(beam, runs[1]))
    walls = [
        Measured(max(-one.value for one in pair), max(one.off for one in pair))
        for pair in ((known[0], known[2]), (known[1], known[3]))
    ]
    return flat_board_sureness(
        (first.off, second.off),
        apart * board.width / width + sum(twists),
        board.width,
        EdgeProfile(board.thickness, board.thickness),
        (walls[0], walls[1]),
        beam.section.undercut,
        squares_of(beam),
        (twists[0], twists[1]),
    )
