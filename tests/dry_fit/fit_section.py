"""Across the beam: does any board reach into another?"""

import math
from collections.abc import Iterator
from itertools import combinations

from tests.dry_fit.cut_list import Beam
from tests.dry_fit.hang import cleat_section, hung_bottom, hung_sides, hung_top
from tests.dry_fit.measure import ANGLES, Allowed, Measure
from tests.dry_fit.overlap import overlap
from tests.dry_fit.room import Room


def measure_section(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """Every two boards of the section, and a ridge's top edges against the ceiling."""
    shapes = {f"side {key}": hung.section for key, hung in hung_sides(room, beam).items()}
    for cleat in beam.cleats:
        shapes[f"cleat on {cleat.on}"] = cleat_section(room, cleat)
    if beam.bottom and all(end.offset is not None for end in beam.bottom.ends):
        shapes["bottom"] = hung_bottom(room, beam).section
    if beam.top and all(end.offset is not None for end in beam.top.ends):
        shapes["top"] = hung_top(room, beam).section
    for (one, shape), (two, other) in combinations(shapes.items(), 2):
        into = overlap(shape, other)
        yield Measure(f"into {two}", one, into, allowed.step / 2 + ANGLES)
    yield from _square_edges(beam)
    for key, figures in beam.sides.items():
        if not room.ridge:
            continue
        off = abs(math.degrees(math.atan(room.top_slope(key))) - figures.top_edge.blade)
        yield Measure("top edge's tilt off, degrees", f"side {key}", off, 0.006)
        rises = float(figures.back_height <= figures.height)
        yield Measure("top edge falls to the back", f"side {key}", rises, 0.0)


def _square_edges(beam: Beam) -> Iterator[Measure]:
    """An edge that is told as square has no blade's tilt."""
    edges = {f"side {key}": (one.bottom_edge, one.top_edge) for key, one in beam.sides.items()}
    edges |= {
        name: board.edges for name, board in (("bottom", beam.bottom), ("top", beam.top)) if board
    }
    for name, pair in edges.items():
        tilted = max((abs(edge.blade) for edge in pair if edge.joint == "square"), default=0.0)
        yield Measure("square edge with a tilted blade, degrees", name, tilted, 0.0)
