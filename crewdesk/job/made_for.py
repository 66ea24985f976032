"""Which pieces a usual step's own cut or setting is for: no other piece can take it."""

from collections.abc import Collection, Mapping
from typing import Protocol

from crewdesk.errors import NotAllowed
from crewdesk.job.stages import KINDS, Stages

_SIDES, _BOTTOMS, _CLEATS = ("side",), ("bottom",), ("cleats",)
_BOARDS = ("side", "bottom", "top")
MADE_FOR: Mapping[str, tuple[str, ...]] = {
    "rip-side": _BOARDS,
    "rip-bottom": _BOARDS,
    "rip-top": _BOARDS,
    "rip-cleats": _CLEATS,
    "cleat-line": _SIDES,
    "cut-side": _SIDES,
    "back-bevel": _SIDES,
    "level": _SIDES,
    "scribe": _SIDES,
    "cut-scribe": _SIDES,
    "nail-side": _SIDES,
    "fix-cleats": _CLEATS,
    "wall-cleat": _CLEATS,
    "fix-top": ("top",),
    "cut-bottom": _BOTTOMS,
    "scribe-wall": _BOTTOMS,
    "nail-bottom": _BOTTOMS,
    "glue-bottom": _BOTTOMS,
}
"""By a usual step's id, the kinds of piece that its cut or setting can be worked out for. Every
other step sets nothing that depends on the kind of piece."""


class _Kind(Protocol):
    """A piece, of which only the kind counts here."""

    @property
    def kind(self) -> str: ...


def is_made_for(step_id: str, piece: _Kind) -> bool:
    """Return whether a piece can take the cut or setting of a step."""
    return piece.kind in MADE_FOR.get(step_id, KINDS)


def misplaced(stages: Stages) -> tuple[str, ...]:
    """Return a sentence for each step that is for pieces which can't take its cut or setting."""
    whys = (why_not_for(s.id, s.name, s.kinds) for stage in stages for s in stage.steps)
    return tuple(why for why in whys if why)


def check_kinds(stages: Stages) -> None:
    """Raise `NotAllowed` where a step is for pieces which can't take its cut or setting."""
    for why in misplaced(stages):
        raise NotAllowed(f"{why} Nothing was changed.")


def why_not_for(step_id: str, name: str, kinds: Collection[str]) -> str:
    """Return the sentence for a step that is for pieces which can't take its cut or setting; ""
    where all of them can. `name` is the step's."""
    fits = MADE_FOR.get(step_id, KINDS)
    unfit = tuple(kind for kind in KINDS if kind in kinds and kind not in fits)
    if not unfit:
        return ""
    from crewdesk.job.step_words import kinds_told  # few steps are misplaced

    return (
        f"'{name}' has a cut or setting of its own for {kinds_told(fits)}, so it "
        f"can't be a step of {kinds_told(unfit)}; add a step for those."
    )
