"""A piece of a beam: its readings and how far each of its steps has come."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.cut_figures import AsCut, KeptCut
from crewdesk.job.forms import USUAL_TRAITS
from crewdesk.job.gap import Gap
from crewdesk.job.readings import OF_KIND, OPTIONAL, Reading, fraction, moment, readings_of
from crewdesk.job.words import brief, checked_note
from crewdesk.job.written import read_plainly, within
from crewdesk.trade.cuts.scribe_cut import WAYS, Way

KIND_OF = {"A": "side", "B": "side", "bottom": "bottom", "top": "top", "cleats": "cleats"}
NAME_OF = {"A": "side A", "B": "side B", "bottom": "bottom", "top": "top", "cleats": "cleats"}
PARTNER = {"A": "B", "B": "A"}
MARKS = ("done", "blocked", "skipped")


class Spot(NamedTuple):
    """A piece of a beam: the beam's row and the piece's key."""

    beam: str
    piece: str


class StepMark(NamedTuple):
    """What was noted about a step of a piece.

    `state` is "done", "blocked" or "skipped"; `reason` goes with the last two.
    `override` is the reason given where a closed gate was passed, `gate` what it said.
    Of a step that cuts, `cut` holds what the piece was cut to (None in records made before
    that was kept) and `kept` why the cut stands though today's figures are others.
    """

    state: str
    when: datetime
    reason: str = ""
    override: str = ""
    gate: str = ""
    cut: AsCut | None = None
    kept: KeptCut | None = None

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
        if self.cut is not None:
            doc["cut"] = self.cut.to_doc()
        if self.kept is not None:
            doc["kept"] = self.kept.to_doc()
        return doc

    @staticmethod
    def from_doc(doc: Doc) -> "StepMark":
        """The mark that `to_doc` wrote; raises `NotAllowed`."""
        if doc["state"] not in MARKS:
            raise NotAllowed(f"A step can't be {brief(doc['state'])}; it is {', '.join(MARKS)}.")
        reason, override, gate = (
            checked_note(doc[key], f"'{key}' of a step") if key in doc else ""
            for key in ("reason", "override", "gate")
        )
        return StepMark(
            doc["state"],
            moment(doc["when"], "step"),
            reason,
            override,
            gate,
            AsCut.from_doc(doc["cut"]) if "cut" in doc else None,
            KeptCut.from_doc(doc["kept"]) if "kept" in doc else None,
        )


class OwnCut(NamedTuple):
    """The user's own lengths for the bottom board's two edges, in inches, in place of what
    its reading gives; `reason` where one is longer than its reading."""

    edge_a: Fraction
    edge_b: Fraction
    when: datetime
    reason: str = ""

    def to_doc(self) -> Doc:
        """As JSON, lengths exact."""
        doc: Doc = {"edge_a": str(self.edge_a), "edge_b": str(self.edge_b)}
        reason = {"reason": self.reason} if self.reason else {}
        return {**doc, "when": self.when.isoformat(), **reason}

    @staticmethod
    def from_doc(doc: Doc) -> "OwnCut":
        """The cut that `to_doc` wrote; raises `NotAllowed`."""
        with read_plainly("A cut length of one's own", "one is"):
            edge_a, edge_b, when = (doc[key] for key in ("edge_a", "edge_b", "when"))
        edge_a, edge_b = (fraction(edge, "cut length") for edge in (edge_a, edge_b))
        if min(edge_a, edge_b) <= 0:
            raise NotAllowed("A cut length of one's own must be more than zero.")
        reason = checked_note(doc.get("reason", ""), "reason of a cut length")
        return OwnCut(edge_a, edge_b, moment(when, "cut length"), reason)


class OwnScribeCut(NamedTuple):
    """How the user chose to cut this side to its scribe line; `reason` may be empty."""

    way: Way
    when: datetime
    reason: str = ""

    def to_doc(self) -> Doc:
        """As JSON."""
        reason = {"reason": self.reason} if self.reason else {}
        return {"way": self.way, "when": self.when.isoformat(), **reason}

    @staticmethod
    def from_doc(doc: Doc) -> "OwnScribeCut":
        """The choice that `to_doc` wrote; raises `BadInput`."""
        if not isinstance(doc, dict) or doc.get("way") not in WAYS:
            raise BadInput(
                f"A side is cut to its scribe line by {', '.join(WAYS)}, not by {brief(doc)}.",
                field="scribe_cut",
            )
        reason = checked_note(doc.get("reason", ""), "reason of a scribe cut")
        return OwnScribeCut(doc["way"], moment(doc["when"], "scribe cut"), reason)


class Piece(NamedTuple):
    """One piece: `key` is A, B, bottom or cleats. `readings` holds every reading of a
    name, the latest last; `steps` what was noted, by step id; `own_cut` a bottom board's
    lengths where the user chose them; `gaps` what was found at the fix-up; `scribe_cut` how a
    side is cut to its scribe line where the user chose that. `before` has the steps that were
    done on this very board before a cut of it was opened again, with what it was cut to."""

    key: str
    readings: Mapping[str, tuple[Reading, ...]] = {}
    steps: Mapping[str, StepMark] = {}
    traits: frozenset[str] = USUAL_TRAITS
    own_cut: OwnCut | None = None
    gaps: tuple[Gap, ...] = ()
    scribe_cut: OwnScribeCut | None = None
    before: Mapping[str, StepMark] = {}

    @property
    def untouched(self) -> bool:
        """Whether nothing was read, noted or chosen for it."""
        return not (self.readings or self.steps or self.own_cut or self.gaps or self.scribe_cut)

    @property
    def kind(self) -> str:
        """side, bottom, top or cleats."""
        return KIND_OF[self.key]

    @property
    def name(self) -> str:
        """As told to people: side A, bottom."""
        return NAME_OF[self.key]

    def read(
        self, names: Iterable[str], typed: Mapping[str, Reading] | None = None
    ) -> tuple[Reading | None, ...]:
        """The readings of those names that count, in their order; `typed` stands in for
        those of the record, by name, so that a cut can be seen before anything is saved."""
        return tuple((typed or {}).get(name) or self.latest(name) for name in names)

    def with_typed(self, typed: Mapping[str, Reading] | None) -> "Piece":
        """The piece as it would be with readings that aren't saved yet, by name."""
        read = {what: (*self.readings.get(what, ()), one) for what, one in (typed or {}).items()}
        return self._replace(readings={**self.readings, **read}) if read else self

    def latest(self, reading: str) -> Reading | None:
        """The reading of that name that counts: the last one taken."""
        taken = self.readings.get(reading)
        return taken[-1] if taken else None

    @property
    def takes(self) -> tuple[str, ...]:
        """The names of the readings that it takes, by its kind and its beam's form."""
        return readings_of(self.kind, self.traits)

    @property
    def asked_for(self) -> tuple[str, ...]:
        """The names of the readings that it needs and has not had."""
        return tuple(what for what in self.takes if what not in OPTIONAL and not self.latest(what))

    @staticmethod
    def from_doc(key: str, doc: Doc, traits: frozenset[str] = USUAL_TRAITS) -> "Piece":
        """The piece as it stands in a beam's document; raises `NotAllowed`."""
        if key not in KIND_OF:
            raise NotAllowed(
                f"A beam has no piece {brief(key)}; its pieces are {', '.join(KIND_OF)}."
            )
        readings = {}
        for name, taken in doc.get("readings", {}).items():
            with within("reading", name):
                readings[name] = tuple(Reading.from_doc(one) for one in taken)
        for name in readings:
            if name not in OF_KIND[KIND_OF[key]]:
                raise NotAllowed(f"The {NAME_OF[key]} of a beam takes no reading {brief(name)}.")
        steps = {}
        for id_, mark in doc.get("steps", {}).items():
            with within("step", id_):
                steps[id_] = StepMark.from_doc(mark)
        own_cut = OwnCut.from_doc(doc["own_cut"]) if doc.get("own_cut") else None
        if own_cut is not None and KIND_OF[key] != "bottom":
            raise NotAllowed(
                f"Only a bottom board takes a cut length of one's own, no {NAME_OF[key]}."
            )
        with within("gaps"):
            gaps = tuple(Gap.from_doc(KIND_OF[key], one) for one in doc.get("gaps", ()))
        scribe_cut = OwnScribeCut.from_doc(doc["scribe_cut"]) if doc.get("scribe_cut") else None
        if scribe_cut is not None and KIND_OF[key] != "side":
            raise BadInput(
                f"Only a side is cut to a scribe line, not the {NAME_OF[key]}.", field="scribe_cut"
            )
        before = {id_: StepMark.from_doc(mark) for id_, mark in doc.get("before", {}).items()}
        return Piece(key, readings, steps, traits, own_cut, gaps, scribe_cut, before)
