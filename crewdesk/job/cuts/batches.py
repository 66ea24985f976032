"""A batch of pieces for one step, grouped to set each machine as few times as possible."""

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.cuts.as_built import cleat_height, cleat_projection
from crewdesk.job.cuts.at_the_wall import at_the_wall
from crewdesk.job.cuts.cut import Lies
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.marks import known_length, length_to_cut
from crewdesk.job.cuts.side_settings import NO_BEVEL, NO_BEVEL_CUT
from crewdesk.job.job_row import Job
from crewdesk.job.record import Record
from crewdesk.trade.cuts.settings import Need, Setting, SettingGroup, setting_sheet
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine


class Group(NamedTuple):
    """Pieces that take one cut under one setting, the longest first.

    `setting` holds what the machine is set to, rounded as it can be set; `signs` has `+` or `-` by
    part where the true figure of every piece is a little more or less. `cut` names the cut, `order`
    is the batch's pass that it comes in, from 1, and `finished` the pieces that are done with it;
    `own` is what is marked on one piece alone. `placed` says where a fence or stop is; `notes` how
    the board lies, a caution among them with `!` before it; `reasons` why these boards are cut by
    this machine. `machine` is empty and `setting` too where a step sets no machine, or where a
    piece's setting can't be known yet; `why` then says why. `lies` is how the first board lies at
    the saw, or None if that isn't known; `lengths` has, in inches, those of the boards whose length
    is known.
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
    """A batch's groups in order of work, cut by cut; the number of setups this way, and beam by
    beam."""

    groups: tuple[Group, ...]
    times_set: int
    beam_by_beam: int

    @property
    def in_passes(self) -> bool:
        """Whether there is more than one pass."""
        return any(group.order > 1 for group in self.groups)


def batch_settings(
    record: Record,
    step_id: str,
    spots: Iterable[Spot],
    shop_machine: ShopMachine = USUAL_MACHINE,
) -> BatchSettings:
    """Return a batch grouped for the fewest machine setups (see `setting_sheet`).

    Boards are grouped by what the machine is set to: two lengths that round to one fence or stop
    are one group, also where one is a little more than that and the other a little less. A part
    that may be rounded one way only is rounded that way for each of them.
    """
    needs: list[Need] = []
    signs: dict[tuple[str, int], Mapping[str, str]] = {}
    last: dict[str, int] = {}
    because: dict[tuple[str, int], str] = {}
    own: dict[tuple[str, int], str] = {}
    full: dict[tuple[str, int], tuple[str, ...]] = {}
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
        if (cut_to := length_to_cut(beam, piece)) is not None:
            lengths[spot] = cut_to
        last[name] = max((cut.turn for cut in cuts), default=0)
        for cut in cuts:
            set_to = [(part.name, *part.as_set(record.job.step)) for part in cut.parts]
            setting = tuple((part, value) for part, value, _ in set_to)
            signs[name, cut.turn] = {part: sign for part, _, sign in set_to}
            because[name, cut.turn] = cut.why
            lies[name, cut.turn] = cut.lies and _measured(cut.lies, record.job, beam, piece)
            own[name, cut.turn] = "; ".join(filter(None, (cut.own, here.own)))
            full[name, cut.turn] = cut.notes
            alike = tuple(note for note in cut.notes if note not in cut.figures)
            words = (cut.name, cut.placed, alike)
            needs.append(Need(name, cut.machine, length, setting, cut.turn, *words))
    sheet = setting_sheet(needs)
    turns = sorted({need.order for need in needs})
    groups = [
        _group(one, turns.index(one.cut.order) + 1, signs, last)._replace(
            notes=(notes := _shared(one, full)),
            reasons=_reasons(record, one, because),
            own={
                _spot(n.piece): text
                for n in one.needs
                if (text := _joined(own[n.piece, n.order], notes, full[n.piece, n.order]))
            },
            lies=lies[one.cut.piece, one.cut.order],
        )
        for one in sheet.groups
    ]
    groups += [
        _without(why, notes, tuple(found))._replace(
            own={spot: text for spot in found if (text := by_hand[spot])},
        )
        for (why, notes), found in without.items()
    ]
    groups = [
        one._replace(lengths={spot: lengths[spot] for spot in one.spots if spot in lengths})
        for one in groups
    ]
    return BatchSettings(tuple(groups), sheet.times_set, sheet.beam_by_beam)


def _measured(lies: Lies, job: Job, beam: Beam, piece: Piece) -> Lies:
    """Return how a board lies, with its thickness and width."""
    if piece.kind == "cleats":
        return lies._replace(
            thick=cleat_height(beam), wide=cleat_projection(beam, job.cutting.cleat)
        )
    board = beam.boards[piece.key]
    return lies._replace(thick=board.thickness, wide=board.width)


def _without(why: str, notes: tuple[str, ...], spots: tuple[Spot, ...]) -> Group:
    """Return the pieces without a machine setting, and why, or what to do by hand."""
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
        signs={
            part: sign
            for part, sign in of_each[0].items()
            if sign and all(own[part] == sign for own in of_each)
        },
        finished=tuple(_spot(need.piece) for need in one.needs if last[need.piece] == need.order),
    )


def _shared(
    group: SettingGroup, full: Mapping[tuple[str, int], tuple[str, ...]]
) -> tuple[str, ...]:
    """Return the notes that all boards of a group have, in their order."""
    of_each = [full[need.piece, need.order] for need in group.needs]
    return tuple(note for note in of_each[0] if all(note in notes for notes in of_each))


def _joined(own: str, shared: Sequence[str], notes: Sequence[str]) -> str:
    """What is told of one board alone: its own, and those of its notes that not all have."""
    alone = (note.removesuffix(".") for note in notes if note not in shared)
    return "; ".join(filter(None, (own, *alone)))


def _reasons(
    record: Record, group: SettingGroup, because: Mapping[tuple[str, int], str]
) -> tuple[str, ...]:
    """Return why the boards of a group are cut by its machine: one sentence for all, or one for
    each reason with its boards."""
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
