"""A beam: its section, its ends and its pieces, which are those of its type."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import datetime
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Any, NamedTuple, TypeVar

from crewdesk.errors import BadInput, CrewdeskError, NotAllowed
from crewdesk.job.beams.forms import FORMS, USUAL, Form, boards, form_of
from crewdesk.job.beams.piece import KIND_OF, NAME_OF, PARTNER, Piece
from crewdesk.job.beams.readings import LONGEST_RUN, NOTHING_READ, SHORTEST_RUN, Pair
from crewdesk.job.change import Doc, Tables
from crewdesk.job.cuts.cut_figures import Figure, Figures
from crewdesk.job.parsing import fraction, read_plainly, within
from crewdesk.job.row import (
    EXACT,
    NAME,
    NOTE,
    SHORT,
    Kind,
    TableRow,
    as_is,
    built_as,
    field,
    one_of,
)
from crewdesk.job.text_limits import brief, checked_name, comes_in
from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments
from crewdesk.trade.cuts.pitch import Pitch, read_pitch
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.shop_machine import Scribers
from crewdesk.trade.cuts.side_board import End

CEILINGS = ("flat", "sloped")
Made = TypeVar("Made")
STEP_GONE = "its step is no longer one of this piece"
"""The reason shown for a cut whose step was dropped or doesn't belong to the beam's type."""
IT_IS_CUT = "it is cut"
"""The reason of a cut that counts as cut without an answer from the user."""


GONE_BY = frozenset({"rip-side", "rip-bottom", "rip-top", "rip-cleats", "cleat-line", "scribe"})
"""The steps that set a size which other boards or the other side of the pair follow."""


class Habits(NamedTuple):
    """The job's settings that affect every beam's marks: `cleat`, the width that cleats are ripped
    to, in inches, and the `step` of shown lengths."""

    cleat: Fraction = CLEAT
    step: Step = DEFAULT_STEP


def section_to_doc(section: Section) -> Doc:
    """Return a section as JSON, exact."""
    return {key: str(value) for key, value in section._asdict().items()}


def section_from_doc(doc: Doc) -> Section:
    """Return the section that `section_to_doc` wrote; raises `NotAllowed` or `BadInput`."""
    known = {name: name not in Section._field_defaults for name in Section._fields}
    if not isinstance(doc, dict):
        raise NotAllowed(
            f"A section in this file must list {', '.join(known)}; it is {brief(doc)}."
        )
    if unknown := sorted(set(doc) - set(known)):
        raise NotAllowed(f"A section can't have {brief(unknown[0])}. It has {', '.join(known)}.")
    if lacking := [name for name, needed in known.items() if needed and name not in doc]:
        raise NotAllowed(f"A section needs its {' and '.join(lacking)}.")
    if all(isinstance(value, str) for value in doc.values()):
        return _section(tuple(doc.items()), comes_in())
    return Section(**{key: fraction(value, key) for key, value in doc.items()})


@lru_cache(maxsize=64)
def _section(lengths: tuple[tuple[str, str], ...], _comes_in: bool) -> Section:
    """Return the checked section. Beams of a job share sections, so each is checked once, and again
    when a change brings it in."""
    return Section(**{key: fraction(value, key) for key, value in lengths})


def section_then(doc: Doc) -> Section | None:
    """Return the section that a cut kept, or None if an imported file has no valid one."""
    try:
        return section_from_doc(doc)
    except CrewdeskError:
        return None


def _ends(value: Any, what: str) -> tuple[str, str]:
    if not isinstance(value, list) or len(value) != 2:
        raise NotAllowed(f"A beam has two ends, each with a name, not {brief(value)}.")
    first, second = (SHORT.read(one, f"name of end {end}") for end, one in enumerate(value, 1))
    return first, second


def _rough(text: object, what: str) -> Fraction:
    found = fraction(text, what)
    if not SHORTEST_RUN <= found <= LONGEST_RUN:
        raise NotAllowed(
            "A beam of {found} in can't be right. Type a length from {least} in to {most} in.",
            found=found,
            least=SHORTEST_RUN,
            most=LONGEST_RUN,
        )
    return found


SECTION = Kind(lambda doc, _: section_from_doc(doc), section_to_doc, "section")
ENDS = Kind(_ends, list, "list of two names")
PITCH = Kind(lambda text, _: read_pitch(text), as_is, "slope as typed")
LOW = Kind(lambda end, _: 2 if end == 2 else 1, as_is, "1 or 2")
ROUGH = Kind(_rough, str, "exact number")
FORM = Kind(lambda id_, _: form_of(id_), lambda form: form.id, "beam type")


class Beam(TableRow, noun="beam"):
    """One beam.

    ends: the names of the walls at end 1 and end 2. pair: readings of the whole beam. drop: how far
    it must hang at least, if asked for, in inches. pitch: the slope of a sloped beam, with its
    lower end `low`; along a ridge the slope over side A, with `pitch_b` over side B if it differs.
    rough: the length before measuring, from a drawing or a tape, in inches. form: which pieces
    there are. height_b: side B's own height, if the form has one. ridge_side: height of the ridge
    beam's side that a sloped beam's high end dies into, in inches. instruments, scribers: the
    crew's. habits: the job's. ways: by kind of piece, the ids of its steps; empty if unknown.
    """

    name: str = field(NAME)
    room: str = field(NAME, "room")
    section: Section = field(SECTION)
    ends: tuple[str, str] = field(ENDS, "names of a beam's ends")
    ceiling: str = field(one_of(CEILINGS), "ceiling")
    pieces: Mapping[str, Piece]
    note: str = field(NOTE, "note", default="")
    pair: Pair = field(Pair, default=NOTHING_READ)
    drop: Fraction | None = field(EXACT, "drop", default=None, lax=True)
    pitch: Pitch | None = field(PITCH, default=None, lax=True)
    low: End = field(LOW, default=1)
    rough: Fraction | None = field(ROUGH, "rough length", default=None, lax=True)
    form: Form = field(FORM, default=FORMS[USUAL])
    height_b: Fraction | None = field(EXACT, "height of side B", default=None, lax=True)
    pitch_b: Pitch | None = field(PITCH, default=None, lax=True)
    ridge_side: Fraction | None = field(EXACT, "ridge's side", default=None, lax=True)
    instruments: Instruments = USUAL_INSTRUMENTS
    scribers: Scribers = ()
    habits: Habits = Habits()
    ways: Mapping[str, frozenset[str]] = {}

    @cached_property
    def derived(self) -> dict[str, Any]:
        """Cached results for this beam, by the function that computed them; a beam never
        changes."""
        return {}

    def once(self, name: str, make: Callable[[], Made]) -> Made:
        """Return `make(self)`, computed once; raises its `BadInput` each time."""
        if name not in self.derived:
            try:
                self.derived[name] = make()
            except BadInput as refusal:
                self.derived[name] = refusal
        made: Made | BadInput = self.derived[name]
        if isinstance(made, BadInput):
            raise made.with_traceback(None)
        return made

    @cached_property
    def as_ticked(self) -> "AsTicked":
        """A function that finds the beam and tables at a check-off that kept no figures; the
        record, which has the history, sets it."""
        return nothing_known

    @cached_property
    def built(self) -> Mapping[str, Figures]:
        """By piece key, the figures of cuts that count as they were made (see `is_built`)."""
        found: dict[str, dict[str, Figure]] = {}
        for key, piece in self.pieces.items():
            for step_id, mark in piece.steps.items():
                if mark.cut is not None and self.is_built(piece, step_id):
                    found.setdefault(key, {}).update(mark.cut.figures)
        return found

    def is_built(self, piece: Piece, step_id: str) -> bool:
        """Return whether a cut counts as it was made, whatever today's readings and section give:
        cuts that other boards follow (`GONE_BY`), and cuts that were kept or whose step is gone
        (see `crewdesk.job.cuts.as_built`)."""
        done = piece.steps[step_id].state == "done"
        return bool(self.why_kept(piece, step_id)) or (done and step_id in GONE_BY)

    def why_kept(self, piece: Piece, step_id: str) -> str:
        """Return why a checked-off cut stays as it was made: the reason given, or that its step is
        gone; "" if it doesn't."""
        mark = piece.steps[step_id]
        if mark.state != "done":
            return ""
        if mark.kept is not None:
            return mark.kept.reason
        return STEP_GONE if self.is_gone(piece, step_id) else ""

    def is_gone(self, piece: Piece, step_id: str) -> bool:
        """Return whether a step was dropped, or doesn't belong to this piece of the beam's type
        now."""
        return step_id not in self.ways.get(piece.kind, (step_id,))

    def with_pieces(self, pieces: Mapping[str, Piece]) -> "Beam":
        """Return the beam with other pieces, its history still attached."""
        made = self._replace(pieces=pieces)
        made.as_ticked = self.as_ticked
        return made

    @property
    def boards(self) -> Mapping[str, FormBoard]:
        """Return each board's widths and edges by piece key, from the section. Boards between the
        sides use the sides' thickness as ripped; mitered boards don't, since they all have one
        thickness. Raises `BadInput`."""
        return self.once("boards", self._boards)

    def _boards(self) -> Mapping[str, FormBoard]:
        pitches = (self.pitch, self.pitch_b)
        made = boards(self.form.id, self.section, self.height_b, pitches)
        if not self.built or "mitred" in self.form.id:
            return made
        thick = [
            ripped["thickness"].exact if "thickness" in ripped else self.section.side_thickness
            for key in PARTNER
            if key in self.pieces
            for ripped in (self.built.get(key, {}),)
        ]
        hung, height_b = self.as_hung
        across = sum(thick, Fraction(0)) / len(thick)
        if (hung, across, height_b) == (self.section, self.section.side_thickness, self.height_b):
            return made
        built = hung._replace(side_thickness=across)
        between = boards(self.form.id, built, height_b, pitches)
        return {key: between[key] if key not in PARTNER else made[key] for key in made}

    @cached_property
    def as_hung(self) -> tuple[Section, Fraction | None]:
        """Return the section and side B's drop. Along a ridge they are those of the second side's
        scribing, if both sides were scribed, since the drops set how far apart the bottom edges
        hang; else today's."""
        scribed = [
            (mark.when, key, mark.cut)
            for key, piece in self.pieces.items()
            if (mark := piece.steps.get("scribe")) is not None
            and (mark.state, self.form.id) == ("done", "ridge")
            and mark.cut is not None
            and mark.cut.settings.get("form") == "ridge"
        ]
        if len(scribed) > 1:
            cut = max(scribed)[-1]
            with suppress(CrewdeskError):
                drop_a = section_from_doc(cut.section).height
                own = cut.settings.get("height_b")
                drop_b = None if own is None else fraction(own, "height of side B")
                return self.section._replace(height=drop_a), drop_b
        return self.section, self.height_b

    def height(self, key: str) -> Fraction:
        """Return the rough width of a side at its show face, in inches."""
        if self.form.id == "ridge":
            return self.boards[key].width
        return self.height_b if key == "B" and self.height_b else self.section.height

    @property
    def label(self) -> str:
        """Room and name together, as shown."""
        return f"{self.room} {self.name}".strip()

    def piece(self, key: str) -> Piece:
        """Return the piece with that key; raises `NotAllowed`."""
        if key not in self.pieces:
            raise NotAllowed(f"{self.label} has no piece {key}. It has {', '.join(self.pieces)}.")
        return self.pieces[key]

    def among(self, who: str, piece: Piece) -> Iterator[Piece]:
        """Return the pieces that a need of `piece` refers to: itself, its partner, the sides, and
        so on."""
        if who == "piece":
            yield piece
            return
        if who == "partner":
            if (partner := self.pieces.get(PARTNER.get(piece.key, ""))) is not None:
                yield partner
            return
        kind = "side" if who == "sides" else who
        yield from (one for one in self.pieces.values() if one.kind == kind)

    @classmethod
    def given(cls, doc: Doc) -> Mapping[str, Any]:
        """Return the beam's pieces with the traits of its type; raises `NotAllowed`."""
        form = form_of(doc.get("form", USUAL))
        pieces = {}
        for key, one in doc["pieces"].items():
            with within(NAME_OF.get(key, "pieces")):
                if key not in KIND_OF:
                    known = ", ".join(KIND_OF)
                    raise NotAllowed(f"A beam has no piece {brief(key)}; its pieces are {known}.")
                piece = Piece.from_doc(one, key=key, traits=form.traits)
            if key in form.pieces:  # an older version could import others too
                pieces[key] = piece
        return {"pieces": {key: pieces[key] for key in KIND_OF if key in pieces}}

    def check(self) -> None:
        """Raise `BadInput` if its section and type make no boards."""
        _ = self.boards


def beam_outline(row: str, doc: Doc) -> tuple[str, str, list[str]]:
    """Return a beam's room, its row and the keys of its pieces, as `Beam.from_doc` has them;
    raises `NotAllowed`."""
    with read_plainly(f"Beam {row} in this file", built_as("beam")):
        keys = form_of(doc.get("form", USUAL)).pieces
        return (
            checked_name(doc["room"], "room"),
            row,
            [key for key in KIND_OF if key in keys and key in doc["pieces"]],
        )


AsTicked = Callable[[str, str, datetime], tuple[Tables, Beam] | None]
"""By piece, step and time: the tables and the beam as they were then, or None if unknown."""


def nothing_known(_piece: str, _step: str, _when: datetime) -> tuple[Tables, Beam] | None:
    """Return None: the beam was read without its record's history."""
    return None


def check_ridge(beam: Beam) -> None:
    """Raise `BadInput` if a beam along a ridge also slopes along its length. Its pitches are those
    of the ceilings beside the ridge; a third one isn't supported."""
    if beam.form.id == "ridge" and beam.ceiling == "sloped":
        raise BadInput(
            "A beam along a ridge hangs level; crewdesk can't work out a ridge that falls. Set the "
            "beam's ceiling to flat: its pitches are those of the ceilings beside the ridge.",
            field="ceiling",
        )
