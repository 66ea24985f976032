"""The cleats' lengths in words, for the batches that nail them."""

from collections.abc import Collection

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.cut import in_words
from crewdesk.job.cuts.marks import CleatMarks, as_it_is, marks
from crewdesk.job.cuts.scribing import sides_under
from crewdesk.length import Length, Step, Way, show_length
from crewdesk.trade.cuts.cleat import CleatCut

_SCRIBED = "cut-scribe"


def cleats_wait(beam: Beam) -> str:
    """Return that no cleat is cut to its length yet, in words, while a side under the ceiling is
    still to be cut to its scribe line; else ""."""
    waits = any(
        piece.kind == "side"
        and "ceiling" in piece.traits
        and _SCRIBED in beam.ways.get("side", (_SCRIBED,))
        and not ((mark := piece.steps.get(_SCRIBED)) is not None and mark.behind)
        for piece in beam.pieces.values()
    )
    sides = "both sides are" if len(sides_under(beam)) > 1 else "the side is"
    return f"don't cut cleats to length before {sides} cut to the scribe line" if waits else ""


def cleat_lengths(beam: Beam, piece: Piece, on: Collection[str], step: Step) -> str:
    """Return the length of each cleat `on` those sides, or the wall, and where it starts, in
    words, or that it is too early for it; "" where they aren't known. Raises `BadInput`."""
    if not_yet := cleats_wait(beam):
        return not_yet
    made = marks(beam, piece, projection=beam.habits.cleat)
    if not isinstance(made, CleatMarks):
        return ""
    known = (one for one in as_it_is(made).cleats if one.on in on and one.length is not None)
    return "; ".join(_words(one, step) for one in known)


def wall_cleat_height(beam: Beam, piece: Piece, step: Step) -> str:
    """Return how high the cleat on the wall goes, in words; "" for a beam without one. Raises
    `BadInput`."""
    made = marks(beam, piece, projection=beam.habits.cleat)
    lines = (
        [one.line for one in as_it_is(made).cleats if one.on == "wall"]
        if isinstance(made, CleatMarks)
        else []
    )
    if not lines:
        return ""
    return f"its lower edge {in_words(lines[0], step)} up from side A's bottom edge, all along"


def _words(one: CleatCut, step: Step) -> str:
    assert one.length is not None
    where = "the wall" if one.on == "wall" else f"side {one.on}"
    line = f"on {where} {_shown(one.length, step, 'down')} long"
    if one.start is None:
        return line
    if one.on == "wall":
        start = _shown(one.start, step, "up")
        return f"{line}, from {start} off the end wall at end 1, along its lower edge"
    past = one.start < 0
    start = _shown(-one.start if past else one.start, step, "down" if past else "up")
    way = "past" if past else "inside"
    return f"{line}, from {start} {way} the show face's bottom corner at end 1"


def _shown(value: Length, step: Step, way: Way) -> str:
    return show_length(value, step, way=way) + ("" if step.mm else " in")
