"""A piece of a beam: its readings and how far each of its steps has come."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from crewdesk.job.change import Doc
from crewdesk.job.forms import TRAITS
from crewdesk.job.readings import OF_KIND, Reading, moment
from crewdesk.job.refused import Refused
from crewdesk.job.words import brief, checked_note

KIND_OF = {"A": "side", "B": "side", "bottom": "bottom", "top": "top", "cleats": "cleats"}
NAME_OF = {"A": "side A", "B": "side B", "bottom": "bottom", "top": "top", "cleats": "cleats"}
PARTNER = {"A": "B", "B": "A"}
MARKS = ("done", "blocked", "skipped")


@dataclass(frozen=True)
class Spot:
    """A piece of a beam: the beam's row and the piece's key."""

    beam: str
    piece: str


@dataclass(frozen=True)
class StepMark:
    """What was noted about a step of a piece.

    `state` is "done", "blocked" or "skipped"; `reason` goes with the last two.
    `override` is the reason given where a closed gate was passed, `gate` what it said.
    """

    state: str
    when: datetime
    reason: str = ""
    override: str = ""
    gate: str = ""

    @property
    def behind(self) -> bool:
        """Whether the step is behind the piece: done or skipped."""
        return self.state != "blocked"

    def to_doc(self) -> Doc:
        """As JSON."""
        doc: Doc = {"state": self.state, "when": self.when.isoformat()}
        for key in ("reason", "override", "gate"):
            if text := getattr(self, key):
                doc[key] = text
        return doc

    @staticmethod
    def from_doc(doc: Doc) -> "StepMark":
        """The mark that `to_doc` wrote; raises `Refused`."""
        if doc["state"] not in MARKS:
            raise Refused(f"A step can't be {brief(doc['state'])}; it is {', '.join(MARKS)}.")
        reason, override, gate = (
            checked_note(doc.get(key, ""), f"'{key}' of a step")
            for key in ("reason", "override", "gate")
        )
        return StepMark(doc["state"], moment(doc["when"], "step"), reason, override, gate)


@dataclass(frozen=True)
class Piece:
    """One piece: `key` is A, B, bottom or cleats. `readings` holds every reading of a
    name, the latest last; `steps` what was noted, by step id."""

    key: str
    readings: Mapping[str, tuple[Reading, ...]] = field(default_factory=dict)
    steps: Mapping[str, StepMark] = field(default_factory=dict)
    traits: frozenset[str] = frozenset(TRAITS)

    @property
    def kind(self) -> str:
        """side, bottom, top or cleats."""
        return KIND_OF[self.key]

    @property
    def name(self) -> str:
        """As told to people: side A, bottom."""
        return NAME_OF[self.key]

    def latest(self, reading: str) -> Reading | None:
        """The reading of that name that counts: the last one taken."""
        taken = self.readings.get(reading)
        return taken[-1] if taken else None

    @staticmethod
    def from_doc(key: str, doc: Doc, traits: frozenset[str] = frozenset(TRAITS)) -> "Piece":
        """The piece as it stands in a beam's document; raises `Refused`."""
        if key not in KIND_OF:
            raise Refused(f"A beam has no piece {brief(key)}; its pieces are {', '.join(KIND_OF)}.")
        readings = {
            name: tuple(Reading.from_doc(one) for one in taken)
            for name, taken in doc.get("readings", {}).items()
        }
        for name in readings:
            if name not in OF_KIND[KIND_OF[key]]:
                raise Refused(f"The {NAME_OF[key]} of a beam takes no reading {brief(name)}.")
        steps = {id_: StepMark.from_doc(mark) for id_, mark in doc.get("steps", {}).items()}
        return Piece(key, readings, steps, traits)
