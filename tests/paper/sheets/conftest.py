"""Reads a printed PDF with pypdf: on each page its texts with their places, and its lines."""

import io
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from crewdesk.job.record import Record
from crewdesk.paper.sheets.parts import Printing, printed

SAMPLE = Path(__file__).parents[3] / "sample_data" / "tamarack-bend.json"
NOW = datetime.fromisoformat("2026-03-06T16:00:00-07:00")
DAY = date(2026, 3, 6)
GREYS, STROKES = {b"g", b"G"}, {b"S", b"B", b"f"}


@dataclass(frozen=True)
class Written:
    """A text with its start, in points from the lower left corner, its size, and its shade
    from 0, black, to 1, white."""

    text: str
    x: float
    y: float
    size: float
    bold: bool
    shade: float = 0.0


@dataclass
class Read:
    """A page: `shapes` are (corners, how they were drawn: S, B or f); `operators` all of
    what the page's drawing is made of."""

    wide: float
    high: float
    written: list[Written] = field(default_factory=list)
    shapes: list[tuple[list[tuple[float, float]], str]] = field(default_factory=list)
    operators: set[bytes] = field(default_factory=set)
    shades: set[float] = field(default_factory=set)

    @property
    def texts(self) -> list[str]:
        """Its texts, in the order in which they were written."""
        return [one.text for one in self.written]


def read(data: bytes) -> list[Read]:
    """Every page of a PDF."""
    pages = []
    for page in PdfReader(io.BytesIO(data)).pages:
        made = Read(float(page.mediabox.width), float(page.mediabox.height))
        x = y = size = 0.0
        bold, shade = False, 0.0
        fonts = page["/Resources"]["/Font"]
        corners: list[tuple[float, float]] = []
        for operands, operator in page.get_contents().operations:
            made.operators.add(operator)
            if operator == b"Tf":
                size = float(operands[1])
                bold = "Bold" in fonts[operands[0]]["/BaseFont"]
            elif operator == b"Td":
                x, y = map(float, operands)
            elif operator == b"Tj":
                made.written.append(Written(str(operands[0]), x, y, size, bold, shade))
            elif operator in (b"m", b"l"):
                if operator == b"m":
                    corners = []
                corners.append((float(operands[0]), float(operands[1])))
            elif operator in STROKES:
                made.shapes.append((corners, operator.decode()))
            elif operator in GREYS:
                made.shades.add(float(operands[0]))
                shade = float(operands[0]) if operator == b"g" else shade
        pages.append(made)
    return pages


@pytest.fixture(scope="session")
def read_pdf() -> Callable[[bytes], list[Read]]:
    return read


@pytest.fixture(scope="session")
def sample() -> Record:
    """The sample job."""
    document = json.loads(SAMPLE.read_text())
    return Record({"job": {"1": document["job"]}, "beams": document["beams"]})


@pytest.fixture(scope="session")
def print_it() -> Callable[..., bytes]:
    """Prints parts of a job, on the day of the sample's last work unless told."""

    def make(record: Record, *parts: str, **more: object) -> bytes:
        return printed(record, Printing(parts=parts, **{"day": DAY, **more}), NOW)[0]

    return make


@pytest.fixture(scope="session")
def whole(sample: Record, print_it: Callable[..., bytes]) -> list[Read]:
    """All of the sample job on letter paper."""
    return read(print_it(sample, "everything"))
