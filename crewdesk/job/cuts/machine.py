"""The machine settings for the cuts of one step of a piece."""

from collections.abc import Callable, Collection, Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import check_thickness
from crewdesk.job.beams.in_plan import compound_cuts
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import (
    BETWEEN_SIDES,
    FROM_SIDE,
    cleat_projection,
    section_at_edge,
    section_to_nail,
    side_thickness,
    sides_are_up,
)
from crewdesk.job.cuts.at_the_wall import (
    ENDS_STAY,
    STRAIGHT_UP,
    edge_too_short,
    ends_before,
    rip_again,
    too_short,
)
from crewdesk.job.cuts.cleats import check_cleats, cleat_line_to_mark
from crewdesk.job.cuts.cut import Cut, Part, in_words
from crewdesk.job.cuts.end_settings import SLANT_UNKNOWN, end_cuts
from crewdesk.job.cuts.marks import (
    BottomMarks,
    CleatMarks,
    SideMarks,
    as_it_is,
    known_length,
    marks,
)
from crewdesk.job.cuts.nails import (
    FRAMING_GAUGE,
    NAILED,
    edge_nail,
    nail_for,
    side_nail,
    wall_cleat_nail,
)
from crewdesk.job.cuts.rip_settings import SQUARE_RIP, cleat_cut, rip_cuts
from crewdesk.job.cuts.scribe_settings import line_cut, scriber_cut, wall_edge_cuts
from crewdesk.job.cuts.scribing import cleats_wait
from crewdesk.job.cuts.side_settings import bevel_cuts, side_cuts_to_length
from crewdesk.job.job_row import Job
from crewdesk.job.steps.usual_stages import is_made_for
from crewdesk.length import Length, Step, Way, show_length
from crewdesk.trade.cuts.cleat import CleatCut
from crewdesk.trade.cuts.nails import Nail
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine
from crewdesk.trade.cuts.side_board import Side


def cleat_lengths(beam: Beam, piece: Piece, on: Collection[str], step: Step) -> str:
    """Return the length of each cleat `on` those sides, or the wall, and where it starts, in words,
    or that it is too early; "" if unknown. Raises `BadInput`."""
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


EASED = Fraction(1, 8)
"""Radius of an eased edge in inches (common practice, no source)."""


NOT_MEASURED = "Not measured yet: the setting follows from the readings."
MITERS_HELD = "Glue both faces, close the corner with clamps, then nail."
SAWN_FACE_TO_WALL = "The cleat's sawn face goes against the wall."
SAWN_FACE = "The cleat's sawn face goes against the side."
CLEATS_CUT = "Cut each cleat to its length first."
CANT_TAKE = (
    "This step has no cut or setting for these pieces. Change its pieces on the Stages page."
)
NO_CEILING = "Measure the ceiling first: the scriber's setting follows from it."


class _Asked(NamedTuple):
    """The inputs for one piece's settings."""

    job: Job
    beam: Beam
    piece: Piece
    machine: ShopMachine


def cuts_of(
    job: Job, beam: Beam, piece: Piece, step_id: str, machine: ShopMachine = USUAL_MACHINE
) -> tuple[tuple[Cut, ...], str]:
    """Return the cuts of one step of a piece, in order, with each machine's setting.

    Empty if the step sets no machine or the setting isn't known yet, then with the reason if it is
    useful.
    """
    make = _CUTS.get(step_id)
    if make is None:
        return (), ""
    if not is_made_for(step_id, piece):
        return (), CANT_TAKE
    try:
        made = make(_Asked(job, beam, piece, machine))
    except BadInput as refusal:
        return (), refusal.shown(job.step)
    return ((), made) if isinstance(made, str) else (made, "")


_Made = tuple[Cut, ...] | str


def _rip(one: _Asked) -> _Made:
    check_thickness(one.beam.form.id, one.beam.section)
    cuts = rip_cuts(one.beam, one.piece, one.machine, one.job.step)
    if one.piece.kind == "side" and (len(cuts) > 1 or cuts[0].name != SQUARE_RIP):
        return cuts
    again = rip_again(one.piece, one.beam.boards[one.piece.key].width, one.job.step)
    if one.piece.kind == "bottom" and sides_are_up(one.beam):
        alone = one.beam.form.id == "wall"
        up, across = ("side is", FROM_SIDE) if alone else ("sides are", BETWEEN_SIDES)
        again = "; ".join(filter(None, (f"the {up} up: measure {across} first", again)))
    return (cuts[0]._replace(own=again), *cuts[1:])


def _rip_cleats(one: _Asked) -> _Made:
    check_cleats(one.beam, one.job.cutting.cleat)
    return (cleat_cut(one.beam, one.job.cutting.cleat, one.job.step),)


def _cleat_line(one: _Asked) -> _Made:
    side: Side = "A" if one.piece.key == "A" else "B"
    line = cleat_line_to_mark(one.beam, side, one.job.cutting.cleat)
    return (Cut("marking gauge", (Part("line up from the bottom edge", line),)),)


def _cut_side(one: _Asked) -> _Made:
    made = marks(one.beam, one.piece)
    if not isinstance(made, SideMarks) or made.cut is None:
        return NOT_MEASURED
    side: Side = "A" if one.piece.key == "A" else "B"
    before = ends_before(one.piece, made.cut, one.job.step)
    if before == "stay":
        return ENDS_STAY
    if before == "short":
        return too_short(one.piece, made.cut, one.job.step)
    compound = compound_cuts(one.beam, one.piece)
    return side_cuts_to_length(side, made.cut, compound, one.job.step, again=bool(before))


def _back_bevel(one: _Asked) -> _Made:
    return bevel_cuts(one.beam, one.piece, one.job.step)


def _scribe(one: _Asked) -> _Made:
    made = scriber_cut(one.beam, one.machine, one.job.step)
    return NO_CEILING if made is None else (made,)


def _cut_scribe(one: _Asked) -> _Made:
    return (line_cut(one.beam, one.piece, one.machine, one.job.step),)


def _scribe_wall(one: _Asked) -> _Made:
    length = known_length(one.beam, one.piece)
    return wall_edge_cuts(one.beam, one.piece, length, one.machine, one.job.step)


def _cut_ends(one: _Asked) -> _Made:
    made = marks(one.beam, one.piece)
    if isinstance(made, BottomMarks) and made.asks:
        return made.asks
    if not isinstance(made, BottomMarks) or made.cut is None:
        return NOT_MEASURED
    edges = (made.cut.edge_a, made.cut.edge_b)
    if short := edge_too_short(one.piece, edges, one.job.step):
        return short
    unread = [end for end in BOTH if one.beam.pair.square(end) is None]
    inset = made.width - made.back_width
    cuts = end_cuts(
        made.cut.edge_a,
        made.cut.ends,
        unread,
        one.machine,
        one.job.step,
        top=made.top,
        insets=(inset, Fraction(0)) if made.joints[1] == "scribed" else (inset / 2, inset / 2),
    )
    return SLANT_UNKNOWN if cuts is None else cuts


def _fix_top(one: _Asked) -> _Made:
    """Return the cuts of a top, then its nailing; if no nail fits, the last cut says so."""
    cuts = _cut_ends(one)
    if isinstance(cuts, str):
        return cuts
    turn = max(cut.turn for cut in cuts) + 1
    try:
        return (*cuts, *(cut._replace(turn=turn) for cut in _nail_edge(one)))
    except BadInput as refusal:
        *first, last = cuts
        return (*first, last._replace(notes=(*last.notes, f"! {refusal.shown(one.job.step)}")))


def _nail_edge(one: _Asked) -> tuple[Cut, ...]:
    """Return the nailing of a mitered bottom or a top: through the sides into its edges."""
    mitered = "glued miters" in one.piece.traits
    chosen = edge_nail(section_at_edge(one.beam, one.piece.key), mitered=mitered)
    where = "along the middle of the miter" if mitered else "along the middle of its edge"
    held = (*((MITERS_HELD,) if mitered else ()), f"Through the side's face, {where}.")
    notes = (*held, *(f"! {caution.shown(one.job.step)}" for caution in chosen.cautions))
    cut = Cut("nailer", (Part("nail", chosen.length),), f"nail the {one.piece.name}", notes=notes)
    return (cut,)


def _nailed(step_id: str) -> Callable[[_Asked], _Made]:
    def make(one: _Asked) -> _Made:
        what = NAILED[step_id]
        own, cleat = one.job.nails.get(what), cleat_projection(one.beam, one.job.cutting.cleat)
        chosen = nail_for(what, section_to_nail(one.beam, what), own, cleat)
        cut = Cut("nailer", (Part("nail", chosen.length),))
        if step_id != "fix-cleats":
            return (cut,)
        lengths = cleat_lengths(one.beam, one.piece, ("A", "B"), one.job.step)
        return (cut._replace(notes=(SAWN_FACE, CLEATS_CUT), own=lengths),)

    return make


def _nail_side(one: _Asked) -> _Made:
    thick = side_thickness(one.beam, one.piece.key)
    made = side_nail(one.beam.section._replace(side_thickness=thick))
    return _into_framing(made, one.job.step, STRAIGHT_UP)


def _nail_wall_cleat(one: _Asked) -> _Made:
    cleat = cleat_projection(one.beam, one.job.cutting.cleat)
    nail, step = wall_cleat_nail(cleat), one.job.step
    (cut,) = _into_framing(nail, step, SAWN_FACE_TO_WALL, CLEATS_CUT)
    text = (
        cleat_lengths(one.beam, one.piece, ("wall",), step),
        wall_cleat_height(one.beam, one.piece, step),
    )
    return (cut._replace(own="; ".join(filter(None, text))),)


def _into_framing(made: Nail, step: Step, *first: str) -> tuple[Cut, ...]:
    notes = (
        *first,
        "Into framing: find it first and mark it. A nail holds nothing in drywall alone.",
        *(f"! {caution.shown(step)}" for caution in made.cautions),
    )
    return (Cut(f"nailer, {FRAMING_GAUGE} gauge", (Part("nail", made.length),), notes=notes),)


_CUTS: Mapping[str, Callable[[_Asked], _Made]] = {
    "rip-side": _rip,
    "rip-bottom": _rip,
    "rip-top": _rip,
    "rip-cleats": _rip_cleats,
    "ease": lambda _: (Cut("router", (Part("radius", EASED),)),),
    "cleat-line": _cleat_line,
    "cut-side": _cut_side,
    "back-bevel": _back_bevel,
    "scribe": _scribe,
    "cut-scribe": _cut_scribe,
    "fix-top": _fix_top,
    "nail-side": _nail_side,
    "wall-cleat": _nail_wall_cleat,
    "cut-bottom": _cut_ends,
    "glue-bottom": _nail_edge,
    "scribe-wall": _scribe_wall,
    **{step_id: _nailed(step_id) for step_id in NAILED},
}
"""The cuts of each usual step by its id; a sentence if they aren't known, and why."""
