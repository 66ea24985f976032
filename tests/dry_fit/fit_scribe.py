"""Is the scriber set so that its line is on the boards, and do both sides end level?"""

import math
from collections.abc import Iterator
from itertools import pairwise

from tests.dry_fit.cut_list import Beam
from tests.dry_fit.measure import ANGLES, Allowed, Measure
from tests.dry_fit.room import SCRIBED, Room, along
from tests.dry_fit.saw import scribed

MARGIN = 1 / 16
"""The least that the scribe takes off, in inches; more where the setting can be off by more."""


def measure_scribe(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """Tack the pair level, ride the scriber along the ceiling, cut, and push up."""
    if room.kind not in SCRIBED:
        yield Measure("scribe told without a ceiling", "scribe", float(beam.scribe is not None), 0)
        return
    if beam.scribe is None:
        yield Measure("scribe missing", "scribe", 1.0, 0.0)
        return
    setting, step = beam.scribe.setting, allowed.step
    within = 0.0 if allowed.exact else beam.scribe.within
    edges = {"A": 0.0, "B": room.b_edge}
    heights = {key: figures.height for key, figures in beam.sides.items()}
    ceilings = {key: room.ceiling_over(key) for key in heights}
    hangs = min(
        height - edges[key] - heights[key] for key, over in ceilings.items() for _, height in over
    )
    gaps = []
    for key, over in ceilings.items():
        made = scribed(over, hangs + edges[key], heights[key], setting)
        for at, left in made.top:
            off = left - heights[key]
            yield Measure(f"line off the board at {at:g}", f"side {key}", off, ANGLES)
        gaps += [height - edges[key] - heights[key] - hangs for _, height in over]
    margin = max(MARGIN, math.ceil(16 * beam.scribe.within) / 16)
    most = max(gaps) + margin + 2 * step + 1 / 32 + ANGLES + within
    yield Measure("setting larger than it takes", "scribe", setting, most)
    least = max(gaps) + MARGIN - step - ANGLES - within
    yield Measure("setting's margin short", "scribe", least, setting)
    yield from _marks(room, beam, ceilings, edges, hangs, allowed)


def _marks(
    room: Room,
    beam: Beam,
    ceilings: dict[str, list[tuple[float, float]]],
    edges: dict[str, float],
    hangs: float,
    allowed: Allowed,
) -> Iterator[Measure]:
    """The marks say the same, spot by spot; cut to them, both bottom edges come level."""
    assert beam.scribe is not None
    setting, step = beam.scribe.setting, allowed.step
    told = {(mark.side, round(mark.at, 1)) for mark in beam.scribe.marks}
    wanted = {(key, round(at, 1)) for key, over in ceilings.items() for at, _ in over}
    lacking = {
        (key, at)
        for key, at in wanted
        if not any(side == key and abs(at - place) <= 0.2 for side, place in told)
    }
    yield Measure("spots missing", "scribe", float(bool(lacking)), 0.0)
    lowest = min((mark.finished_height for mark in beam.scribe.marks), default=0.0)
    off = abs(beam.scribe.lowest - lowest)
    yield Measure("lowest finished width not that of its mark", "scribe", off, step / 2 + ANGLES)
    bottoms, widest = [], 0.0
    for mark in beam.scribe.marks:
        if mark.side not in ceilings:
            continue
        height, edge = beam.sides[mark.side].height, edges[mark.side]
        ceiling = along(ceilings[mark.side], mark.at)
        steep = step / 2 * _steepest(ceilings[mark.side])
        gap = ceiling - edge - height - hangs
        spot = f"side {mark.side}"
        within = 0.0 if allowed.exact else mark.within
        widest = max(widest, within)
        off = 1.5 * step + steep + ANGLES + within
        yield Measure(f"gap off at {mark.at:g}", spot, abs(mark.gap - gap), off)
        depth = abs(mark.cut_depth + mark.gap - setting)
        yield Measure(f"cut depth off at {mark.at:g}", spot, depth, 1.5 * step + ANGLES)
        left = abs(mark.finished_height + mark.cut_depth - height)
        yield Measure(f"finished height off at {mark.at:g}", spot, left, 1.5 * step + ANGLES)
        bottoms.append(ceiling - mark.finished_height - edge)
    if bottoms:
        apart = max(bottoms) - min(bottoms)
        steep = step * max(_steepest(over) for over in ceilings.values())
        yield Measure("bottom edges not level", "scribe", apart, step + steep + ANGLES + 2 * widest)


def _steepest(ceiling: list[tuple[float, float]]) -> float:
    return max(
        (abs((h2 - h) / (x2 - x)) for (x, h), (x2, h2) in pairwise(ceiling)),
        default=0.0,
    )
