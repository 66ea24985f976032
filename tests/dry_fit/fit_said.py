"""Is what `crewdesk dryfit` says of a board true: what stays free, how it goes in, how far it
stands open?"""

from collections.abc import Iterator
from typing import NamedTuple

from tests.dry_fit.cut_list import Beam, Doc
from tests.dry_fit.fit_sides import relief_needed
from tests.dry_fit.hang import Hung, between_walls, hung_bottom, hung_sides, hung_top
from tests.dry_fit.measure import ANGLES, STEP_SIZES, Allowed, Measure
from tests.dry_fit.room import Room
from tests.dry_fit.saw import Point3
from tests.dry_fit.shown import length_of
from tests.dry_fit.way_in import way_in

SIXTY_FOURTH = 1 / 64
"""What its lengths are shown to, in inches, but in a job in millimeters to one of those."""
DROP = 24.0
"""A flat board that is said to go straight up must do so from this far below at the least; a
side, which may be sprung farther, from half an inch."""
SIDE_DROP = 1 / 2
SPRINGS = 1 / 32
"""What a board gives as it goes in, in inches (common practice, no source)."""


class Said(NamedTuple):
    """What is said of a board; `reliefs` is by how much its back must be relieved at an end,
    `jams` what it is too long by on its way up, `gaps` those at its show face, end by end."""

    fits: bool
    over: float
    slack: float
    opens: float
    way: str
    reliefs: dict[int, float]
    jams: float
    as_one: bool
    gaps: dict[int, float]


def said_of(dry_fit: Doc) -> dict[str, dict[str, Said]]:
    """What `dryfit --json` says, by beam and piece."""
    return {
        beam["name"]: {piece["piece"]: _said(piece) for piece in beam["pieces"] if piece["way_in"]}
        for beam in dry_fit["beams"]
    }


def _said(doc: Doc) -> Said:
    return Said(
        doc["fits"],
        length_of(doc["over"]),
        length_of(doc["slack"]),
        length_of(doc["opens"]["gap"]),
        doc["way_in"],
        {one["end"]: length_of(one["by"]) for one in doc["back_bevels"]},
        length_of(doc["jams"]),
        doc["as_one"],
        {
            end: max(length_of(one["gap"]) for one in doc["gaps"] if one["end"] == end)
            for end in {one["end"] for one in doc["gaps"]}
        },
    )


def measure_said(
    room: Room, beam: Beam, said: dict[str, Said], allowed: Allowed
) -> Iterator[Measure]:
    """Each claim beside what is measured; where a wall was not read all the way, none."""
    if any(room.unread):
        return
    boards = dict(hung_sides(room, beam))
    turned = any(wall.turn for wall in room.walls)
    if beam.bottom and all(end.offset is not None for end in beam.bottom.ends):
        # Along one line alone nothing may be said between walls that are out of square.
        half_read = turned and not room.both_edges
        if half_read:
            yield Measure("said by one edge", "bottom", float("bottom" in said), 0.0)
        else:
            boards["bottom"] = hung_bottom(room, beam)
    frame = None
    if beam.top and all(end.offset is not None for end in beam.top.ends):
        boards["top"] = hung_top(room, beam)
        frame = _as_one(room, [boards[key] for key in (*beam.sides, "top")])
    for key, hung in boards.items():
        yield Measure("nothing said of it", hung.name, float(key not in said), 0.0)
        if key in said:
            up = frame if frame is not None and key != "bottom" else hung
            yield from _board(room, hung, said[key], allowed, up)
            if key in beam.sides:
                for end in (1, 2):
                    short = relief_needed(room, key, end) - said[key].reliefs.get(end, 0.0)
                    yield Measure(f"said relief too little, end {end}", hung.name, short, ANGLES)


def _as_one(room: Room, boards: list[Hung]) -> Hung:
    """The sides' and the top's show faces as one stiff board, as a box goes up: each slid along
    to the middle of its place first."""
    first: list[Point3] = []
    second: list[Point3] = []
    for board in boards:
        nearest = [
            min(room.plane(end).clearance(*p) for p in board.ends[end - 1]) for end in (1, 2)
        ]
        along = (nearest[1] - nearest[0]) / 2
        for corners, shows in zip((first, second), board.shows, strict=True):
            corners += [(x + along, y, z) for x, y, z in shows]
    return Hung("frame", (first, second), (first, second), [])


def _board(room: Room, hung: Hung, said: Said, allowed: Allowed, up: Hung) -> Iterator[Measure]:
    """`up` is what goes up: the board, or the frame that it is a part of."""
    stand = between_walls(room, hung)
    fine = max(SIXTY_FOURTH, allowed.step if allowed.step == STEP_SIZES["mm"] else 0.0)
    # Both edges are rounded by themselves, and the saw's stop is set to edge A's figure alone.
    off = fine + allowed.step + 2 * ANGLES
    yield Measure("said to go up by itself", hung.name, float((up is not hung) != said.as_one), 0.0)
    jams = not said.over and (said.jams <= off or way_in(room, up) == "not at all")
    yield Measure("said not to fit", hung.name, float(not said.fits and not jams), 0.0)
    yield Measure("free length off", hung.name, abs(said.slack - max(0.0, -stand.over)), off)
    yield Measure("opens wider than said", hung.name, max(stand.gaps) - said.opens, off)
    for end, gap in said.gaps.items():
        off_by = abs(stand.gaps[end - 1] - gap)
        yield Measure(f"gap at the show face not as said, end {end}", hung.name, off_by, off)
    leans = room.lean(1) + room.lean(2)
    straight = said.way == "straight up"
    flat = hung.name == "bottom" or up is not hung
    drop, springs = (DROP, SPRINGS + off) if flat else (SIDE_DROP, SIXTY_FOURTH)
    shut = max(0.0, -stand.over) + min(0.0, leans * drop) < -springs
    yield Measure("said to go straight up", hung.name, float(straight and shut), 0.0)
    free = leans >= 0 and not straight
    yield Measure(f"said to go in {said.way}", hung.name, float(free), 0.0)
