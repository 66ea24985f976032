"""Cuts that can't be kept because the beam's other boards can't follow them."""

from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import NAME_OF, PARTNER, Piece
from crewdesk.job.cuts.as_built import built_figure, is_kept
from crewdesk.job.cuts.as_cut import as_it_was
from crewdesk.job.cuts.as_set import RIPS
from crewdesk.job.cuts.changed_cut import ChangedFigure
from crewdesk.job.cuts.cleats import across, cleat_line_of
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.length import STEPS, Step, exact, show_length
from crewdesk.trade.cuts.side_board import Side


def why_not_kept(
    beam: Beam, piece: Piece, step_id: str, cut: AsCut, off: Mapping[str, ChangedFigure]
) -> str:
    """Return why a cut can't be kept, and what to do; or "" if it can. `off` are the figures that
    differ by more than can pass, by name."""
    if step_id == "cleat-line":
        return _line_askew(beam, piece, cut)
    if step_id not in RIPS or not off:
        return ""
    step = beam.habits.step
    if "mitred" in beam.form.id:
        return _corner_open(piece, off, step) or _top_askew(beam, piece, off, step)
    if step_id == "rip-bottom" and beam.form.id == "wall":
        return _short_of_wall(beam, cut, step)
    if piece.kind == "side" and "blade_deg" in off:
        return (
            "It can't be kept: its bottom edge is mitered, and the bottom board goes between "
            "sides with square edges here. Cut it again."
        )
    return _top_askew(beam, piece, off, step)


def must_match(beam: Beam, piece: Piece, step_id: str, cut: AsCut) -> frozenset[str]:
    """Return the figures of a rip that the beam's other boards can't follow, so that the least
    change of the section asks: the thickness of mitered boards, a mitered bottom's width, and
    the width of a side that a top sits flush with, unless its partner was ripped alike."""
    if step_id not in RIPS:
        return frozenset()
    found = {"thickness", "width"} if "mitred" in beam.form.id else set()
    partner, height = beam.pieces.get(PARTNER.get(piece.key, "")), cut.figures.get("height")
    if partner is not None and height is not None and "top" in beam.pieces:
        found |= {"height"} if _ripped_to(beam, partner) != height.exact else set()
    return frozenset(found)


def _corner_open(piece: Piece, off: Mapping[str, ChangedFigure], step: Step) -> str:
    """Return a sentence if mitered corners would stay open: they need boards of one thickness, both
    edges at half the corner's angle, and a bottom or top as wide as the beam."""
    if (one := off.get("thickness")) is not None:
        was, now = _long(one.was.exact, step), _long(one.was.exact + one.off, step)
        return (
            "It can't be kept: mitered corners close only between boards of one thickness. "
            f"Rip it again from {now} stock, or set the thickness of sides and bottom to {was}."
        )
    if any(name in off for name in ("blade_deg", "top_blade_deg", "bevel_deg")):
        return (
            "It can't be kept: mitered corners close only where both edges have the miter's "
            "bevel. Cut it again."
        )
    if piece.kind != "side" and (one := off.get("width")) is not None:
        return (
            f"It can't be kept: mitered corners close only where the {piece.name} is as wide as "
            f"the beam. Cut it again, or set the beam's width to {_long(one.was.exact, step)}."
        )
    return ""


def _short_of_wall(beam: Beam, cut: AsCut, step: Step) -> str:
    """Return a sentence if a bottom along a wall doesn't reach from its side to the wall."""
    ripped, board = cut.figures.get("width"), beam.boards["bottom"]
    lacks = Fraction(0) if ripped is None else board.width - board.stock - ripped.exact
    if lacks <= step.size:
        return ""
    return (
        f"It can't be kept: it is {_long(lacks, step)} too narrow to reach the wall. "
        "Cut it again from a wider board."
    )


def _top_askew(beam: Beam, piece: Piece, off: Mapping[str, ChangedFigure], step: Step) -> str:
    """Return a sentence if a top can't sit flush: both sides' upper edges must be equally high, and
    square unless mitered."""
    partner = beam.pieces.get(PARTNER.get(piece.key, ""))
    if partner is None or "top" not in beam.pieces:
        return ""
    if "top_blade_deg" in off:
        return (
            "It can't be kept: its top edge is beveled, and the top board is flush "
            "with square edges here. Cut it again."
        )
    if (one := off.get("height")) is None:
        return ""
    other = _ripped_to(beam, partner)
    if other == one.was.exact:
        return ""
    was = _long(one.was.exact, step)
    return (
        f"It can't be kept: {partner.name} is {_long(other, step)} wide, and the top board goes "
        f"flush with both. Cut it again, or make both sides {was}: set the side width to that."
    )


def _ripped_to(beam: Beam, side: Piece) -> Fraction:
    """Return a side's width as ripped or to be ripped, in inches."""
    mark = side.steps.get("rip-side")
    if mark is not None and mark.state == "done":
        found = as_it_was(beam, side, "rip-side", mark).figures.get("height")
        if found is not None:
            return found.exact
    return beam.height(side.key)


def _line_askew(beam: Beam, piece: Piece, cut: AsCut) -> str:
    """Return a sentence if the cleats' lines are not as far apart as planned; the bottom rests on
    both."""
    partner, marked = PARTNER.get(piece.key, ""), cut.figures.get("cleat_line")
    if marked is None:
        return ""
    step = beam.habits.step
    own: Side = "A" if piece.key == "A" else "B"
    cleat = beam.habits.cleat
    below = exact(cleat_line_of(beam, own, cleat)) - beam.section.reveal - marked.exact
    if below > step.size:
        return (
            f"It can't be kept: the bottom would hang {_long(below, step)} below the side. "
            "Mark it again."
        )
    kept = partner in beam.pieces and is_kept(beam, partner, "cleat_line")
    other = built_figure(beam, partner, "cleat_line") if kept else None
    if other is None:
        return ""
    apart = exact(cleat_line_of(beam, own, cleat)) - exact(cleat_line_of(beam, across(own), cleat))
    askew = abs(marked.exact - other - apart)
    if askew <= STEPS[cut.step].size:
        return ""
    return (
        f"It can't be kept: {NAME_OF[partner]}'s line was kept at {_long(other, step)}, so the "
        f"bottom would hang {_long(askew, step)} askew. Mark it again."
    )


def _long(length: Fraction, step: Step) -> str:
    return show_length(length, step) + ("" if step.mm else " in")
