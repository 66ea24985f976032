"""A beam: its section, its ends' names and its pieces."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager
from datetime import datetime
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Any, NamedTuple, TypeVar

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.change import Doc, Tables
from crewdesk.job.coming_in import comes_in
from crewdesk.job.cut_figures import Figure, Figures
from crewdesk.job.forms import FORMS, USUAL, Form, boards, form_of
from crewdesk.job.pair import NOTHING_READ, Pair
from crewdesk.job.piece import KIND_OF, NAME_OF, PARTNER, Piece
from crewdesk.job.readings import LONGEST_RUN, SHORTEST_RUN, fraction
from crewdesk.job.shop_machine import Scribers
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_name, checked_note
from crewdesk.job.written import read_plainly, within
from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments
from crewdesk.trade.cuts.pitch import Pitch, read_pitch
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.side_board import End

CEILINGS = ("flat", "sloped")
Made = TypeVar("Made")
STEP_GONE = "its step is no longer one of this piece"
"""Why a cut stays as it is where its step was dropped, or isn't one of the beam's type."""


class Habits(NamedTuple):
    """What the whole job settles for the marks of each beam: `cleat`, the width that cleats
    are ripped to, in inches, and the `step` that lengths are shown to."""

    cleat: Fraction = CLEAT
    step: Step = DEFAULT_STEP


class _Fields(NamedTuple):
    row: str
    name: str
    room: str
    section: Section
    ends: tuple[str, str]
    ceiling: str
    pieces: Mapping[str, Piece]
    note: str = ""
    pair: Pair = NOTHING_READ
    drop: Fraction | None = None
    pitch: Pitch | None = None
    low: End = 1
    rough: Fraction | None = None
    form: Form = FORMS[USUAL]
    height_b: Fraction | None = None
    pitch_b: Pitch | None = None
    ridge_side: Fraction | None = None
    instruments: Instruments = USUAL_INSTRUMENTS
    scribers: Scribers = ()
    habits: Habits = Habits()
    ways: Mapping[str, frozenset[str]] = {}


class Beam(_Fields):
    """One beam; `ends` names the walls at end 1 and end 2, `pair` holds what is read over
    all of it. `drop` is how far it must hang at the least, where that is asked for, in
    inches. Of a sloped beam, `pitch` is the slope and `low` the end that lies lower. `rough`
    is its length as known before it is read, off a drawing or a tape, in inches. `form`
    says which pieces there are; `height_b` is side B's own height in the form with sides
    of two heights. Along a ridge `pitch` is the slope over side A and `pitch_b` the one
    over side B, where it is another. `ridge_side` is the height of the ridge beam's side
    that a sloped beam's high end dies into, in inches. `instruments` and `scribers` are the
    crew's, `habits` the job's. `ways` are the ids of the steps that a piece of each kind goes
    through, by kind; empty where that isn't known."""

    @cached_property
    def derived(self) -> dict[str, Any]:
        """What was worked out of this beam, by what worked it out: a beam never changes."""
        return {}

    def once(self, name: str, make: Callable[[], Made]) -> Made:
        """Return what `make` works out of this beam, worked out once; raises its `BadInput` each
        time."""
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
        """What the beam was at a check-off that kept no figures, and the tables it is from;
        the record, which has the history, sets it."""
        return nothing_known

    @cached_property
    def kept(self) -> Mapping[str, Figures]:
        """By piece key, the figures of the cuts that were kept as they were cut, and of those
        whose step is gone (see `crewdesk.job.as_built`)."""
        found: dict[str, dict[str, Figure]] = {}
        for key, piece in self.pieces.items():
            for step_id in piece.steps:
                mark = piece.steps[step_id]
                if mark.cut is not None and self.why_kept(piece, step_id):
                    found.setdefault(key, {}).update(mark.cut.figures)
        return found

    def why_kept(self, piece: Piece, step_id: str) -> str:
        """Why a cut that is checked off stays what it was cut to: the reason given, or that
        nothing can ask about it any more; "" where it doesn't."""
        mark = piece.steps[step_id]
        if mark.state != "done":
            return ""
        if mark.kept is not None:
            return mark.kept.reason
        return STEP_GONE if self.is_gone(piece, step_id) else ""

    def is_gone(self, piece: Piece, step_id: str) -> bool:
        """Whether a step was dropped, or isn't one of such a piece of the beam's type, now."""
        return step_id not in self.ways.get(piece.kind, (step_id,))

    def with_pieces(self, pieces: Mapping[str, Piece]) -> "Beam":
        """Return the beam with other pieces; what it was at a check-off stays known."""
        made = self._replace(pieces=pieces)
        made.as_ticked = self.as_ticked
        return made

    @property
    def boards(self) -> Mapping[str, FormBoard]:
        """By piece key, each board's widths and edges by the section; those of boards that go
        between the sides by sides as thick as they were kept. Mitered boards don't: those are
        all of one thickness. Raises `BadInput`."""
        return self.once("boards", self._boards)

    def _boards(self) -> Mapping[str, FormBoard]:
        pitches = (self.pitch, self.pitch_b)
        made = boards(self.form.id, self.section, self.height_b, pitches)
        if not self.kept or "mitred" in self.form.id:
            return made
        thick = [
            kept["thickness"].exact if "thickness" in kept else self.section.side_thickness
            for key in PARTNER
            if key in self.pieces
            for kept in (self.kept.get(key, {}),)
        ]
        across = sum(thick, Fraction(0)) / len(thick)
        if across == self.section.side_thickness:
            return made
        built = self.section._replace(side_thickness=across)
        between = boards(self.form.id, built, self.height_b, pitches)
        return {key: between[key] if key not in PARTNER else made[key] for key in made}

    def height(self, key: str) -> Fraction:
        """The starting height of a side at its show face, in inches."""
        if self.form.id == "ridge":
            return self.boards[key].width
        return self.height_b if key == "B" and self.height_b else self.section.height

    @property
    def label(self) -> str:
        """Room and name together, as the beam is told."""
        return f"{self.room} {self.name}".strip()

    def piece(self, key: str) -> Piece:
        """The piece of that key; raises `NotAllowed`."""
        if key not in self.pieces:
            raise NotAllowed(f"{self.label} has no piece {key}; it has {', '.join(self.pieces)}.")
        return self.pieces[key]

    def among(self, who: str, piece: Piece) -> Iterator[Piece]:
        """The pieces that a need of `piece` speaks of: itself, its partner, the sides, ..."""
        if who == "piece":
            yield piece
            return
        if who == "partner":
            if (partner := self.pieces.get(PARTNER.get(piece.key, ""))) is not None:
                yield partner
            return
        kind = "side" if who == "sides" else who
        yield from (one for one in self.pieces.values() if one.kind == kind)

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Beam":
        """The beam as it stands in the record; raises `NotAllowed`."""
        with _reading(row):
            form = form_of(doc.get("form", USUAL))
            pieces = {}
            for key, one in doc["pieces"].items():
                with within(NAME_OF.get(key, "pieces")):
                    piece = Piece.from_doc(key, one, form.traits)
                if key in form.pieces:  # an older version could import others too
                    pieces[key] = piece
            ends = doc["ends"]
            if not isinstance(ends, list) or len(ends) != 2:
                raise NotAllowed(f"A beam has two ends, each with a name, not {brief(ends)}.")
            if doc["ceiling"] not in CEILINGS:
                raise NotAllowed(
                    f"A ceiling is {' or '.join(CEILINGS)}, not {brief(doc['ceiling'])}."
                )
            beam = Beam(
                row,
                checked_name(doc["name"], "beam"),
                checked_name(doc["room"], "room"),
                section_from_doc(doc["section"]),
                (
                    checked_line(ends[0], "name of end 1", most=LONGEST_NAME),
                    checked_line(ends[1], "name of end 2", most=LONGEST_NAME),
                ),
                doc["ceiling"],
                {key: pieces[key] for key in KIND_OF if key in pieces},
                checked_note(doc.get("note", "")),
                Pair.from_doc(doc.get("pair", {})),
                fraction(doc["drop"], "drop") if doc.get("drop") else None,
                read_pitch(doc["pitch"]) if doc.get("pitch") else None,
                2 if doc.get("low") == 2 else 1,
                _rough(doc["rough"]) if doc.get("rough") else None,
                form,
                fraction(doc["height_b"], "height of side B") if doc.get("height_b") else None,
                read_pitch(doc["pitch_b"]) if doc.get("pitch_b") else None,
                fraction(doc["ridge_side"], "ridge's side") if doc.get("ridge_side") else None,
            )
            _ = beam.boards
            return beam


def _reading(row: str) -> AbstractContextManager[None]:
    return read_plainly(f"Beam {row} of the record", "a beam is; see the format of a job file")


def beam_outline(row: str, doc: Doc) -> tuple[str, str, list[str]]:
    """Return a beam's room, its row and the keys of its pieces, as `Beam.from_doc` has them;
    raises `NotAllowed`."""
    with _reading(row):
        keys = form_of(doc.get("form", USUAL)).pieces
        return (
            checked_name(doc["room"], "room"),
            row,
            [key for key in KIND_OF if key in keys and key in doc["pieces"]],
        )


AsTicked = Callable[[str, str, datetime], tuple[Tables, Beam] | None]
"""By piece, step and time: the tables and the beam as they were then, None where unknown."""


def nothing_known(_piece: str, _step: str, _when: datetime) -> tuple[Tables, Beam] | None:
    """Nothing: a beam that was read without its record's history."""
    return None


def _rough(text: object) -> Fraction:
    """A rough length; raises `NotAllowed`."""
    found = fraction(text, "rough length")
    if not SHORTEST_RUN <= found <= LONGEST_RUN:
        raise NotAllowed(
            "A beam of {found} in is hard to believe; from {least} in to {most} in are taken.",
            found=found,
            least=SHORTEST_RUN,
            most=LONGEST_RUN,
        )
    return found


def section_to_doc(section: Section) -> Doc:
    """A section as JSON, exact."""
    return {key: str(value) for key, value in section._asdict().items()}


def section_from_doc(doc: Doc) -> Section:
    """The section that `section_to_doc` wrote; raises `NotAllowed` or `BadInput`."""
    known = {name: name not in Section._field_defaults for name in Section._fields}
    if not isinstance(doc, dict):
        raise NotAllowed(f"A section is an object with {', '.join(known)}, not {brief(doc)}.")
    if unknown := sorted(set(doc) - set(known)):
        raise NotAllowed(f"A section has no {brief(unknown[0])}; it has {', '.join(known)}.")
    if lacking := [name for name, needed in known.items() if needed and name not in doc]:
        raise NotAllowed(f"A section needs its {' and '.join(lacking)}.")
    if all(isinstance(value, str) for value in doc.values()):
        return _section(tuple(doc.items()), comes_in())
    return Section(**{key: fraction(value, key) for key, value in doc.items()})


@lru_cache(maxsize=64)
def _section(lengths: tuple[tuple[str, str], ...], _comes_in: bool) -> Section:
    """A section that many beams of a job share is looked at once, and again as it comes in."""
    return Section(**{key: fraction(value, key) for key, value in lengths})
