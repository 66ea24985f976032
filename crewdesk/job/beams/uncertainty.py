"""The uncertainty of a piece's marks and of a beam's scribe, from its instruments."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import (
    BOTH,
    ZERO,
    Typed,
    coming_in,
    edges_between,
    leans_of,
    level_of,
    measured,
    places_of,
    ratios_of,
    read_with,
    runs_of,
    side_twist_of,
    sides_of,
    slants_of,
    slope_of,
    squares_of,
    top_twists_of,
)
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import ENDS
from crewdesk.job.cuts.as_built import (
    board_as_cut,
    built_figure,
    cleat_height,
    cleat_projection,
    height_as_cut,
    section_as_cut,
    side_thickness,
)
from crewdesk.length import exact
from crewdesk.sentence import Caution
from crewdesk.trade.angle import tangent
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.instruments import Instruments, apart_off
from crewdesk.trade.cuts.measured import Measured, end_ratios, room
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


class Sureness(NamedTuple):
    """How far a piece's marks can be off: `within`, in inches by the marks' ids (see
    `crewdesk.job.cuts.mark_list`); and sentences on how to reduce it."""

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
    """Return the uncertainty of every mark of a piece, or None until its readings are there.

    typed: replaces the record's readings, as in `marks`. instruments: replace those the beam was
    measured with. projection: how far the job's cleats reach off the sides, in inches. Raises
    `BadInput`.
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


def _side(beam: Beam, piece: Piece, typed: Typed) -> Sureness | None:
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if run is None or end1 is None or end2 is None:
        return None
    if beam.ceiling == "sloped" and beam.pitch is None:
        return None
    relieved = [
        None if square is None else _behind(piece, square, side_twist_of(beam, piece, end, typed))
        for end, square in zip(BOTH, squares_of(beam, piece, typed), strict=True)
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
    """Return how much more room a side's show face has than its back per inch, at its bottom or
    upper edge, whichever is more; or None if it has none."""
    way = 1 if piece.key == "A" else -1
    most = way * square.value + max(ZERO, way * twisted.value)
    return Measured(most, square.off + twisted.off) if most > 0 else None


def _cleats(beam: Beam, projection: Fraction) -> Sureness | None:
    """Return the cleats' uncertainty. The end walls of a cleat on a wall are measured at side A
    alone, so walls out of square affect it over the beam's whole width."""
    section, projection = beam.section, cleat_projection(beam, projection)
    steep = abs(exact(tangent(Fraction(beam.boards["bottom"].tilt))))
    lower = (
        section.reveal
        + section_as_cut(beam, "bottom").bottom_thickness * (1 + steep)
        + projection * steep
    )
    marked = [built_figure(beam, side.key, "cleat_line") for side in sides_of(beam)]
    top = max((one for one in marked if one is not None), default=lower) + cleat_height(beam)
    within: dict[str, Fraction] = {}
    for side in sides_of(beam):
        run, (first, second) = side.latest("run"), leans_of(beam, side)
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
    """Return the bottom's uncertainty. A single line counts as edge A's if squares at both walls
    give edge B; else either edge may differ from it by as much as the sides' runs, with their
    uncertainty, allow."""
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
    walls = coming_in(beam)
    return flat_board_sureness(edges, apart, board.width, profile, walls, section.undercut, squares)


def _between_edges(beam: Beam, across: Fraction) -> Fraction:
    """Return by how much the bottom board's edges can differ by the sides' runs, or 0 if both
    weren't measured."""
    runs = runs_of(beam)
    if len(runs) < 2:
        return ZERO
    apart = abs(runs[0].value - runs[1].value)
    off = apart_off(read_with(beam, runs[0]), read_with(beam, runs[1]))
    return (apart + off) * across / beam.section.width


def _top(beam: Beam, piece: Piece) -> FlatBoardSureness | None:
    """Return a top's uncertainty; its outer face is at the sides' top edges."""
    runs, sides = runs_of(beam), sides_of(beam)
    known = [one for side in sides for one in ratios_of(beam, side) if one is not None]
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
