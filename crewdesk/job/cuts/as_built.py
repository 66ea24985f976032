"""A beam's boards as they were cut, whatever today's readings and section give.

Whatever depends on a board's finished size uses that size, not today's section, even while the
difference needs an answer: the board's later cuts, the boards against it, its nails, its fit. A
pair that shares a setting or a line uses that of the side that was cut first. A board's own marks
still come from today's readings, so that a change is noticed and both can be shown;
`crewdesk.job.cuts.marks.as_it_is` has the marks as cut.
"""

from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam, section_then
from crewdesk.job.beams.forms import USUAL
from crewdesk.job.cuts.cut_figures import AsCut, Figures
from crewdesk.length import Length
from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.board_end import EdgeProfile, end_as_cut
from crewdesk.trade.cuts.bottom_cut import BottomCut, cut_to
from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.forms import FormBoard, Joint
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.side_board import End, EndCut, SideCut

_SIDES = ("A", "B")
STATION = "height@"
"""The prefix of a figure that is a height at a spot along the beam."""


def built_figure(beam: Beam, key: str, name: str) -> Fraction | None:
    """Return a figure, in inches or degrees, that a piece was cut to and counts with; None if there
    is none."""
    found = _built(beam, key).get(name)
    return None if found is None else found.exact


def _built(beam: Beam, key: str) -> Figures:
    return beam.built.get(key, {})


def board_as_cut(beam: Beam, key: str) -> FormBoard:
    """Return a board with the width, back width, thickness and edges that it was ripped to;
    computed once for each beam. Raises `BadInput`."""
    return beam.once(f"{key} as ripped", lambda: _board_as_cut(beam, key))


def _board_as_cut(beam: Beam, key: str) -> FormBoard:
    board, was = _by_its_section(beam, key), _built(beam, key)
    face = was.get("height") or was.get("width")
    if face is None:
        return board
    back = was.get("back_height") or was.get("back_width") or face
    thickness = was["thickness"].exact if "thickness" in was else board.thickness
    made = board._replace(width=face.exact, back_width=back.exact, thickness=thickness)
    if board.stock:
        made = made._replace(stock=board.stock + face.exact - board.width)
    return _edges_as_cut(beam, key, made)


def _by_its_section(beam: Beam, key: str) -> FormBoard:
    """Return a board with the flat, bevel and thickness that it was ripped with, which determine
    how far it goes in if it is tilted."""
    section = section_as_cut(beam, key)
    if section == beam.section:
        return beam.boards[key]
    name = f"{key} by its section"
    return beam.once(name, lambda: beam._replace(section=section).boards[key])


def room_across(beam: Beam, key: str) -> Fraction:
    """Return the room across for a bottom or top between its neighbors as they are, in inches: its
    ripped width with its clearance."""
    return _by_its_section(beam, key).width + beam.section.fit


def _edges_as_cut(beam: Beam, key: str, board: FormBoard) -> FormBoard:
    """Return a board with its edges as ripped; an edge without a tilt is square."""
    bottom, top, blade = (
        built_figure(beam, key, name) or Fraction(0)
        for name in ("blade_deg", "top_blade_deg", "bevel_deg")
    )
    if key in _SIDES:
        lower: Joint = "mitre" if bottom else "square"
        upper: Joint = "square" if not top else "mitre" if bottom else "scribed"
        return board._replace(
            first_edge=lower,
            first_blade=bottom,
            second_edge=upper,
            second_blade=top,
        )
    if blade == board.first_blade:
        return board
    cut = cut_with(beam, key, "thickness")
    form = beam.form.id if cut is None else cut.settings.get("form", USUAL)
    first: Joint = "square" if not blade else "mitre" if "mitred" in form else "relief"
    made = board._replace(first_edge=first, first_blade=blade)
    if form == "wall":
        return made._replace(second_edge="scribed", second_blade=Fraction(0))
    return made._replace(second_edge=first, second_blade=blade)


def section_as_cut(beam: Beam, key: str) -> Section:
    """Return the section with the thickness of the bottom or top, and its edges' flat and bevel, as
    the board was ripped; computed once for each beam."""
    return beam.once(f"section of {key} as ripped", lambda: _section_as_cut(beam, key))


def _section_as_cut(beam: Beam, key: str) -> Section:
    section = _section_at(beam, key, "width")
    if section is None:
        return beam.section
    return beam.section._replace(
        bottom_thickness=built_figure(beam, key, "thickness") or beam.section.bottom_thickness,
        flat=section.flat,
        bevel=section.bevel,
    )


def _section_at(beam: Beam, key: str, figure: str) -> Section | None:
    """Return the section of a cut with that figure, or None if an imported file has no valid
    one."""
    cut = cut_with(beam, key, figure)
    return None if cut is None else section_then(cut.section)


def cut_with(beam: Beam, key: str, figure: str) -> AsCut | None:
    """Return the piece's cut that counts as made and has that figure; None if there is none."""
    if figure not in _built(beam, key):
        return None
    piece = beam.pieces[key]
    for step_id, mark in piece.steps.items():
        if mark.cut is not None and figure in mark.cut.figures and beam.is_built(piece, step_id):
            return mark.cut
    return None


def height_as_cut(beam: Beam, key: str) -> Fraction:
    """Return a side's width at its show face as ripped, in inches."""
    was = built_figure(beam, key, "height")
    return beam.height(key) if was is None else was


def side_thickness(beam: Beam, key: str) -> Fraction:
    """Return a side's thickness as ripped, in inches."""
    was = built_figure(beam, key, "thickness")
    return beam.section.side_thickness if was is None else was


def side_as_cut(beam: Beam, key: str, made: SideCut | None) -> SideCut | None:
    """Return a side as it was cut to length; `made` is its cut by today's readings."""
    was = _built(beam, key)
    if "bottom_length" not in was:
        return made
    height = height_as_cut(beam, key)
    offsets = (was["end1_offset"].exact, was["end2_offset"].exact)
    first, second = (EndCut(one, arctangent(one / height)) for one in offsets)
    bottom, top = was["bottom_length"].exact, was["top_length"].exact
    blank = bottom + sum((max(Fraction(0), -one) for one in offsets), Fraction(0))
    return SideCut(height, bottom, top, blank, first, second)


def flat_as_cut(beam: Beam, key: str, made: BottomCut) -> BottomCut:
    """Return a bottom's or top's edges and ends as cut; `made` is its cut in the same room by
    today's readings."""
    was = _built(beam, key)
    if "edge_a" not in was or "edge_b" not in was:
        return made
    board, section = board_as_cut(beam, key), section_as_cut(beam, key)
    if "width" not in was:
        section = _section_at(beam, key, "edge_a") or section
    edges = (was["edge_a"].exact, was["edge_b"].exact)
    plain = board.first_edge != "relief"
    flat = board.thickness if plain else min(section.flat, board.thickness)
    profile = EdgeProfile(board.thickness, flat, section.bevel)
    first, second = (
        end_as_cut(
            profile,
            board.width,
            end,
            _offset_as_cut(was, end, square=edges[0] == edges[1]),
            None if (one := was.get(f"end{end}_bevel_deg")) is None else one.exact,
        )
        for end in _ENDS
    )
    return cut_to(made, board, edges, (first, second))


_ENDS: tuple[End, End] = (1, 2)


def _offset_as_cut(was: Figures, end: End, *, square: bool) -> Fraction | None:
    """Return how far edge A ran past edge B at an end as cut. An end of unknown slant was cut
    `square` if both edges were equal."""
    if (one := was.get(f"end{end}_offset")) is not None:
        return one.exact
    return Fraction(0) if square else None


def cleat_projection(beam: Beam, rule: Fraction) -> Fraction:
    """Return how far the cleats reach off their sides as ripped, in inches; `rule` is the job's
    width."""
    was = built_figure(beam, "cleats", "projection")
    return rule if was is None else was


def cleat_height(beam: Beam) -> Fraction:
    """Return the cleats' height up their sides, in inches: their stock's thickness as ripped."""
    was = built_figure(beam, "cleats", "thickness")
    return cleat_stock(beam) if was is None else was


def cleat_stock(beam: Beam) -> Fraction:
    """Return the thickness of the cleats' stock, in inches: the sides' as ripped if both are alike,
    else the section's."""
    sides = {side_thickness(beam, key) for key in _SIDES if key in beam.pieces}
    return sides.pop() if len(sides) == 1 else beam.section.side_thickness


def cleat_line_as_marked(beam: Beam, side: str, line: Length) -> Length:
    """Return where a cleat's lower edge was marked on a side; `line` is where today's readings put
    it."""
    was = built_figure(beam, side, "cleat_line")
    return line if was is None else was


class Lead(NamedTuple):
    """The side of a pair that leads: the `value` of their shared figure, in inches, and the
    `reason` it was kept, or "" if not answered."""

    side: str
    value: Fraction
    reason: str


def lead_of(beam: Beam, figure: str) -> Lead | None:
    """Return the side whose figure a pair uses: a kept one, else the first one cut; None if there
    is none. Computed once for each beam."""
    return beam.once(f"lead by {figure}", lambda: _lead_of(beam, figure))


def _lead_of(beam: Beam, figure: str) -> Lead | None:
    found = []
    for key in _SIDES:
        if figure not in _built(beam, key):
            continue
        piece = beam.pieces[key]
        for step_id, mark in piece.steps.items():
            if mark.cut is not None and figure in mark.cut.figures:
                reason = beam.why_kept(piece, step_id)
                lead = Lead(key, mark.cut.figures[figure].exact, reason)
                found.append((not reason, mark.when, key, lead))
    return min(found)[-1] if found else None


def goes_by(beam: Beam, key: str, figure: str) -> Lead | None:
    """Return the other side if a side takes its figure from it; None if it uses today's readings
    and section, as the lead and a side that was kept on its own do."""
    lead = lead_of(beam, figure)
    if lead is None or lead.side == key or is_kept(beam, key, figure):
        return None
    return lead


def is_kept(beam: Beam, key: str, figure: str) -> bool:
    """Return whether a figure of a piece was kept by an answer, or can't be asked about."""
    piece = beam.pieces.get(key)
    return piece is not None and any(
        mark.cut is not None and figure in mark.cut.figures and bool(beam.why_kept(piece, step_id))
        for step_id, mark in piece.steps.items()
    )


def scribed_at(made: Scribe, setting: Fraction, drop: Fraction | None) -> Scribe:
    """Return a scribe with another setting: each side is cut by that much more or less all
    along. Where the scriber doesn't reach the ceiling, the side keeps its width (see
    `open_at_ceiling`)."""
    more = setting - made.setting
    marks = tuple(
        one._replace(
            cut_depth=one.cut_depth + more,
            finished_height=one.finished_height
            + one.cut_depth
            - max(Fraction(0), one.cut_depth + more),
        )
        for one in made.marks
    )
    lowest = made.lowest_drop - more
    meets = None if drop is None else lowest >= drop
    return made._replace(setting=setting, marks=marks, lowest_drop=lowest, meets_drop=meets)


def no_wider_than_cut(beam: Beam, made: Scribe) -> Scribe:
    """Return a scribe at the setting that leaves no side wider than its earlier cut to the line on
    the same board: wood can't be put back, and the pair hangs level."""
    wider = Fraction(0)
    for one in made.marks:
        was = _finished_before(beam, one.side, one.at)
        if was is not None:
            wider = max(wider, one.finished_height - was)
    return scribed_at(made, made.setting + wider, beam.drop) if wider else made


def left_as_cut(beam: Beam, made: Scribe) -> str:
    """Return the side that a scribe would leave as wide as its earlier cut somewhere; "" if
    none."""
    return next(
        (
            one.side
            for one in made.marks
            if one.finished_height == _finished_before(beam, one.side, one.at)
        ),
        "",
    )


def _finished_before(beam: Beam, key: str, at: Fraction) -> Fraction | None:
    """Return a side's width at a place after its earlier cut to the line, in inches: straight
    between spots, beyond them as at the nearest. None if it wasn't cut, or was ripped since."""
    piece = beam.pieces.get(key)
    mark = None if piece is None else piece.before.get("cut-scribe")
    if piece is None or mark is None or mark.cut is None:
        return None
    rip = piece.steps.get("rip-side")
    if rip is None or rip.when > mark.when:
        return None
    return height_between(mark.cut.figures, at, beyond=True)


def height_between(figures: Figures, at: Fraction, *, beyond: bool = False) -> Fraction | None:
    """Return the height at a place between two spots of a cut's figures, along a straight line, in
    inches; beyond them None, or with `beyond` the nearest one."""
    every = sorted(
        (Fraction(name.removeprefix(STATION)), one.exact)
        for name, one in figures.items()
        if name.startswith(STATION)
    )
    if every and beyond:
        at = min(max(at, every[0][0]), every[-1][0])
    for (before, low), (after, high) in pairwise(every or ()):
        if before <= at <= after:
            return low + (high - low) * (at - before) / (after - before)
    return None


def open_at_ceiling(made: Scribe) -> Fraction:
    """Return the gap left at the ceiling, in inches, if the scriber is set for less than the widest
    gap; else 0."""
    return max((-one.cut_depth for one in made.marks if one.cut_depth < 0), default=Fraction(0))


def section_at_edge(beam: Beam, key: str) -> Section:
    """Return the section for nails through the sides into a bottom's or top's edges: the thinner
    side, and that board, as ripped."""
    return section_to_nail(beam, "cleats")._replace(
        bottom_thickness=board_as_cut(beam, key).thickness
    )


def off_center(beam: Beam) -> Fraction:
    """Return how far a board between the sides is off the beam's middle toward side B, in inches,
    because side A is thicker as ripped."""
    if "B" not in beam.pieces or "mitred" in beam.form.id:
        return Fraction(0)
    return (side_thickness(beam, "A") - side_thickness(beam, "B")) / 2


def section_to_nail(beam: Beam, what: str) -> Section:
    """Return the section for nails through the cleats or up through the bottom: the thinner side,
    the bottom and the cleats' stock, as ripped."""
    section = beam.section
    if what == "cleats":
        sides = [side_thickness(beam, key) for key in _SIDES if key in beam.pieces]
        return section._replace(side_thickness=min(sides, default=section.side_thickness))
    was = built_figure(beam, "bottom", "thickness")
    return section._replace(
        side_thickness=cleat_height(beam),
        bottom_thickness=section.bottom_thickness if was is None else was,
    )


BETWEEN_SIDES, FROM_SIDE = "between the sides", "from the side to the wall"
"""Where a bottom's width is measured once its sides are up."""


def sides_are_up(beam: Beam) -> bool:
    """Return whether any side of a beam is nailed up, so that its bottom goes by where they are."""
    marks = (piece.steps.get("nail-side") for piece in beam.pieces.values())
    return any(mark is not None and mark.state == "done" for mark in marks)
