"""Exceptions that every sheet must show: blocked or skipped steps, overridden gates, and cuts that
differ from today's figures."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import STEP_GONE, Beam
from crewdesk.job.beams.piece import Gap, Piece, StepMark
from crewdesk.job.cuts.bottoms import cut_of
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.cut_figures import READINGS, Figure
from crewdesk.job.record import Record
from crewdesk.length import Step
from crewdesk.paper.lengths import length_json, lengths_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import facts_json
from crewdesk.trade.cuts.bottom_cut import OVER_ALLOWED, OVER_READING

if TYPE_CHECKING:
    from crewdesk.job.cuts.changed_cut import ChangedCut

OWN_CUT = "own-cut"
"""The step key for your own cut lengths, which belong to no stage."""
_FROM = {READINGS: "readings of that time"}
"""The JSON names of figures' sources, if they differ."""


class Noted(NamedTuple):
    """An exception: a mark on one step of one piece. `stage` is empty for a dropped step. `cut` is
    set if today's figures differ from the cut's."""

    beam: Beam
    piece: Piece
    stage: str
    step: str
    name: str
    mark: StepMark
    cut: "ChangedCut | None" = None

    @property
    def line(self) -> str:
        """Its line in the sheet of the whole job."""
        if self.cut is not None:
            return self.told
        return f"{plain(self.beam.label)} {self.piece.name}, {self.told}"

    @property
    def told(self) -> str:
        """Its line under the piece itself."""
        if self.cut is not None:
            return plain(_cut_told(self.cut))
        if self.mark.override:
            return (
                f"'{plain(self.name)}' was done early, by override: "
                f"{plain(self.mark.override)} (it was held because: "
                f"{plain(self.mark.gate)})"
            )
        return f"'{plain(self.name)}' {self.mark.state}: {plain(self.mark.reason)}"

    @property
    def values(self) -> dict[str, Any]:
        """It as JSON: the reason, and the gate's sentence if one was overridden."""
        shown = {
            "room": self.beam.room,
            "beam": self.beam.name,
            "piece": self.piece.key,
            "stage": self.stage,
            "step": self.step,
            "name": self.name,
            "when": self.mark.when.isoformat(),
            "reason": self.mark.override or self.mark.reason,
        }
        if self.cut is not None:
            return {**shown, **cut_values(self.cut)}
        return {**shown, "gate": self.mark.gate} if self.mark.override else shown


def noted(record: Record, beams: Iterable[Beam]) -> Iterator[Noted]:
    """Return every blocked or skipped step, every overridden gate and every cut that would differ
    today, in order of work."""
    for beam in beams:
        for piece in beam.pieces.values():
            yield from noted_of(record, beam, piece)


def noted_of(record: Record, beam: Beam, piece: Piece) -> Iterator[Noted]:
    """Return the exceptions of one piece."""
    if (own := _over_reading(beam, piece)) is not None:
        yield own
    yield from _changed(record, beam, piece)
    if all(mark.state == "done" and not mark.override for mark in piece.steps.values()):
        return
    names = {step.id: (stage.id, step.name) for stage in record.stages for step in stage.steps}
    for id_ in (*names, *(one for one in piece.steps if one not in names)):
        mark = piece.steps.get(id_)
        if mark is not None and (mark.state != "done" or mark.override):
            stage, name = names.get(id_, ("", id_))
            yield Noted(beam, piece, stage, id_, name, mark)


def _over_reading(beam: Beam, piece: Piece) -> Noted | None:
    """Return your own length of a bottom board that is longer than its reading, as an overridden
    gate."""
    own = piece.own_cut
    if own is None or not own.reason:
        return None
    try:
        cut = cut_of(beam, piece)
    except BadInput:
        return None
    over = [] if cut is None else [one for one in cut.cautions if one.text == OVER_ALLOWED]
    if not over:
        return None
    gate = BadInput(OVER_READING, **over[0].facts).shown(beam.habits.step)
    mark = StepMark("done", own.when, override=own.reason, gate=gate)
    return Noted(beam, piece, "", OWN_CUT, "Cut longer than the reading", mark)


def _changed(record: Record, beam: Beam, piece: Piece) -> Iterator[Noted]:
    """Return the cuts of a piece whose figures changed."""
    if not (changed := changed_cuts(beam)):
        return
    from crewdesk.job.steps.usual_stages import step_name  # few beams have any

    for one in changed:
        there = record.stages.has(one.step_id)
        if one.spot.piece == piece.key and (there or one.kept):
            stage = record.stages.find(one.step_id)[0].id if there else ""
            kept = one.mark.kept
            reason = kept.reason if one.kept and kept is not None else ""
            mark = StepMark("done", one.mark.when, reason)
            name = step_name(record.stages, one.step_id)
            yield Noted(beam, piece, stage, one.step_id, name, mark, one)


def _cut_told(cut: "ChangedCut") -> str:
    if cut.held:
        return cut.told if cut.clash else f"{cut.told} Keep it or cut it again before you go on."
    if cut.kept and cut.mark.kept is not None:
        return f"{cut.told} Kept as cut: {cut.mark.kept.reason}"
    if cut.kept:
        return f"{cut.told} It stays as cut: {STEP_GONE}."
    first = cut.figures[0]
    long = first.name in _LENGTHS and first.off < 0
    return f"{cut.told} {NO_MORE.capitalize()}{f': {TRY_IT}' if long else ''}."


NO_MORE = "no more than it can be off"
TRY_IT = "try it, and plane it to the wall if it binds"
"""What to do with a board that may be too long by less than its readings' uncertainty."""
_LENGTHS = ("bottom_length", "top_length", "edge_a", "edge_b")


def cut_values(cut: "ChangedCut") -> dict[str, Any]:
    """Return a changed cut as JSON: each differing figure, as cut and as it would be today."""
    return {
        "told": cut.told,
        "figures": [
            {
                "figure": one.name,
                "was": _figure(one.was),
                "now": None if one.now is None else _figure(one.now),
                "much": one.much,
            }
            for one in cut.figures
        ],
        "causes": list(cut.causes),
        "doubts": list(cut.doubts),
        "from": _FROM.get(cut.cut.source, cut.cut.source),
    }


def as_cut_values(piece: Piece) -> list[dict[str, Any]]:
    """Return what a piece was cut to as JSON, step by step, with its sources."""
    return [
        {"step": id_, "when": mark.when.isoformat(), "cut": mark.cut.to_doc()}
        for id_, mark in piece.steps.items()
        if mark.cut is not None
    ]


def _figure(one: Figure) -> dict[str, str]:
    return {"exact": str(one.exact), "shown": one.shown}


def held(every: Iterable[Noted]) -> list[Noted]:
    """Cuts that need an answer."""
    return [one for one in every if one.cut is not None and one.cut.held]


def kept(every: Iterable[Noted]) -> list[Noted]:
    """Kept cuts, with the reason."""
    return [one for one in every if one.cut is not None and one.cut.kept]


def slightly_off(every: Iterable[Noted]) -> list[Noted]:
    """Cuts that differ within their uncertainty."""
    return [one for one in every if one.cut and not (one.cut.held or one.cut.kept)]


def blocked(every: Iterable[Noted]) -> list[Noted]:
    """Blocked steps."""
    return [one for one in every if one.mark.state == "blocked"]


def skipped(every: Iterable[Noted]) -> list[Noted]:
    """Skipped steps."""
    return [one for one in every if one.mark.state == "skipped"]


def overridden(every: Iterable[Noted]) -> list[Noted]:
    """Steps done early, by an override."""
    return [one for one in every if one.mark.override]


_KINDS = {
    "overrides": overridden,
    "blocked": blocked,
    "skipped": skipped,
    "held": held,
    "kept": kept,
    "slightly_off": slightly_off,
}


def noted_values(every: Iterable[Noted], *kinds: str) -> dict[str, list[dict[str, Any]]]:
    """Return the exceptions as JSON, by kind."""
    noted = list(every)
    return {kind: [one.values for one in _KINDS[kind](noted)] for kind in kinds}


def waived_lines(record: Record) -> list[str]:
    """Return a line for each change of the stages that opened steps, with its reason."""
    if not (waived := record.stages.waived):
        return []
    from crewdesk.job.steps.restage import waiver_text  # most jobs waived nothing

    return [plain(waiver_text(record.stages, one)) for one in waived]


def waived_values(record: Record) -> list[dict[str, Any]]:
    """Return the same as JSON, as in a job's file."""
    return [one.to_doc() for one in record.stages.waived]


NAME = {"ceiling": "the ceiling", "bottom": "the joint with the bottom"}


def gap_line(gap: Gap, step: Step) -> str:
    """Return a gap in one line: width, place, cause and fix."""
    cause = f", {plain(gap.cause)}" if gap.cause else ""
    along = "" if gap.along is None else f", {with_unit(gap.along, step)} from end 1"
    where = f"{NAME.get(gap.where, gap.where)}{along}{cause}"
    return f"gap {with_unit(gap.width, step)} at {where}: " + (
        wedge_text(gap, step) if gap.cure == "wedge" else "caulk"
    )


def wedge_text(gap: Gap, step: Step) -> str:
    """Return the wedge for a gap in words: how to rip it and how deep it seats; raises
    `BadInput`."""
    made = gap.wedge
    if made is None or made.seats_at is None:
        return ""
    return (
        f"wedge of {with_unit(gap.stock, step)} ripped at {float(gap.bevel):g}\u00b0, "
        f"back {with_unit(made.back_thickness, step)}, seats {with_unit(made.seats_at, step)} deep"
    )


def gap_cautions(gap: Gap, step: Step) -> list[str]:
    """Return a gap's cautions, a sentence each."""
    return [one.shown(step) for one in gap.cautions]


def gap_values(gap: Gap, step: Step) -> dict[str, Any]:
    """Return a gap as JSON; the wedge is null unless it is the fix."""
    made = gap.wedge
    wedge = None
    if made is not None and made.seats_at is not None:
        wedge = {
            "stock": length_json(gap.stock, step),
            "bevel_deg": float(gap.bevel),
            "included_deg": float(made.included_deg),
            **lengths_json(made, step, "back_thickness", "seats_at"),
        }
    return {
        "width": length_json(gap.width, step),
        "along": None if gap.along is None else length_json(gap.along, step),
        **facts_json(gap, "where", "cause", "cure", "when"),
        "wedge": wedge,
        "cautions": gap_cautions(gap, step),
    }
