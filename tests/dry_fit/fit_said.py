"""Is what `crewdesk dryfit` says of a board true: what stays free, how it goes in, how far it
stands open?"""

from collections.abc import Iterator
from typing import NamedTuple

from tests.dry_fit.cut_list import Beam, Doc
from tests.dry_fit.fit_sides import relief_needed
from tests.dry_fit.hang import Hung, between_walls, hung_bottom, hung_sides
from tests.dry_fit.measure import ANGLES, Allowed, Measure
from tests.dry_fit.room import Room
from tests.dry_fit.shown import length_of
from tests.dry_fit.way_in import way_in

SIXTY_FOURTH = 1 / 64
"""What its lengths are shown to, in inches."""

DROP = 1 / 2
"""A board that is said to go straight up must do so from this far below at the least."""


class Said(NamedTuple):
    """What is said of a board; `reliefs` is by how much its back must be relieved at an end,
    `jams` what it is too long by on its way up."""

    fits: bool
    over: float
    slack: float
    opens: float
    way: str
    reliefs: dict[int, float]
    jams: float


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
    )


def measure_said(
    room: Room, beam: Beam, said: dict[str, Said], allowed: Allowed
) -> Iterator[Measure]:
    """Each claim beside what is measured; where a wall was not read all the way, none."""
    if any(room.unread):
        return
    boards = dict(hung_sides(room, beam))
    if beam.bottom and all(end.offset is not None for end in beam.bottom.ends):
        boards["bottom"] = hung_bottom(room, beam)
    for key, hung in boards.items():
        yield Measure("nothing said of it", hung.name, float(key not in said), 0.0)
        if key in said:
            yield from _board(room, hung, said[key], allowed)
            if key != "bottom":
                for end in (1, 2):
                    short = relief_needed(room, key, end) - said[key].reliefs.get(end, 0.0)
                    yield Measure(f"said relief too little, end {end}", hung.name, short, ANGLES)


def _board(room: Room, hung: Hung, said: Said, allowed: Allowed) -> Iterator[Measure]:
    stand = between_walls(room, hung)
    # Both edges are rounded by themselves, and the saw's stop is set to edge A's figure alone.
    off = SIXTY_FOURTH + allowed.step + 2 * ANGLES
    jams = not said.over and (said.jams <= off or way_in(room, hung) == "not at all")
    yield Measure("said not to fit", hung.name, float(not said.fits and not jams), 0.0)
    yield Measure("free length off", hung.name, abs(said.slack - max(0.0, -stand.over)), off)
    yield Measure("opens wider than said", hung.name, max(stand.gaps) - said.opens, off)
    leans = room.lean(1) + room.lean(2)
    straight = said.way == "straight up"
    shut = -stand.over + min(0.0, leans * DROP) < -SIXTY_FOURTH
    yield Measure("said to go straight up", hung.name, float(straight and shut), 0.0)
    free = leans >= 0 and not straight
    yield Measure(f"said to go in {said.way}", hung.name, float(free), 0.0)
