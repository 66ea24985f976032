"""Do the batch sheets' settings make the boards, pass by pass?

The table saw: with the fence a distance from the blade at the table, a cut meets the face
that lies down at that distance from the edge along the fence. The miter saw: the stop stands
that far from the blade at the table, at the corner of edge A's other end.
"""

import math
from collections.abc import Iterator, Sequence

from tests.dry_fit.cut_list import Beam, BoardFigures
from tests.dry_fit.hang import between_walls, hung_bottom
from tests.dry_fit.measure import ANGLES, Allowed, Measure
from tests.dry_fit.printed import Pass
from tests.dry_fit.room import Room
from tests.dry_fit.saw import Board, Plane, flat_board, side_board

Passes = Sequence[Pass]


def passes_of(every: Passes, piece: str, beam: str) -> list[Pass]:
    """The passes that a piece goes through, in their order."""
    return [one for one in every if (piece, beam) in one.pieces]


def measure_passes(room: Room, beam: Beam, every: Passes, allowed: Allowed) -> Iterator[Measure]:
    """What can be measured on the boards of a beam as its batch sheets have them cut."""
    name = str(room.number)
    thick = float(room.section.side_thickness)
    for key, figures in beam.sides.items():
        mine = passes_of(every, f"side {key}", name)
        made = side_board(figures, thick)
        yield from _ripped(mine, made, f"side {key}", thick, allowed)
        for one in mine:
            if one.machine == "Saw stop":
                blank = one.length("blank for marking")
                stop, wanted = blank, figures.blank
                if blank is None:
                    stop, wanted = one.length("finished length"), figures.bottom_length
                yield Measure("blank's stop off", f"side {key}", _off(stop, wanted), ANGLES)
    for piece, board in (("bottom", beam.bottom), ("top", beam.top)):
        if board is None or any(end.offset is None for end in board.ends):
            continue
        mine = passes_of(every, piece, name)
        plank = room.bottom_thickness
        yield from _ripped(mine, flat_board(board, plank), piece, plank, allowed)
        if piece == "bottom":
            yield from _crosscut(room, beam, board, mine, allowed)
    for one in passes_of(every, "cleats", name):
        if one.machine == "Table saw":
            projection = one.length("fence")
            off = max(_off(projection, cleat.projection) for cleat in beam.cleats)
            yield Measure("cleats' fence off", "cleats", off, ANGLES)


def _off(found: float | None, wanted: float) -> float:
    return 1.0 if found is None else abs(found - wanted)


def _ripped(
    mine: Passes, made: Board, piece: str, thick: float, allowed: Allowed
) -> Iterator[Measure]:
    """A board after all of its rips has the widths of the one that the cut list's make."""
    rips = [one for one in mine if one.machine == "Table saw"]
    if not rips:
        return
    show, back = 0.0, None
    for one in rips:
        tilt = math.tan(math.radians(one.angle("tilt")))
        fence = one.length("fence at the table") or one.length("fence")
        if fence is None:
            yield Measure("no fence", piece, 1.0, 0.0)
            return
        if tilt == 0:
            show = fence
        elif "Show face down" in one.said:
            show = fence
            back = fence + thick * tilt
        elif "Back down" in one.said and not show:
            back = fence
            show = fence + thick * tilt
        elif "Back down" in one.said:
            # The fence stands at the edge that is square, or at the other one's show face.
            back = (show if back is None else back) - (show - fence)
            if "both" in one.title:
                back -= show - fence
        else:
            yield Measure("no face down", piece, 1.0, 0.0)
            return
        if tilt:
            wrong = float("leans away from the fence" not in one.said)
            yield Measure("blade leans to the fence", piece, wrong, 0.0)
    wanted = [
        max(v for v, w in made.section if near(w)) - min(v for v, w in made.section if near(w))
        for near in (lambda w: w < 1e-6, lambda w: w > thick - 1e-6)
    ]
    squared = any(one.angle("tilt") == 0 for one in rips)
    most = ANGLES if squared else allowed.step + ANGLES
    yield Measure("ripped to another width", piece, abs(show - wanted[0]), most)
    backs = abs((show if back is None else back) - wanted[1])
    # Both fences are rounded, and figured from a width that is rounded down when it is ripped.
    yield Measure("ripped to another back", piece, backs, 3 * allowed.step + ANGLES)


def _crosscut(
    room: Room, beam: Beam, board: BoardFigures, mine: Passes, allowed: Allowed
) -> Iterator[Measure]:
    """A bottom whose ends are cut by the miter saw's passes, and by hand where a bevel is
    steeper than the saw tilts, goes in between the walls."""
    cuts = [one for one in mine if one.machine == "Miter saw"]
    by_hand = [one for one in mine if one.machine == "Hand saw or jig"]
    if not cuts:
        return
    ends: dict[int, list[Plane]] = {1: [], 2: []}
    lengths = []
    for one in cuts:
        numbers = [n for n in (1, 2) if f"end {n}" in one.title] or [1, 2]
        miter = math.tan(math.radians(one.angle("miter")))
        miter *= -1 if "Long point on edge B" in one.said else 1
        tilt = math.tan(math.radians(one.angle("tilt"))) * math.hypot(1.0, miter)
        yield Measure("a saw tilts over 45 degrees", "bottom", one.angle("tilt"), 45.0)
        at_table, at_show = one.length("stop on edge A, at the table"), one.length("stop on edge A")
        stop = at_table if at_table is not None else at_show
        if (on_b := one.length("stop on edge B, at the table")) is not None:
            (number,) = numbers
            far = ends[3 - number][0].by_v
            stop = on_b + board.width * (far + miter)
        if stop is not None:
            yield from _touched(one, numbers, ends)
        if at_show is not None:
            lengths.append(at_show)
        for number in numbers:
            yield from _hands(one, number, tilt)
            ends[number].append(Plane(stop or 0.0, miter, tilt))
    # With the back down the stop counts where the blade meets the back.
    thick = room.bottom_thickness
    for one in by_hand:
        number = 1 if "end 1" in one.title else 2
        short = one.length("back shorter by") or 0.0
        ends[number].append(Plane(0.0, ends[number][0].by_v, short / thick))
    whole = max(lengths, default=0.0)
    for number, planes in ends.items():
        for plane in planes:
            if not lengths and plane.by_w and plane.at and number == 2:
                whole = plane.at + thick * plane.by_w
    planes_at = {
        number: tuple(
            Plane(whole - p.at - thick * p.by_w if p.by_w and p.at else 0.0, p.by_v, p.by_w)
            for p in planes
        )
        for number, planes in ends.items()
    }
    yield Measure("stop off", "bottom", abs(whole - board.edge_a), allowed.step + ANGLES)
    if not all(planes_at.values()):
        yield Measure("an end is not cut", "bottom", 1.0, 0.0)
        return
    cut = flat_board(board, thick, scribed_to=room.scribed_width)._replace(
        left=planes_at[1],
        right=tuple(Plane(whole - p.at, -p.by_v, -p.by_w) for p in planes_at[2]),
    )
    stand = between_walls(room, hung_bottom(room, beam, ready=cut))
    usual = between_walls(room, hung_bottom(room, beam))
    off = allowed.step + ANGLES
    yield Measure("too long by the passes", "bottom", stand.over, max(0.0, usual.over) + off)
    for number, (gap, other) in enumerate(zip(stand.gaps, usual.gaps, strict=True), 1):
        yield Measure(f"open by the passes, end {number}", "bottom", gap, other + off)


def _touched(one: Pass, numbers: Sequence[int], ends: dict[int, list[Plane]]) -> Iterator[Measure]:
    """With the back down, a low stop stands against the back of the far end: where that was cut
    shorter than the show face before, the board comes out longer by as much."""
    far = [3 - number for number in numbers]
    tilted = [plane.by_w for number in far for plane in ends[number]]
    if len(numbers) == 2:
        tilted.append(math.tan(math.radians(one.angle("tilt"))))
    low = any(tilted) and "Show face down" not in one.said
    wrong = float(low and "Stop block as tall as the board" not in one.said)
    yield Measure("a low stop touches under the long corner", "bottom", wrong, 0.0)


def _hands(one: Pass, number: int, tilt: float) -> Iterator[Measure]:
    """With the back down and edge A at the fence behind, end 1 is at the left. A blade that
    takes the back shorter leans out over the end, and the stop is on the other side. Turned end
    for end, edge B at the fence, both are the other way round."""
    turned = "edge B against the fence" in one.said
    if tilt == 0 or ("end for end" in one.said and not turned):
        return
    leans, stop = ("left", "right") if (number == 1) != turned else ("right", "left")
    wrong = f"leans {leans}" not in one.said or "Back down" not in one.said
    stops = [one.length(f"stop on edge {edge}, at the table") for edge in "AB"]
    wrong |= (stops[0 if turned else 1]) is not None
    if any(stops):
        wrong |= f"Stop {stop} of the blade" not in one.said
    yield Measure(f"blade or stop on the wrong side, end {number}", "bottom", float(wrong), 0.0)
