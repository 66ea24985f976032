"""A cut's figures as they would be today, and whether they are plainly those that were cut."""

from datetime import datetime

from crewdesk.job.as_cut import (
    BACK,
    CUTS,
    DEGREES,
    Values,
    as_it_was,
    as_read_by,
    changed_since,
    is_by_readings,
    values_for,
    with_its_tools,
)
from crewdesk.job.beam import Beam
from crewdesk.job.cut_figures import AsCut
from crewdesk.job.edges import EDGE_B, unread_edge
from crewdesk.job.piece import Piece, StepMark

RIPS = frozenset({"rip-side", "rip-bottom", "rip-top"})
"""The steps that rip the boards of a beam, which go together or not."""


def is_as_ever(beam: Beam, built: Beam, piece: Piece, step_id: str, mark: StepMark) -> bool:
    """Whether there is plainly nothing to compare: the usual case, told fast."""
    if changed_since(beam, piece, step_id, mark.when) or unread_since(
        beam, piece, step_id, mark.when
    ):
        return False
    if is_by_readings(beam, piece, step_id, mark):
        return True
    was = as_it_was(beam, piece, step_id, mark)
    today = values_today(built, piece, step_id, was)
    return all(
        name in today and today[name].exact == one.exact for name, one in was.figures.items()
    ) and not any(is_none_where_lacking(name) and name not in was.figures for name in today)


def values_today(built: Beam, piece: Piece, step_id: str, cut: AsCut) -> Values:
    """A cut's figures by today's readings, with the boards that it follows as they are built."""
    with_tools = with_its_tools(built, piece, step_id, cut)
    return values_for(with_tools, with_tools.pieces[piece.key], step_id)


def is_none_where_lacking(name: str) -> bool:
    """Whether a figure that isn't among others is none there: a tilt is square, a back is as
    wide as its face."""
    return name.endswith(DEGREES) or name.startswith(BACK)


def unread_since(beam: Beam, piece: Piece, step_id: str, when: datetime) -> str:
    """Return what a cut would have had to wait for by what was read after a time: that a bottom's
    edge B is read too, where the walls turned out to be out of square; "" for nothing."""
    if "edge_b" not in CUTS[step_id].own or (asks := unread_edge(beam, piece, EDGE_B)) is None:
        return ""
    then = as_read_by(beam, when)
    return asks if unread_edge(then, then.pieces[piece.key], EDGE_B) is None else ""
