"""A beam: its section, its ends' names and its pieces."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from crewdesk.job.change import Doc
from crewdesk.job.piece import KIND_OF, PARTNER, Piece
from crewdesk.job.readings import fraction
from crewdesk.job.refused import Refused, said
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.refusal import Refusal

CEILINGS = ("flat", "sloped")
LONGEST_NAME = 80
LONGEST_NOTE = 2000


@dataclass(frozen=True)
class Beam:
    """One beam; `ends` names the walls at end 1 and end 2."""

    row: str
    name: str
    room: str
    section: Section
    ends: tuple[str, str]
    ceiling: str
    pieces: Mapping[str, Piece]
    note: str = ""

    @property
    def label(self) -> str:
        """Room and name together, as the beam is told."""
        return f"{self.room} {self.name}".strip()

    def piece(self, key: str) -> Piece:
        """The piece of that key; raises `Refused`."""
        if key not in self.pieces:
            raise Refused(f"{self.label} has no piece {key}; it has {', '.join(self.pieces)}.")
        return self.pieces[key]

    def among(self, who: str, piece: Piece) -> Iterator[Piece]:
        """The pieces that a need of `piece` speaks of: its partner, the sides, ..."""
        if who == "partner":
            if (partner := self.pieces.get(PARTNER.get(piece.key, ""))) is not None:
                yield partner
            return
        kind = "side" if who == "sides" else who
        yield from (one for one in self.pieces.values() if one.kind == kind)

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Beam":
        """The beam as it stands in the record; raises `Refused`."""
        try:
            pieces = {key: Piece.from_doc(key, one) for key, one in doc["pieces"].items()}
            end1, end2 = doc["ends"]
            if doc["ceiling"] not in CEILINGS:
                raise Refused(f"A ceiling is {' or '.join(CEILINGS)}, not {doc['ceiling']!r}.")
            return Beam(
                row,
                checked_name(doc["name"], "beam"),
                checked_name(doc["room"], "room"),
                section_from_doc(doc["section"]),
                (str(end1), str(end2)),
                doc["ceiling"],
                {key: pieces[key] for key in KIND_OF if key in pieces},
                checked_note(doc.get("note", "")),
            )
        except (KeyError, TypeError, AttributeError, ValueError) as error:
            if isinstance(error, Refusal):
                raise Refused(said(error)) from None
            raise Refused(f"Beam {row} of the record is not whole: {error!r}.") from None


def section_to_doc(section: Section) -> Doc:
    """A section as JSON, exact."""
    return {key: str(value) for key, value in vars(section).items()}


def section_from_doc(doc: Doc) -> Section:
    """The section that `section_to_doc` wrote; raises `Refused` or `Refusal`."""
    known = {one.name for one in fields(Section)}
    if unknown := sorted(set(doc) - known):
        raise Refused(f"A section has no {unknown[0]}; it has {', '.join(sorted(known))}.")
    return Section(**{key: fraction(value, key) for key, value in doc.items()})


def checked_name(text: Any, what: str) -> str:
    """A name of one line, trimmed; raises `Refused` where it is empty or too long."""
    name = " ".join(str(text).split())
    if not name:
        raise Refused(f"A {what} needs a name; nothing was changed.")
    if len(name) > LONGEST_NAME:
        raise Refused(
            f"That name of a {what} has {len(name)} characters; the most is {LONGEST_NAME}, "
            "nothing was changed."
        )
    return name


def checked_note(text: Any) -> str:
    """A note, trimmed; raises `Refused` where it is too long."""
    note = str(text).strip()
    if len(note) > LONGEST_NOTE:
        raise Refused(
            f"That note has {len(note)} characters; the most is {LONGEST_NOTE}, "
            "nothing was changed."
        )
    return note
