"""What is printed to be taped to the saw, read as a user reads it: words and numbers alone.

A cut sheet has a page for each beam, and batch sheets the machine's setting for each cut
with the pieces that it is for. Both are read from the text that pypdf finds in the PDF.
"""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from pypdf import PdfReader

from tests.dry_fit.shown import shown_length

LENGTH = r"-?(?:\d+(?: \d+/\d+)?|\d+/\d+)[+-]?(?: in| mm)"
ANGLE = r"(\d+(?: \d+/\d+)?(?:\.\d+)?|\d+/\d+)°"
_NOTED = re.compile(r"What was noted: Room (\d+).*")
_NOTE = re.compile(r"- (side A|side B|bottom|top|cleats): (.*)")
_BEAM = re.compile(r"Room (\d+)")
_BOARDS = {
    "Side A": re.compile(r"Side A show face up, top edge away from you"),
    "Side B": re.compile(r"Side B show face up, top edge away from you"),
    "bottom": re.compile(r"Bottom show face up, edge A away from you"),
    "top": re.compile(r"Top outer face up, edge A away from you"),
    "cleats": re.compile(r"Cleats "),
}
_MACHINE = re.compile(
    r"(?:\d+ {1,2})?(Table saw|Miter saw|Hand saw or jig|Saw stop|Scriber|Marking gauge|Nailer)"
    r" (.*)"
)
_PIECES = re.compile(
    r"((?:(?:side A|side B|bottom|top|cleats) (?:\d[\d /+-]*(?:in|mm) )?)+)Room (\d+)"
)
_NEXT = re.compile(rf"Pass \d+: |\d+ {{1,2}}[A-Z!]|\d+ pieces?\b|Cautions: |{_MACHINE.pattern}")
_OF_PAGE = re.compile(r"\d+ of \d+")


class PrintedBeam(NamedTuple):
    """A beam's page: all of it, and each board's part of it, as one text each."""

    text: str
    boards: dict[str, str]


class Pass(NamedTuple):
    """One setting of a machine and the pieces under it: its title, the machine, the setting,
    what is said of it, and (piece, beam) for each."""

    title: str
    machine: str
    setting: str
    said: str
    pieces: tuple[tuple[str, str], ...]

    def angle(self, name: str) -> float:
        """An angle of the setting in degrees, 0 where the blade is square."""
        found = re.search(rf"{name} {ANGLE}", self.setting)
        if found is None:
            assert name == "tilt"
            assert "blade square" in self.setting, self
            return 0.0
        return angle_of(found[1])

    def length(self, name: str) -> float | None:
        """A length of the setting in inches, None where it is not there."""
        found = re.search(rf"{name} ({LENGTH})", self.setting)
        return None if found is None else float(shown_length(found[1]))

    def flat(self) -> float | None:
        """What is said to be left flat at the show face, in inches."""
        found = re.search(rf"Leaves ({LENGTH}) flat at the show face", self.said)
        return None if found is None else float(shown_length(found[1]))


def angle_of(text: str) -> float:
    """An angle as it is printed: ``22 1/2``, ``33.69``."""
    parts = (part.partition("/") for part in text.split())
    return sum(float(top) / float(below or 1) for top, _, below in parts)


def pages(path: Path) -> list[list[str]]:
    """The lines of every page."""
    return [page.extract_text().splitlines() for page in PdfReader(path).pages]


def cut_pages(every: Iterable[list[str]]) -> dict[str, PrintedBeam]:
    """The cut sheet's pages by the beam's name, with what was noted of its boards.

    Notes that a beam's page has no room for come on one of their own, which may go on.
    """
    found: dict[str, PrintedBeam] = {}
    name, in_notes = "", False
    for lines in every:
        if not lines or not lines[0].startswith("Cut list"):
            continue
        for at, line in enumerate(lines):
            if m := _BEAM.fullmatch(line):
                name, in_notes = m[1], False
                found[name] = PrintedBeam("\n".join(lines), dict(_boards_of(lines)))
            elif m := _NOTED.fullmatch(line):
                name, in_notes = m[1], True
            elif in_notes and (m := _NOTE.match(line)):
                boards = found[name].boards
                said = [m[2]]
                for more in lines[at + 1 :]:
                    if _NOTE.match(more) or _NOTED.fullmatch(more):
                        break
                    said.append(more)
                boards[m[1].replace("side", "Side")] += " " + " ".join(said)
    return found


def _boards_of(lines: list[str]) -> Iterator[tuple[str, str]]:
    heads = [
        (at, name)
        for at, line in enumerate(lines)
        for name, head in _BOARDS.items()
        if head.match(line)
    ]
    for (at, name), (end, _) in zip(heads, [*heads[1:], (len(lines), "")], strict=True):
        yield name, " ".join(lines[at:end])


def marked(text: str, label: str) -> float | None:
    """The length behind a label in a board's part of the page, in inches."""
    found = re.search(rf"{label} ({LENGTH})", text)
    return None if found is None else float(shown_length(found[1]))


def passes(every: Iterable[list[str]]) -> list[Pass]:
    """The batch sheets' passes, in their order; what is split over pages is one list."""
    lines = [
        line
        for page in every
        if page and page[0].startswith("Batches:")
        for line in page[3:]
        if not _OF_PAGE.fullmatch(line)
    ]
    found: list[Pass] = []
    title, at = "", 0
    for_all: list[str] = []
    under: dict[str, list[str]] = {}
    while at < len(lines):
        line = lines[at]
        at += 1
        if re.match(r"Pass \d+: ", line):
            title = line
            at = _sentences(lines, at, under.setdefault(title, []))
        elif re.match(r"\d+ pieces?\b", line):
            title, for_all, under = lines[at - 2], [], {}
            at = _sentences(lines, at, for_all)
        elif m := _MACHINE.fullmatch(line):
            told, pieces = [m[2]], []
            while at < len(lines) and not _PIECES.fullmatch(lines[at]):
                told.append(lines[at])
                at += 1
            # What is said of single boards stands between their rows.
            while at < len(lines) and not _NEXT.match(lines[at]):
                if p := _PIECES.fullmatch(lines[at]):
                    names = re.findall(r"side A|side B|bottom|top|cleats", p[1])
                    pieces += [(name, p[2]) for name in names]
                at += 1
            setting, said = _split(told)
            said = " ".join([*for_all, *under.get(title, []), said])
            found.append(Pass(title, m[1], setting, said, tuple(pieces)))
    return found


def _sentences(lines: list[str], at: int, found: list[str]) -> int:
    """Add what is said once for all that follows, up to the first setting or pass; return where
    that is."""
    while at < len(lines) and not _NEXT.match(lines[at]) and not _PIECES.fullmatch(lines[at]):
        found.append(lines[at])
        at += 1
    return at


def _split(told: list[str]) -> tuple[str, str]:
    """The setting, which may go on in the second line, and the sentences below it."""
    if len(told) > 1 and re.match(r"(stop|fence) ", told[1]):
        return " ".join(told[:2]), " ".join(told[2:])
    return told[0], " ".join(told[1:])
