"""A piece's settings and marks as figures with short names, and its notes for now, a line each;
`cut_told` has everything in words."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.in_plan import compound_cuts
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.beams.uncertainty import Sureness
from crewdesk.job.cuts.dry_fits import Tried
from crewdesk.job.cuts.mark import Mark, is_set_by
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BottomMarks, Marks
from crewdesk.job.cuts.scribe_way import ScribeCut
from crewdesk.length import INCHES_PER_FOOT, Step, show_length
from crewdesk.paper.lengths import degrees_shown, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.text.dry_fit import fit_lines
from crewdesk.paper.text.mark_text import (
    degrees_of,
    kept_words,
    mark_words,
    uncertainty_cautions,
    within_shown,
)
from crewdesk.paper.text.notes import compound_way, scribe_cut_line, skew_notes
from crewdesk.screens.piece.tall_figures import Tall
from crewdesk.trade.cuts.dry_fit import DryFit

Parts = list[tuple[str, str]]
"""The parts of a line, each a text and its style."""
_LABEL, _DOUBT = "$muted", "$warning"
_DRAWN = ("bottom_length", "top_length", "back_width", "back_a", "back_b", "scribed_width", "tilt")
"""Marks in the drawing or the details; the first of them is a figure while the next step cuts to
it."""
_ALSO = ("edges", "projection", "stock", "scribe_stock", "relief1", "relief2")
"""Marks that are figures here but not large on paper."""
_OFFSET = "end1_offset"
"""The figure of a step that cuts the ends."""
_NAMES = {
    "edges": "blade",
    "scribe_stock": "to scribe at edge B",
    "back_height": "top edge's back",
    "bottom_edge": "bottom edge, blade",
    "top_edge": "top edge, blade",
}


def rounded_to(step: Step) -> str:
    """Return the unit and the step of a piece's figures."""
    return "in millimeters" if step.mm else f"in inches, to {step.name}"


def figures_of(
    beam: Beam,
    piece: Piece,
    made: Marks,
    sure: Sureness | None,
    step: Step,
    now: Collection[str],
    fit: DryFit | None = None,
    typed: Mapping[str, Reading] | None = None,
) -> tuple[Tall, ...]:
    """Return a piece's figures, first those of the step that is next, whose figures are called
    as in `now`; `sure` is how far each can be off, `fit` how the board goes in, `typed` are the
    readings that aren't saved. What cuts an end, and what isn't next of the cleats, is in a few
    words while another step is next."""
    walls = (plain(beam.ends[0]), plain(beam.ends[1]))
    marks = mark_list(made, piece.key, {} if sure is None else sure.within)
    found = [
        _tall(one, walls, step, now=is_set_by(one, now)) for one in marks if _is_figure(one, now)
    ]
    found += _compound(beam, piece, typed, now=_OFFSET in now)
    found += [
        Tall(
            f"end {one.end} back bevel",
            degrees_shown(one.deg),
            more=f"from {with_unit(one.start, step)} up",
            now=f"bevel{one.end}_deg" in now,
        )
        for one in (() if fit is None else fit.bevels)
    ]
    if any(one.now for one in found):
        seen = [degrees_of(one.deg) for one in marks if one.end and one.deg is not None]
        found = [
            one._replace(later=_later(one, step)) if not one.now and _waits(one, piece) else one
            for one in found
            if one.now or not one.name.endswith(" miter") or one.value not in seen
        ]
    return (*(one for one in found if one.now), *(one for one in found if not one.now))


def _waits(one: Tall, piece: Piece) -> bool:
    """Return whether a figure needs no more than a few words while another step is next."""
    return piece.kind == "cleats" or " end" in f" {one.name}"


def _later(one: Tall, step: Step) -> str:
    """Return a figure of an end in a few words."""
    value = f"under {step.name}" if one.value == "0+" else one.value
    name, _, way = one.name.partition(" end, top ")
    return f"{name} {value} {way}" if way else f"{one.name} {value}"


def _is_figure(mark: Mark, now: Collection[str]) -> bool:
    if mark.value is None and mark.deg is None:
        return False
    if mark.id in _DRAWN or mark.id.startswith("start_"):
        return mark.id not in _DRAWN[1:] and is_set_by(mark, now)
    return mark.large or mark.id in _ALSO


def _tall(mark: Mark, walls: tuple[str, str], step: Step, *, now: bool) -> Tall:
    """Return a mark as a figure: a length without its unit, or an angle."""
    name, more = _named(mark, walls)
    if mark.kept:
        name = f"{name}, as cut"
    off = "" if mark.within is None else within_shown(mark.within, step)
    if mark.value is None or mark.id == "edges":
        flat = "" if mark.value is None else f"{show_length(mark.value, step)} left flat"
        return Tall(name, degrees_of(mark.deg or 0.0), off, flat, now)
    value = show_length(mark.value, step, way=mark.way_at(step))
    if not step.mm and mark.value >= INCHES_PER_FOOT:
        more = f"= {show_length(mark.value, step, feet=True, way=mark.way_at(step))}"
    return Tall(name, value.removesuffix(" mm"), off, more, now)


def _named(mark: Mark, walls: tuple[str, str]) -> tuple[str, str]:
    """Return a mark's short name, with its angle where it has one, and what more there is to
    know."""
    name, more = _NAMES.get(mark.id, mark.name), mark.at
    deg = "" if mark.deg is None else f" {degrees_of(mark.deg)}"
    on, _, of = mark.id.partition("_")
    if mark.id in ("edges", "bottom_edge", "top_edge"):
        return name, ""
    if mark.id in ("end1", "end2"):
        way = "back" if mark.at.startswith("back") else "out"
        seen = mark.name.partition(" ")[0]
        return f"{seen} end, top {way}{deg}", walls[mark.end - 1]
    if mark.id.startswith("relief"):
        return f"{mark.name.partition(' ')[0]} end, off the back{deg}", walls[mark.end - 1]
    if mark.id.startswith("cut"):
        return f"{mark.name.replace(' runs past by', ' past')}{deg}", walls[mark.end - 1]
    if on in ("line", "length", "start"):
        what = {"line": "lower edge", "length": "length"}.get(on, "starts")
        if on == "start":
            what += " past the corner" if mark.at.startswith("out") else " from the corner"
        return f"{'wall' if of == 'wall' else f'side {of}'} {what}", ""
    return f"{name}{deg}", more


def _compound(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None, *, now: bool
) -> Iterator[Tall]:
    """Yield the miter and the bevel of each end that takes both."""
    for one in compound_cuts(beam, piece, typed):
        ways = compound_way(one.cut, piece.kind)
        for what, deg, way in zip(
            ("miter", "blade"), (one.cut.mitre_deg, one.cut.blade_deg), ways, strict=True
        ):
            yield Tall(f"end {one.end} {what}", degrees_shown(abs(deg)), "", way, now)


def lines_of_piece(
    beam: Beam,
    piece: Piece,
    made: Marks,
    step: Step,
    missing: Sequence[str],
    sure: Sureness | None,
    fit: Tried,
    scribe_cut: ScribeCut | None,
    early: Sequence[str],
    typed: Mapping[str, Reading] | None = None,
) -> tuple[list[Parts], list[Parts]]:
    """Return what to know of a piece before it is cut, the worst first, and what explains it: a
    line each. The arguments are those of `cut_told`."""
    wrong: list[Parts] = [
        [(f"! Too early: {plain(why)}.", f"{_DOUBT} bold")] for why in dict.fromkeys(early)
    ]
    wrong += _kept(made, piece, step)
    if missing:
        wrong.append([(f"Not measured: {'; '.join(missing)}.", _DOUBT)])
    wrong += [[(f"! {plain(one)}", _DOUBT)] for one in _cautions(made, sure, step)]
    fits, more = _dry_fit(piece, fit, step)
    quiet = [*more]
    notes = [one for one in skew_notes(beam, piece, step, typed) if " compound: " not in one]
    quiet += [[(plain(one), _LABEL)] for one in notes]
    if scribe_cut is not None:
        quiet.append([(scribe_cut_line(scribe_cut), _LABEL)])
    if piece.gaps:
        where = ", ".join(dict.fromkeys(gap.where for gap in piece.gaps))
        quiet.append([(f"Gaps recorded at {where}", _LABEL)])
    return [*wrong, *fits], quiet


def _kept(made: Marks, piece: Piece, step: Step) -> Iterator[Parts]:
    """Return today's value of each mark of a kept board."""
    for mark in mark_list(made, piece.key):
        if mark.kept:
            name = mark_words(mark, ("end 1", "end 2"), step)[0]
            yield [(f"! {name} {kept_words(mark, step)}", _DOUBT)]


def _cautions(made: Marks, sure: Sureness | None, step: Step) -> Iterable[str]:
    if isinstance(made, BottomMarks):
        if made.asks:
            yield made.asks
        if made.cut is not None:
            yield from (one.shown(step) for one in made.cut.cautions)
    if sure is not None:
        yield from uncertainty_cautions(sure, step)


def _dry_fit(piece: Piece, fit: Tried, step: Step) -> tuple[list[Parts], list[Parts]]:
    """Return the dry fit in a line, and its details."""
    if (board := fit.fit) is None:
        why = plain(fit.why) if piece.kind == "top" else ""
        return [], [[("dry fit  ", _LABEL), (why, _LABEL)]] if why else []
    wrong = board.way == "no way" and not fit.may
    ink = "$error bold" if wrong else _DOUBT if board.over else "bold"
    first, *more = fit_lines(board, step, as_cut=fit.as_cut, may=fit.may, why=False)
    text = f"! {first}" if board.over else first
    return [[("dry fit  ", _LABEL), (text, ink)]], [[(line, _LABEL)] for line in more]
