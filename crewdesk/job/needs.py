"""What a step needs before it may be done: facts about its piece and its beam.

A need stays with its step. Where the step that it names was dropped, the gate says so
(see `crewdesk.job.gates`). A need ends only where a person waives it, and the reason is
kept in a `Waiver`.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.readings import BESIDE, NAMES, OPTIONAL, moment
from crewdesk.job.words import brief, checked_line, checked_name

PIECE, PARTNER, BEAM = "piece", "partner", "beam"
KIND_OF_WHO: Mapping[str, str] = {
    PARTNER: "side",
    "sides": "side",
    "bottom": "bottom",
    "top": "top",
    "cleats": "cleats",
}
"""The kind of the pieces that a need speaks of; `PIECE` is the step's own piece."""
WHO = (PIECE, *KIND_OF_WHO)
READINGS = tuple(what for what in NAMES if what not in OPTIONAL)
"""The readings of a piece that a step can need."""
CEILING = "ceiling"
OF_BEAM = (CEILING,)
"""The readings over a whole beam that a step can need."""
EDGES = BESIDE["opening"]
"""The readings along a bottom's other edge, which count where the walls are out of square."""
OUT_OF_SQUARE = "out of square"
"""The sort of a need of edge B's reading, which counts where the walls are out of square."""


class Need(NamedTuple):
    """One thing that a step needs before it may be done.

    `sort` is one of
    - "earlier": every earlier step of the same piece is done or skipped,
    - "done": step `step` is done on `who`, one of `WHO`,
    - "reading": reading `what` is there and believable: the piece's own or, with `who`,
      that of other pieces; with `who` "beam" a reading over the whole beam,
    - "read after": reading `what` was taken after `step` was done on `who`,
    - "out of square": reading `what` (edge B) is there, if the walls are out of square.
    """

    sort: str
    who: str = ""
    step: str = ""
    what: str = ""

    def to_doc(self) -> Doc:
        """As JSON, without the fields that this sort does not use."""
        return {k: v for k, v in self._asdict().items() if v}

    @staticmethod
    def from_doc(doc: Doc) -> "Need":
        """Return the need that `to_doc` wrote; raises `NotAllowed` where it makes no sense."""
        need = Need(
            **{
                key: checked_line(doc.get(key, ""), f"'{key}' of a need")
                for key in ("sort", "who", "step", "what")
                if key in doc or key == "sort"
            }
        )
        of_whom = need.who in ("", *KIND_OF_WHO)
        sound = {
            "earlier": not (need.step or need.what or need.who),
            "done": need.who in WHO and bool(need.step),
            "reading": not need.step
            and need.what in (OF_BEAM if need.who == BEAM else READINGS)
            and (of_whom or need.who == BEAM),
            "read after": need.what in READINGS and need.who in WHO and bool(need.step),
            OUT_OF_SQUARE: need.what in EDGES,
        }
        if not sound.get(need.sort, False):
            raise NotAllowed(
                f"A step's need {brief(doc)} makes no sense; see the format of a job file."
            )
        return need


EARLIER = Need("earlier")


def done(who: str, step: str) -> Need:
    """Return the need that a step is done on `who`, one of `WHO`."""
    return Need("done", who=who, step=step)


def read(what: str, who: str = "") -> Need:
    """Return the need of a reading of the piece itself, of `who`, or of the whole beam."""
    return Need("reading", who=who, what=what)


_BOTH_SIDES_READ = tuple(read(what, "sides") for what in ("run", "end1", "end2"))

TRUTHS: Mapping[str, tuple[Need, ...]] = {
    "scribe": (read(CEILING, BEAM),),
    "fix-cleats": (done("sides", "cut-side"), done("sides", "cut-scribe"), *_BOTH_SIDES_READ),
    "fix-top": _BOTH_SIDES_READ,
    "cut-bottom": (Need(OUT_OF_SQUARE, what="edge_b"),),
    "nail-bottom": (done("sides", "nail-side"), done("cleats", "fix-cleats")),
}
"""Needs that belong to a usual step by its id, also in a job whose stages were saved
before the usual stages had them (see `Stages.from_doc`)."""


class Waiver(NamedTuple):
    """A change of the stages that opened steps, and the `reason` given for it.

    `what` says the change in words; each of `needs` is the id of a step and the need that
    it lost. A step that no longer comes before another is lost as a need of sort "done" on
    the piece itself.
    """

    what: str
    reason: str
    when: datetime
    needs: tuple[tuple[str, Need], ...]

    def to_doc(self) -> Doc:
        """As JSON; `of` is the id of the step that lost the need."""
        return {
            "what": self.what,
            "reason": self.reason,
            "when": self.when.isoformat(),
            "needs": [{"of": id_, **need.to_doc()} for id_, need in self.needs],
        }

    @staticmethod
    def from_doc(doc: Doc) -> "Waiver":
        """Return the waiver that `to_doc` wrote; raises `NotAllowed`."""
        return Waiver(
            checked_line(doc["what"], "change of the steps"),
            reason_given(doc["reason"]),
            moment(doc["when"], "change of the steps"),
            tuple((checked_name(one["of"], "step"), Need.from_doc(one)) for one in doc["needs"]),
        )


def reason_given(text: object) -> str:
    """Return the reason for a waiver, one line; raises `NotAllowed` where there is none."""
    if not (reason := checked_line(text, "reason")):
        raise NotAllowed("Give the reason in a few words; nothing was changed.")
    return reason
