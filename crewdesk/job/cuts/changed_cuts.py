"""Cuts whose figures changed since they were made, and the marks shown for them.

Nothing of it is stored but the user's answer: the figures that a check-off keeps (see
`cut_figures`) are compared with those of today each time. Up to the step that lengths are
shown to, or to what the readings are good for, whichever is more, a difference is only
noted. More than that, or a board that doesn't go in any more (see `goes_in`), holds the steps
that follow until the user has answered: the cut is kept, made again, or the change is taken back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import PARTNER, Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.as_cut import as_it_was, cuts, taken_for_kept
from crewdesk.job.cuts.as_set import RIPS, is_as_ever
from crewdesk.job.cuts.cut_figures import READINGS, AsCut
from crewdesk.job.cuts.marks import Marks, marks
from crewdesk.job.steps.stages import Need, Stages, Step
from crewdesk.trade.cuts.cleat import CLEAT

if TYPE_CHECKING:
    from crewdesk.job.cuts.changed_cut import ChangedCut

_AS_ONE = ("scribe", "cleat-line")
"""The steps that set both sides of a pair alike."""


def changed_cuts(beam: Beam) -> tuple[ChangedCut, ...]:
    """Return every cut of a beam that would differ today; computed once for each beam."""
    return beam.once("changed cuts", lambda: tuple(_changed_cuts(beam)))


def not_compared(beam: Beam) -> Iterator[tuple[Piece, str, str]]:
    """Return the checked-off cuts that can't be compared, or not fully, with today's figures:
    piece, step and reason."""
    for piece in beam.pieces.values():
        for step_id, mark in piece.steps.items():
            if mark.state != "done" or not cuts(step_id, piece):
                continue
            cut = as_it_was(beam, piece, step_id, mark)
            if not cut.figures:
                yield piece, step_id, "checked off before its readings made any figures"
            elif cut.source == READINGS:
                yield piece, step_id, "its section and settings of that time aren't known"


def held_cuts(beam: Beam) -> tuple[ChangedCut, ...]:
    """Return the cuts that need an answer."""
    return tuple(one for one in changed_cuts(beam) if one.held)


def stay_as_cut(beam: Beam) -> tuple[ChangedCut, ...]:
    """Return the cuts that differ by much but can't be asked about, since their step is gone."""
    return tuple(one for one in changed_cuts(beam) if one.gone and one.kept)


def held_by(stages: Stages, beam: Beam, piece: Piece, step: Step) -> str | None:
    """Return the sentence that holds a step if it depends on a cut that needs an answer."""
    for one in changed_cuts(beam):
        if one.held and rests_on(stages, beam, piece, step, one):
            return f"{one.told} '{step.name}' is held until you answer."
    return None


def rests_on(stages: Stages, beam: Beam, piece: Piece, step: Step, cut: ChangedCut) -> bool:
    """Return whether a step comes after a cut on the same piece, or needs a step of its piece that
    does."""
    of = beam.pieces[cut.spot.piece]
    ids = [one.id for one in stages.steps_of(of.kind, of.traits)]
    if cut.step_id not in ids:
        return False
    resting = ids[ids.index(cut.step_id) :]
    if piece.key == of.key:
        return step.id in resting[1:]
    if cut.step_id in _AS_ONE and step.id in resting and PARTNER.get(piece.key) == of.key:
        return True  # its own is right by this one's alone
    if cut.clash and {cut.step_id, step.id} <= RIPS and beam.form.id != "wall":
        return True  # there the bottom alone meets the wall
    if _follows(stages, piece, step, of, cut):
        return True
    return any(need.step in resting and speaks_of(need, piece, of) for need in step.needs)


_PARTNER = "partner"
_FOLLOWED = (
    ("rip-side", ("height",), _PARTNER, "scribe"),
    ("rip-side", ("thickness",), "bottom", "rip-bottom"),
    ("rip-side", ("thickness",), "top", "rip-top"),
    ("rip-bottom", ("thickness",), "side", "cleat-line"),
)
"""The figures of a cut that a step of another piece uses: the cut's step, its figures, the step
that uses them, and which."""


def _follows(stages: Stages, piece: Piece, step: Step, of: Piece, cut: ChangedCut) -> bool:
    """Return whether a step of a piece uses, or comes after one that uses, much changed figures of
    a cut of another piece."""
    differ = {one.name for one in cut.figures if one.much}
    ids = [one.id for one in stages.steps_of(piece.kind, piece.traits)]
    return any(
        cut.step_id == step_id
        and not differ.isdisjoint(figures)
        and (PARTNER.get(of.key) == piece.key if who == _PARTNER else who == piece.kind)
        and first in ids
        and step.id in ids[ids.index(first) :]
        for step_id, figures, who, first in _FOLLOWED
    )


def first_held(stages: Stages, beam: Beam, cut: ChangedCut) -> tuple[Piece, Step] | None:
    """Return the first step that a cut holds: of its own piece, else of another."""
    own = beam.pieces[cut.spot.piece]
    for piece in (own, *(one for one in beam.pieces.values() if one.key != own.key)):
        for step in stages.steps_of(piece.kind, piece.traits):
            if step.id not in piece.steps and rests_on(stages, beam, piece, step, cut):
                return piece, step
    return None


def held_steps(stages: Stages, beam: Beam, cut: ChangedCut) -> frozenset[tuple[str, str]]:
    """Return every step that a cut holds: (piece, step)."""
    return frozenset(
        (piece.key, step.id)
        for piece in beam.pieces.values()
        for step in stages.steps_of(piece.kind, piece.traits)
        if step.id not in piece.steps and rests_on(stages, beam, piece, step, cut)
    )


def speaks_of(need: Need, piece: Piece, other: Piece) -> bool:
    """Return whether a need of `piece` refers to another piece."""
    if need.who == "partner":
        return PARTNER.get(piece.key) == other.key
    return bool(need.who) and other.kind == ("side" if need.who == "sides" else need.who)


_IN_TURN = (
    ("rip-side",),
    ("rip-bottom", "rip-top", "rip-cleats"),
    ("cleat-line", "cut-side", "scribe", "scribe-wall"),
    ("back-bevel", "cut-scribe", "fix-cleats", "fix-top", "cut-bottom"),
)
"""The steps that cut, each after those whose boards its figures depend on."""


def _changed_cuts(beam: Beam) -> Iterator[ChangedCut]:
    """Compare the cuts in turn. For later cuts, one that needs an answer counts as made, as it does
    once kept, so the order of answers makes no difference."""
    found: dict[tuple[str, str], ChangedCut] = {}
    built = beam
    for steps in _IN_TURN:
        waiting: dict[tuple[str, str], AsCut] = {}
        for piece in beam.pieces.values():
            for step_id, mark in piece.steps.items():
                if mark.state != "done" or step_id not in steps or not cuts(step_id, piece):
                    continue
                if is_as_ever(beam, built, piece, step_id, mark):
                    continue
                from crewdesk.job.cuts.compare_cuts import compared  # few cuts differ

                if (one := compared(beam, built, piece, step_id, mark)) is not None:
                    found[piece.key, step_id] = one
                    if one.held:
                        waiting[piece.key, step_id] = one.cut
        built = taken_for_kept(built, waiting)
    for piece in beam.pieces.values():
        yield from (found[piece.key, id_] for id_ in piece.steps if (piece.key, id_) in found)


def shown_marks(
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading] | None = None,
    projection: Fraction = CLEAT,
) -> Marks:
    """Return `marks`, with the figures of kept cuts that need another answer in `asked`. Raises
    `BadInput` as `marks` does."""
    made = marks(beam, piece, typed, projection)
    if not made.kept:
        return made
    asked = frozenset(
        name
        for one in held_cuts(beam)
        if one.spot.piece == piece.key and one.mark.kept is not None
        for name in one.cut.figures
    )
    return made._replace(asked=asked) if asked else made
