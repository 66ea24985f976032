"""How each machine is set for a batch, so that it is set as few times as possible."""

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import check_thickness
from crewdesk.job.beams.in_plan import compound_cuts
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.cuts.as_built import (
    cleat_height,
    cleat_projection,
    section_at_edge,
    section_to_nail,
    side_thickness,
)
from crewdesk.job.cuts.at_the_wall import (
    ENDS_STAY,
    STRAIGHT_UP,
    at_the_wall,
    edge_too_short,
    ends_before,
    rip_again,
    too_short,
)
from crewdesk.job.cuts.cleat_lengths import cleat_lengths, wall_cleat_height
from crewdesk.job.cuts.cleats import check_cleats, cleat_line_to_mark
from crewdesk.job.cuts.cut import Cut, Lies, Part
from crewdesk.job.cuts.end_settings import SLANT_UNKNOWN, end_cuts
from crewdesk.job.cuts.marks import BottomMarks, SideMarks, known_length, marks
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
from crewdesk.job.cuts.shop_machine import USUAL_MACHINE, ShopMachine
from crewdesk.job.cuts.side_settings import NO_BEVEL, NO_BEVEL_CUT, bevel_cuts, side_cuts_to_length
from crewdesk.job.cuts.walls import BOTH
from crewdesk.job.job_row import Job
from crewdesk.job.record import Record
from crewdesk.job.steps.usual_stages import is_made_for
from crewdesk.length import Step
from crewdesk.trade.cuts.nails import Nail
from crewdesk.trade.cuts.settings import Need, Setting, SettingGroup, setting_sheet
from crewdesk.trade.cuts.side_board import Side

EASED = Fraction(1, 8)
"""Radius of an eased edge in inches (common practice, no source)."""


class Group(NamedTuple):
    """Pieces that take one cut under one setting, the longest first.

    `setting` holds what the machine is set to, rounded as it can be set; `signs` has `+` or
    `-` by part where the true figure of every piece is a little more or less. `cut` names the
    cut, `order` is the batch's pass that it comes in, from 1, and `finished` the pieces that
    are done with it; `own` is what is marked on one piece alone. `placed` says where a fence
    or stop is; `notes` how the board lies, a caution among them with `!` before it; `reasons`
    why these boards are cut by this machine. `machine` is empty and `setting` too where a step
    sets no machine, or where a piece's setting can't be known yet; `why` then says why. `lies`
    is how the first board lies at the saw, None where that isn't known; `lengths` has, in inches,
    those of the boards whose length is known.
    """

    machine: str
    setting: Setting
    spots: tuple[Spot, ...]
    why: str = ""
    cut: str = ""
    order: int = 1
    placed: str = ""
    notes: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    signs: Mapping[str, str] = {}
    finished: tuple[Spot, ...] = ()
    own: Mapping[Spot, str] = {}
    lies: Lies | None = None
    lengths: Mapping[Spot, Fraction] = {}


class BatchSettings(NamedTuple):
    """A batch's groups in the order to work through them, cut by cut; how often a machine is
    set this way, and beam by beam."""

    groups: tuple[Group, ...]
    times_set: int
    beam_by_beam: int

    @property
    def in_passes(self) -> bool:
        """Whether there is more than one pass."""
        return any(group.order > 1 for group in self.groups)


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
    """What the settings of one piece follow from."""

    job: Job
    beam: Beam
    piece: Piece
    machine: ShopMachine


def batch_settings(
    record: Record,
    step_id: str,
    spots: Iterable[Spot],
    shop_machine: ShopMachine = USUAL_MACHINE,
) -> BatchSettings:
    """A batch grouped so that machines are set least often (see `setting_sheet`).

    Settings are grouped as they are shown: two lengths that round to one stop are one group.
    """
    needs: list[Need] = []
    signs: dict[tuple[str, int], Mapping[str, str]] = {}
    last: dict[str, int] = {}
    because: dict[tuple[str, int], str] = {}
    own: dict[tuple[str, int], str] = {}
    without: dict[tuple[str, tuple[str, ...]], list[Spot]] = {}
    by_hand: dict[Spot, str] = {}
    lies: dict[tuple[str, int], Lies | None] = {}
    lengths: dict[Spot, Fraction] = {}
    for spot in spots:
        beam = record.beam(spot.beam)
        piece = beam.piece(spot.piece)
        cuts, why = cuts_of(record.job, beam, piece, step_id, shop_machine)
        here = at_the_wall(beam, piece, step_id, record.job.step)
        by_hand[spot] = here.own
        if not cuts:
            without.setdefault((why, here.notes), []).append(spot)
        name, length = _name(spot), known_length(beam, piece) or Fraction(0)
        if length:
            lengths[spot] = length
        last[name] = max((cut.turn for cut in cuts), default=0)
        for cut in cuts:
            set_to = [(part.name, *part.as_set(record.job.step)) for part in cut.parts]
            setting = tuple((part, value) for part, value, _ in set_to)
            signs[name, cut.turn] = {part: sign for part, _, sign in set_to}
            # One rounded to the nearest can be over one board's figure and under another's; one
            # that is rounded one way is safe for both.
            near = tuple(
                sign if part.way == "near" else ""
                for part, (_, _, sign) in zip(cut.parts, set_to, strict=True)
            )
            because[name, cut.turn] = cut.why
            lies[name, cut.turn] = cut.lies and _measured(cut.lies, record.job, beam, piece)
            own[name, cut.turn] = "; ".join(filter(None, (cut.own, here.own)))
            words = (cut.name, cut.placed, cut.notes)
            needs.append(Need(name, cut.machine, length, setting, cut.turn, *words, near))
    sheet = setting_sheet(needs)
    turns = sorted({need.order for need in needs})
    groups = [
        _group(one, turns.index(one.cut.order) + 1, signs, last)._replace(
            reasons=_reasons(record, one, because),
            own={_spot(n.piece): told for n in one.needs if (told := own[n.piece, n.order])},
            lies=lies[one.cut.piece, one.cut.order],
        )
        for one in sheet.groups
    ]
    groups += [
        _without(why, notes, tuple(found))._replace(
            own={spot: told for spot in found if (told := by_hand[spot])},
        )
        for (why, notes), found in without.items()
    ]
    groups = [
        one._replace(lengths={spot: lengths[spot] for spot in one.spots if spot in lengths})
        for one in groups
    ]
    return BatchSettings(tuple(groups), sheet.times_set, sheet.beam_by_beam)


def _measured(lies: Lies, job: Job, beam: Beam, piece: Piece) -> Lies:
    """How a board lies, with its thickness and width."""
    if piece.kind == "cleats":
        return lies._replace(
            thick=cleat_height(beam), wide=cleat_projection(beam, job.cutting.cleat)
        )
    board = beam.boards[piece.key]
    return lies._replace(thick=board.thickness, wide=board.width)


def _without(why: str, notes: tuple[str, ...], spots: tuple[Spot, ...]) -> Group:
    """The pieces that no machine is set for, and why, or what to do by hand."""
    if why == NO_BEVEL:
        return Group("", (), spots, cut=NO_BEVEL_CUT, notes=(why,), finished=spots)
    return Group("", (), spots, why, notes=notes, finished=spots)


def _group(
    one: SettingGroup,
    order: int,
    signs: Mapping[tuple[str, int], Mapping[str, str]],
    last: Mapping[str, int],
) -> Group:
    first = one.cut
    of_each = [signs[need.piece, need.order] for need in one.needs]
    return Group(
        one.machine,
        one.setting,
        tuple(_spot(need.piece) for need in one.needs),
        cut=first.cut,
        order=order,
        placed=first.placed,
        notes=first.notes,
        signs={
            part: sign
            for part, sign in of_each[0].items()
            if sign and all(own[part] == sign for own in of_each)
        },
        finished=tuple(_spot(need.piece) for need in one.needs if last[need.piece] == need.order),
    )


def _reasons(
    record: Record, group: SettingGroup, because: Mapping[tuple[str, int], str]
) -> tuple[str, ...]:
    """Why the boards of a group are cut by its machine: one sentence for all of them, or one
    for each reason with its boards."""
    boards: dict[str, list[str]] = {}
    for need in group.needs:
        if why := because[need.piece, need.order]:
            spot = _spot(need.piece)
            beam = record.beam(spot.beam)
            boards.setdefault(why, []).append(f"{beam.label} {beam.piece(spot.piece).name}")
    if [len(names) for names in boards.values()] == [len(group.needs)]:
        return tuple(f"Why this way: {why}." for why in boards)
    return tuple(f"{', '.join(names)}: {why}." for why, names in boards.items())


def _name(spot: Spot) -> str:
    return f"{spot.beam} {spot.piece}"


def _spot(name: str) -> Spot:
    return Spot(*name.split(" "))


def cuts_of(
    job: Job, beam: Beam, piece: Piece, step_id: str, machine: ShopMachine = USUAL_MACHINE
) -> tuple[tuple[Cut, ...], str]:
    """The cuts that one step of one piece takes, in their order, with the machine's setting
    for each. There are none where the step sets no machine or the setting can't be known yet,
    and then also why, where that is worth saying."""
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
    """A top is cut, then nailed; where no nail fits, the last cut says so."""
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
    """A mitered bottom, or a top board, is nailed through the sides into its edges."""
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
    told = (
        cleat_lengths(one.beam, one.piece, ("wall",), step),
        wall_cleat_height(one.beam, one.piece, step),
    )
    return (cut._replace(own="; ".join(filter(None, told))),)


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
"""By a usual step's id, the cuts it takes; a sentence where they can't be known and why."""
