"""What a batch says of boards at their place, where no machine is set: which end goes up first,
how to level a pair, how far an end is pried down."""

from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.as_built import height_as_cut
from crewdesk.job.beam import Beam
from crewdesk.job.cut import in_words
from crewdesk.job.cut_before import CHECK_OFF, done_before
from crewdesk.job.made_for import is_made_for
from crewdesk.job.piece import Piece
from crewdesk.job.scribing import pry_line, scribe_of
from crewdesk.job.under_ceiling import sides_under
from crewdesk.job.way_up import way_up_words
from crewdesk.length import Step

GOES_UP = ("tack", "nail-side", "nail-bottom", "glue-bottom")
"""The usual steps that a board is put up in."""
LEVEL = "Level: hold the bottom edges level by the laser's line."
TO_SLOPE = (
    "Sloped: don't level these. Hold the bottom edges parallel to the slope: the same distance "
    "off the laser's line, tilted along the slope, at both ends and the center."
)
STRAIGHT_UP = "A board goes straight up where no end is named to go first."
NO_PRY = "Measure the ceiling, and how far to pry each end down shows here."


class AtTheWall(NamedTuple):
    """What is said of a step without a machine: `notes` for all boards that have the same, and
    `own` for one board."""

    notes: tuple[str, ...] = ()
    own: str = ""


def at_the_wall(beam: Beam, piece: Piece, step_id: str, step: Step) -> AtTheWall:
    """Return what a step of a piece is done by at its place; nothing where nothing is known."""
    if step_id in GOES_UP:
        return AtTheWall((STRAIGHT_UP,), way_up_words(beam, piece, step))
    if step_id == "level" and is_made_for(step_id, piece):
        return _level(beam, piece, step)
    if done_before(beam, piece, step_id):
        return AtTheWall(own=CHECK_OFF)
    return AtTheWall()


def _level(beam: Beam, piece: Piece, step: Step) -> AtTheWall:
    notes = [TO_SLOPE if beam.ceiling == "sloped" else LEVEL]
    own = []
    try:
        made = scribe_of(beam)
    except BadInput:
        made = None
    if made is None:
        notes.append(NO_PRY)
    else:
        own += [pry_line(one, step) for one in made.pry_down if one.side == piece.key]
        own = own or ["pushed up it hangs right: pry nothing down"]
    return AtTheWall(tuple(notes), "; ".join([*own, *_apart(beam, piece, step)]))


def _apart(beam: Beam, piece: Piece, step: Step) -> list[str]:
    """How side B differs from side A in width, and how far apart their bottom edges hang."""
    if piece.key != "B" or len(sides_under(beam)) < 2:
        return []
    more = height_as_cut(beam, "B") - height_as_cut(beam, "A")
    lower = (beam.height_b or beam.section.height) - beam.section.height
    lines = []
    if more:
        how = "wider" if more > 0 else "narrower"
        lines.append(
            f"{in_words(abs(more), step)} {how} than side A: go by the bottom edges, not the top "
            "edges"
        )
    if beam.form.id == "ridge" and lower:
        how = "below" if lower > 0 else "above"
        lines.append(f"its bottom edge hangs {in_words(abs(lower), step)} {how} side A's")
    return lines
