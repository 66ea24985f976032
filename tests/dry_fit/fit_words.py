"""Is what a beam's page says in words true: which face has more room, how far a sloped beam
comes down a ridge beam's face?"""

import math
import re
from collections.abc import Iterator

from tests.dry_fit.fit_sides import relief_needed
from tests.dry_fit.measure import ANGLES, Allowed, Measure
from tests.dry_fit.printed import LENGTH, PrintedBeam
from tests.dry_fit.room import Room
from tests.dry_fit.shown import shown_length


def measure_words(room: Room, page: PrintedBeam, allowed: Allowed) -> Iterator[Measure]:
    """What is said of both sides beside their marks; nothing where readings are off."""
    if not allowed.exact:
        return
    for key in room.sides:
        name, text = f"side {key}", page.boards[f"Side {key}"]
        for end in (1, 2):
            said = f"end {end} in plan: the back has" in text
            wrong = said and relief_needed(room, key, end) > 0
            yield Measure(f"said the back has more room, end {end}", name, float(wrong), 0.0)
        if room.ridge_side is not None:
            yield from _at_ridge(room, key, text, allowed)


def _at_ridge(room: Room, key: str, text: str, allowed: Allowed) -> Iterator[Measure]:
    """A plumb cut through a board across a slope is its height over the slope's cosine long; it
    hangs below a side of the ridge beam that is less high."""
    name, long = f"side {key}", room.height(key) * math.hypot(1.0, float(room.pitch))
    found = re.search(rf"at the ridge beam: ({LENGTH}) down its face", text)
    off = 1.0 if found is None else abs(float(shown_length(found[1])) - long)
    yield Measure("down the ridge beam's face off", name, off, allowed.step / 2 + ANGLES)
    below = long - float(room.ridge_side or 0)
    hangs = re.search(r"it hangs \S+(?: \S+)? (?:in|mm) below", text) is not None
    if abs(below) > allowed.step:
        wrong = float(hangs != (below > 0))
        yield Measure("said to hang below the ridge beam", name, wrong, 0.0)
