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
from tests.dry_fit.way_in import lacks, short_of_straight, way_in

SIXTY_FOURTH = 1 / 64
"""What its lengths are shown to, in inches, but in a job in millimeters to one of those."""


class Said(NamedTuple):
    """What is said of a board; `reliefs` is by how much its back must be relieved at an end,
    `jams` what it is too long by on its way up, `gaps` those at its show face, end by end, and
    `touching` where it is near a wall: end, place, gap."""

    fits: bool
    over: float
    slack: float
    opens: float
    way: str
    reliefs: dict[int, float]
    jams: float
    as_one: bool
    gaps: dict[int, float]
    touching: list[tuple[int, str, float]]


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
        [
            (one["end"], one["place"], length_of(one["gap"]))
            for one in doc["touching"]
            if one["end"] is not None
        ],
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
    off = fine + 2 * ANGLES
    if hung.name.startswith("side"):
        # Its height is shown to the nearest, so its top edge lies that much higher or lower.
        off += allowed.step / 2 * (abs(room.lean(1)) + abs(room.lean(2)))
    else:
        # Its slants are rounded, but the saw is set to their angles.
        off += allowed.step
    if up is not hung:  # the top's slants count for all that goes up with it
        off += allowed.step
    yield Measure("said to go up by itself", hung.name, float((up is not hung) != said.as_one), 0.0)
    lack = 0.0 if said.over else lacks(room, up)
    yield Measure(
        "said not to fit", hung.name, float(not said.fits and lack == said.jams == 0), 0.0
    )
    no_way = float(said.fits and lack > off)
    yield Measure("said to go in though there is no way in", hung.name, no_way, 0.0)
    yield Measure("jams not as said", hung.name, abs(said.jams - lack), off)
    yield Measure("free length off", hung.name, abs(said.slack - max(0.0, -stand.over)), off)
    yield Measure("opens wider than said", hung.name, max(stand.gaps) - said.opens, off)
    for end, gap in said.gaps.items():
        off_by = abs(stand.gaps[end - 1] - gap)
        yield Measure(f"gap at the show face not as said, end {end}", hung.name, off_by, off)
    for end, place, gap in said.touching:
        off_by = abs(_gap_at(room, hung, end, place) - gap)
        yield Measure(f"gap where it touches not as said, end {end}", hung.name, off_by, off)
    if lack == 0.0 and not (said.over or said.jams):  # what it jams by was measured above
        is_ = way_in(room, up)
        far = abs(short_of_straight(room, up)) > off
        contradicts = far and is_ != said.way
        yield Measure(f"said to go in {said.way}, is {is_}", hung.name, float(contradicts), 0.0)


def _gap_at(room: Room, hung: Hung, end: int, place: str) -> float:
    """How far a board stands off its wall at a place of an end, with what is left shared by both
    ends; below 0 it is in it."""
    off = [[room.plane(one).clearance(*p) for p in hung.ends[one - 1]] for one in (1, 2)]
    nearest = [min(one) for one in off]
    corners = hung.ends[end - 1]
    across = 2 if place in ("top", "bottom") else 1
    middle = sum(p[across] for p in corners) / len(corners)
    beyond = place in ("top", "edge B")
    at_place = min(
        one for one, p in zip(off[end - 1], corners, strict=True) if (p[across] > middle) == beyond
    )
    return at_place - nearest[end - 1] + sum(nearest) / 2
