"""A beam's boards as they were cut, where a cut was kept though today's figures are others.

A kept board is what it was cut to. What depends on its finished size follows that board, not
today's readings or section: its own later cuts, the boards that go against it, the nails
through it, how it fits. Its own marks are worked out by today's readings all the same, so
that a further change asks again and both can be shown; `crewdesk.job.cuts.marks.as_it_is` gives
those that the board has.
"""

from fractions import Fraction
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


def kept_figure(beam: Beam, key: str, name: str) -> Fraction | None:
    """A figure, in inches or degrees, of a cut of a piece that was kept; None where none was."""
    found = _kept(beam, key).get(name)
    return None if found is None else found.exact


def _kept(beam: Beam, key: str) -> Figures:
    return beam.kept.get(key, {})


def board_as_cut(beam: Beam, key: str) -> FormBoard:
    """A board with the width, the back's width, the thickness and the edges that it was ripped
    to; worked out once for each beam. Raises `BadInput`."""
    return beam.once(f"{key} as ripped", lambda: _board_as_cut(beam, key))


def _board_as_cut(beam: Beam, key: str) -> FormBoard:
    board, kept = _by_its_section(beam, key), _kept(beam, key)
    face = kept.get("height") or kept.get("width")
    if face is None:
        return board
    back = kept.get("back_height") or kept.get("back_width") or face
    thickness = kept["thickness"].exact if "thickness" in kept else board.thickness
    made = board._replace(width=face.exact, back_width=back.exact, thickness=thickness)
    if board.stock:
        made = made._replace(stock=board.stock + face.exact - board.width)
    return _edges_as_cut(beam, key, made)


def _by_its_section(beam: Beam, key: str) -> FormBoard:
    """A board by the flat, bevel and thickness that it was ripped with, which say how far it
    goes in where it is tilted."""
    section = section_as_cut(beam, key)
    if section == beam.section:
        return beam.boards[key]
    name = f"{key} by its section"
    return beam.once(name, lambda: beam._replace(section=section).boards[key])


def room_across(beam: Beam, key: str) -> Fraction:
    """How much room a bottom or top has across, between what it goes between as it is, in
    inches: the width that it would be ripped to with its clearance."""
    return _by_its_section(beam, key).width + beam.section.fit


def _edges_as_cut(beam: Beam, key: str, board: FormBoard) -> FormBoard:
    """A board with its edges as they were ripped: what has no tilt was ripped square."""
    bottom, top, blade = (
        kept_figure(beam, key, name) or Fraction(0)
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
    """Return the section with the thickness of the bottom or top, and its edges' flat and bevel,
    as the board was ripped; worked out once for each beam."""
    return beam.once(f"section of {key} as ripped", lambda: _section_as_cut(beam, key))


def _section_as_cut(beam: Beam, key: str) -> Section:
    section = _section_at(beam, key, "width")
    if section is None:
        return beam.section
    return beam.section._replace(
        bottom_thickness=kept_figure(beam, key, "thickness") or beam.section.bottom_thickness,
        flat=section.flat,
        bevel=section.bevel,
    )


def _section_at(beam: Beam, key: str, figure: str) -> Section | None:
    """Return the section that a kept cut with that figure was made by, None where a file that
    was taken in as it was says nothing sound of it."""
    cut = cut_with(beam, key, figure)
    return None if cut is None else section_then(cut.section)


def cut_with(beam: Beam, key: str, figure: str) -> AsCut | None:
    """Return the kept cut of a piece that has that figure; None where none has it."""
    if figure not in _kept(beam, key):
        return None
    piece = beam.pieces[key]
    for step_id, mark in piece.steps.items():
        if mark.cut is not None and figure in mark.cut.figures and beam.why_kept(piece, step_id):
            return mark.cut
    return None


def height_as_cut(beam: Beam, key: str) -> Fraction:
    """A side's width at its show face, in inches, as it was ripped."""
    kept = kept_figure(beam, key, "height")
    return beam.height(key) if kept is None else kept


def side_thickness(beam: Beam, key: str) -> Fraction:
    """How thick a side is, in inches, as it was ripped."""
    kept = kept_figure(beam, key, "thickness")
    return beam.section.side_thickness if kept is None else kept


def side_as_cut(beam: Beam, key: str, made: SideCut | None) -> SideCut | None:
    """A side as it was cut to length; `made` is its cut by today's readings."""
    kept = _kept(beam, key)
    if "bottom_length" not in kept:
        return made
    height = height_as_cut(beam, key)
    offsets = (kept["end1_offset"].exact, kept["end2_offset"].exact)
    first, second = (EndCut(one, arctangent(one / height)) for one in offsets)
    bottom, top = kept["bottom_length"].exact, kept["top_length"].exact
    blank = bottom + sum((max(Fraction(0), -one) for one in offsets), Fraction(0))
    return SideCut(height, bottom, top, blank, first, second)


def flat_as_cut(beam: Beam, key: str, made: BottomCut) -> BottomCut:
    """A bottom's or top's edges and ends as they were cut; `made` is its cut by today's
    readings, of the same room."""
    kept = _kept(beam, key)
    if "edge_a" not in kept or "edge_b" not in kept:
        return made
    board, section = board_as_cut(beam, key), section_as_cut(beam, key)
    if "width" not in kept:
        section = _section_at(beam, key, "edge_a") or section
    edges = (kept["edge_a"].exact, kept["edge_b"].exact)
    plain = board.first_edge != "relief"
    flat = board.thickness if plain else min(section.flat, board.thickness)
    profile = EdgeProfile(board.thickness, flat, section.bevel)
    first, second = (
        end_as_cut(
            profile,
            board.width,
            end,
            _offset_as_cut(kept, end, square=edges[0] == edges[1]),
            None if (one := kept.get(f"end{end}_bevel_deg")) is None else one.exact,
        )
        for end in _ENDS
    )
    return cut_to(made, board, edges, (first, second))


_ENDS: tuple[End, End] = (1, 2)


def _offset_as_cut(kept: Figures, end: End, *, square: bool) -> Fraction | None:
    """How far edge A ran past edge B at an end as it was cut; an end whose slant wasn't known
    was cut `square` where both edges were equal."""
    if (one := kept.get(f"end{end}_offset")) is not None:
        return one.exact
    return Fraction(0) if square else None


def cleat_projection(beam: Beam, rule: Fraction) -> Fraction:
    """How far the cleats stand off their sides, in inches, as they were ripped; `rule` is the
    job's."""
    kept = kept_figure(beam, "cleats", "projection")
    return rule if kept is None else kept


def cleat_height(beam: Beam) -> Fraction:
    """How far the cleats go up their sides, in inches: their stock's thickness as ripped."""
    kept = kept_figure(beam, "cleats", "thickness")
    return cleat_stock(beam) if kept is None else kept


def cleat_stock(beam: Beam) -> Fraction:
    """How thick the stock is that cleats are ripped from, in inches: the sides' own, as they were
    ripped where both are alike, else the section's."""
    sides = {side_thickness(beam, key) for key in _SIDES if key in beam.pieces}
    return sides.pop() if len(sides) == 1 else beam.section.side_thickness


def cleat_line_as_marked(beam: Beam, side: str, line: Length) -> Length:
    """Where a cleat's lower edge was marked on a side; `line` is where it is to be today."""
    kept = kept_figure(beam, side, "cleat_line")
    return line if kept is None else kept


class KeptSetting(NamedTuple):
    """The scriber's `setting`, in inches, that a `side` was scribed at and kept, and why."""

    setting: Fraction
    side: str
    reason: str


def kept_setting(beam: Beam) -> KeptSetting | None:
    """The scriber's setting that a side was scribed at and kept; both sides take the same."""
    for key in _SIDES:
        if (setting := kept_figure(beam, key, "setting")) is not None:
            piece = beam.pieces[key]
            reasons = (
                reason
                for step_id, mark in piece.steps.items()
                if mark.cut is not None
                and "setting" in mark.cut.figures
                and (reason := beam.why_kept(piece, step_id))
            )
            return KeptSetting(setting, key, next(reasons, ""))
    return None


def scribed_at(made: Scribe, setting: Fraction, drop: Fraction | None) -> Scribe:
    """A scribe with another setting: each side is cut that much deeper, or less deep, all
    along. Where the scriber doesn't reach the ceiling nothing comes off, so the side stays as
    wide as it is (see `open_at_ceiling`)."""
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


def open_at_ceiling(made: Scribe) -> Fraction:
    """How much stays open at the ceiling, in inches, where the scriber is set for less than
    the widest gap; 0 where it reaches all along."""
    return max((-one.cut_depth for one in made.marks if one.cut_depth < 0), default=Fraction(0))


def section_at_edge(beam: Beam, key: str) -> Section:
    """The section that nails through the sides into a bottom's or top's edges meet: the thinner
    of the sides, and that board, as they were ripped."""
    return section_to_nail(beam, "cleats")._replace(
        bottom_thickness=board_as_cut(beam, key).thickness
    )


def off_center(beam: Beam) -> Fraction:
    """How far a board between the sides lies off the beam's middle toward side B, in inches,
    since side A is the thicker one as ripped."""
    if "B" not in beam.pieces or "mitred" in beam.form.id:
        return Fraction(0)
    return (side_thickness(beam, "A") - side_thickness(beam, "B")) / 2


def section_to_nail(beam: Beam, what: str) -> Section:
    """The section that nails through the cleats, or up through the bottom, meet: the thinner
    of the sides, the bottom and the cleats' stock as they were ripped."""
    section = beam.section
    if what == "cleats":
        sides = [side_thickness(beam, key) for key in _SIDES if key in beam.pieces]
        return section._replace(side_thickness=min(sides, default=section.side_thickness))
    kept = kept_figure(beam, "bottom", "thickness")
    return section._replace(
        side_thickness=cleat_height(beam),
        bottom_thickness=section.bottom_thickness if kept is None else kept,
    )
