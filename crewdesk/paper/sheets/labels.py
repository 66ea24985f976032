"""Labels for the pieces: one is stuck on the back of each board, where it never shows.

It shows the piece, its beam, which way is up and which end is which, as seen from the back, and the
next stage. The back of side A has end 2 at its left, since its show face has end 1 there; that of
side B has end 1. A bottom board's back is its upper face: with edge A away from one, end 2 is at
the left. A top board's back is its lower face: end 1 is.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.bottoms import reads_as_one
from crewdesk.job.cuts.changed_cuts import held_cuts, shown_marks
from crewdesk.job.cuts.dry_fits import beam_as_cut, is_cut
from crewdesk.job.cuts.mark import Mark
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import Marks, marks
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import next_stage
from crewdesk.job.steps.stages import Stages
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.pages import Pages
from crewdesk.paper.sheets.pen import BLACK, INCH, MM, PAPERS, PaperSize, lead
from crewdesk.paper.text.mark_text import figure_of
from crewdesk.trade.cuts.side_board import End


@dataclass(frozen=True)
class LabelSheet:
    """Labels of `width` by `height` in `columns` and `rows`, from `left` and `top` on, each
    `across` and `down` from the one before; all in points."""

    paper: PaperSize
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    across: float
    down: float
    told: str

    @property
    def count(self) -> int:
        """The number of labels on a sheet."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """Return the top left corner of a label, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.across, self.top + row * self.down


Pair = tuple[float, float]


def _sheet(
    paper: str,
    unit: float,
    count: tuple[int, int],
    size: Pair,
    corner: Pair,
    pitch: Pair,
    told: str,
) -> LabelSheet:
    """Return a sheet from its columns and rows, a label's size, the first one's corner and the
    distance to the next, in inches or millimeters."""
    width, height, left, top, across, down = (one * unit for one in (*size, *corner, *pitch))
    return LabelSheet(PAPERS[paper], *count, width, height, left, top, across, down, told)


_US, _ISO = ("letter", INCH), ("A4", MM)
_SHEETS = (
    _sheet(*_US, (3, 10), (2.625, 1), (0.1875, 0.5), (2.75, 1), "2-5/8 x 1 in"),
    _sheet(*_US, (2, 10), (4, 1), (0.15625, 0.5), (4.1875, 1), "4 x 1 in"),
    _sheet(*_US, (2, 7), (4, 4 / 3), (0.15625, 5 / 6), (4.1875, 4 / 3), "4 x 1-1/3 in"),
    _sheet(*_US, (2, 5), (4, 2), (0.15625, 0.5), (4.1875, 2), "4 x 2 in"),
    _sheet(*_US, (2, 3), (4, 10 / 3), (0.15625, 0.5), (4.1875, 10 / 3), "4 x 3-1/3 in"),
    _sheet(*_ISO, (3, 7), (63.5, 38.1), (7.21, 15.15), (66.04, 38.1), "63.5 x 38.1 mm"),
    _sheet(*_ISO, (3, 8), (70, 37), (0, 0.5), (70, 37), "70 x 37 mm"),
    _sheet(*_ISO, (2, 7), (99.1, 38.1), (4.63, 15.15), (101.64, 38.1), "99.1 x 38.1 mm"),
    _sheet(*_ISO, (2, 4), (99.1, 67.7), (4.63, 13.1), (101.64, 67.7), "99.1 x 67.7 mm"),
)
LABEL_SHEETS = {
    name: {str(sheet.count): sheet for sheet in _SHEETS if sheet.paper.name == name}
    for name in PAPERS
}
"""Label sheets by the paper's name and the count of labels; the first of each is the usual one."""


MARKS = {"A": "A", "B": "B", "bottom": "BOT", "top": "TOP", "cleats": "CL"}
"""The short mark of a piece, in its label's largest letters."""
TO_CEILING = "up, to the ceiling"
UP = {
    "A": "top edge up",
    "B": "top edge up",
    "bottom": "arrow to side A",
    "top": "arrow to side A",
    "cleats": "either way up",
}
"""The direction of the label's arrow, except for a side whose top edge meets the ceiling."""
BACK = {"A": "back", "B": "back", "bottom": "back up", "top": "back down"}
"""The position of the labeled face once the beam is up."""
LEFT: dict[str, End] = {"A": 2, "B": 1, "bottom": 2, "top": 1, "cleats": 1}
"""The end at the left, seen from the back of a piece."""
_LENGTHS = ("bottom_length", "edge_a", "edge_b")
_MITERED = ("bottom_edge", "top_edge")
_REACHED = 12.0
"""The margin that every printer can print in on a borderless label sheet (common practice)."""
_EDGE, _LARGEST, _READ_WELL, _LEAST = 5.0, 24.0, 7.0, 5.5


@dataclass(frozen=True)
class Label:
    """The content of one label."""

    mark: str
    beam: str
    piece: str
    up: str
    left: str
    right: str
    stage: str


def labels(record: Record, beams: Sequence[Beam]) -> Iterator[Label]:
    """Return a label for each piece; two for the cleats, one for either side, or for the wall along
    a beam with one side."""
    for beam in beams:
        for key, piece in beam.pieces.items():
            if key == "cleats":
                sides = [key for key, one in beam.pieces.items() if one.kind == "side"]
                for on in (*sides, "wall")[:2]:
                    yield _label(record.stages, beam, piece, _cleat_line(record, beam, piece, on))
            else:
                yield _label(record.stages, beam, piece, _piece_line(record, beam, piece))


def _marks_of(beam: Beam, piece: Piece) -> dict[str, tuple[Mark, str]]:
    """Return a piece's marks by id, each with the reason it is kept; as cut if it is cut to length.
    None if its readings make no board."""
    built = beam_as_cut(beam) if is_cut(piece) else beam
    shown = _by_id(beam, piece, shown_marks).items()
    reasons = {id_: "" if mark.held else mark.kept for id_, mark in shown}
    return {id_: (mark, reasons.get(id_, "")) for id_, mark in _by_id(built, piece, marks).items()}


def _by_id(beam: Beam, piece: Piece, made_by: Callable[..., Marks]) -> dict[str, Mark]:
    try:
        made = made_by(beam, beam.pieces[piece.key], projection=beam.habits.cleat)
        return {mark.id: mark for mark in mark_list(made, piece.key)}
    except BadInput:
        return {}


def _shown(mark: Mark, reason: str, record: Record) -> str:
    """Return a length, noted as cut if today's differs, and the `reason` it was kept for."""
    figure = figure_of(mark, record.job.step)
    if reason:
        return f"{figure} as cut, kept: {plain(reason)}"
    return f"{figure} as cut" if mark.kept else figure


def _held(beam: Beam, piece: Piece) -> list[str]:
    """Return a piece's first cut that needs an answer, in a few words."""
    every = (one for one in held_cuts(beam) if one.spot.piece == piece.key)
    return [f"held: {plain(one.brief)}" for one in every][:1]


def _piece_line(record: Record, beam: Beam, piece: Piece) -> str:
    """Return a piece's line: name, position, mitered edges, stock if kept and unlike the section's,
    and length if known; each edge's length if the ends slant; or that a bottom's edge B must be
    measured first."""
    words = [f"{piece.name}, {BACK[piece.key]}"]
    every = _marks_of(beam, piece)
    mitered = [id_ for id_ in _MITERED if id_ in every and every[id_][0].deg is not None]
    if mitered:
        words.append("both edges mitered" if len(mitered) > 1 else "bottom edge mitered")
    if "thickness" in every:
        words.append(f"stock {figure_of(every['thickness'][0], record.job.step)}")
    asks = reads_as_one(beam, piece) and not is_cut(piece)
    if asks:
        words.append("measure edge B too")
    for id_ in () if asks else _LENGTHS:
        if id_ in every:
            mark, reason = every[id_]
            named = f"{mark.name} " if mark.name.startswith("edge ") else ""
            words.append(f"{named}{_shown(mark, reason, record)}")
    return ", ".join((*words, *_held(beam, piece)))


def _cleat_line(record: Record, beam: Beam, piece: Piece, on: str) -> str:
    """Return where a cleat goes and its length, if known."""
    where = "cleat on the wall" if on == "wall" else f"cleat on side {on}"
    words = [where]
    if (found := _marks_of(beam, piece).get(f"length_{on}")) is not None:
        words.append(_shown(*found, record))
    return ", ".join((*words, *_held(beam, piece)))


def _label(stages: Stages, beam: Beam, piece: Piece, told: str) -> Label:
    left = LEFT[piece.key]
    right: End = 1 if left == 2 else 2
    return Label(
        MARKS[piece.key],
        plain(beam.label),
        told,
        TO_CEILING if piece.kind == "side" and "ceiling" in piece.traits else UP[piece.key],
        _end(beam, left),
        _end(beam, right),
        _stage(stages, beam, piece),
    )


def _end(beam: Beam, end: End) -> str:
    """Return an end by its number, since a long name may be cut off, and its wall's name."""
    return f"end {end} {plain(beam.ends[end - 1])}".rstrip()


def _stage(stages: Stages, beam: Beam, piece: Piece) -> str:
    """Return the stage of the piece's next step."""
    stage = next_stage(stages, beam, piece)
    return "all done" if stage is None else f"next: {plain(stage.name)}"


def draw_labels(
    pages: Pages, record: Record, beams: Sequence[Beam], sheet: LabelSheet, first: int
) -> None:
    """Draw every label, from place `first` of the first sheet on, counted from 1."""
    place = first - 1
    job = plain(record.job.name)
    for one in labels(record, beams):
        one = replace(one, stage=f"{one.stage} · {job}")
        if place % sheet.count == 0 or pages.pdf.page_no() == 0:
            pages.turn_bare()
        x, y = sheet.corner(place % sheet.count)
        _draw(pages, one, x, y, sheet)
        place += 1


def _draw(pages: Pages, one: Label, x: float, y: float, sheet: LabelSheet) -> None:
    """Draw a label: mark and arrow at the left; beside them beam, piece, position and stage, a line
    each; the ends' names along the lower edge."""
    left, top = max(x + _EDGE, _REACHED), max(y + _EDGE, _REACHED)
    right = min(x + sheet.width - _EDGE, sheet.paper.width - _REACHED)
    foot = min(y + sheet.height - _EDGE, sheet.paper.height - _REACHED)
    line = (foot - top) / 5
    size = max(_LEAST, min(line / 1.16, _LARGEST))
    mark: float = min(1.9 * line, 0.62 * sheet.width / len(one.mark), 2.6 * _LARGEST)
    wide = max(pages.width_of(one.mark, mark, True), 16.0)
    pages.write(left, top - 0.1 * mark, one.mark, mark, bold=True)
    if one.mark != MARKS["cleats"]:
        _arrow(pages, left + 8, top + 1.02 * mark, foot - line - 2)
    start, room = left + wide + 8, right - left - wide - 8
    texts = ((one.beam, True), (one.piece, False), (one.up, True), (one.stage, False))
    rows = [
        (text, bold)
        for whole, bold in texts
        for text in (_split(pages, whole, room) if whole is one.piece else [whole])
    ]
    each = 4 * line / len(rows)
    for at, (text, bold) in enumerate(rows):
        fits = pages.size_for(text, min(size, each / 1.16), room, _LEAST, bold=bold)
        pages.write(start, top + at * each, text, fits, bold=bold, room=room)
    half = (right - left) / 2 - 3
    for name, edge, align in ((one.left, left, "L"), (one.right, right, "R")):
        inside = half - 1.3 * _END_ARROW
        fits = pages.size_for(name, size, inside, _LEAST)
        shown = pages.fitted(name, fits, inside)
        way = 1 if align == "L" else -1
        at_y = foot - line + (line - lead(fits)) / 2
        pages.write(edge + way * _END_ARROW * 1.3, at_y, shown, fits, align=align)
        _end_arrow(pages, edge, at_y + 0.62 * fits, way)


_ROWS = 3


def _split(pages: Pages, text: str, room: float) -> list[str]:
    """Return a line of a label, broken after commas into up to `_ROWS` if needed."""
    first, *parts = text.split(", ")
    lines = [first]
    for part in parts:
        longer = f"{lines[-1]}, {part}"
        if pages.width_of(longer, _READ_WELL) <= room or len(lines) == _ROWS:
            lines[-1] = longer
        else:
            lines[-1] += ","
            lines.append(part)
    return lines


_END_ARROW = 9.0
"""The length of an arrow to an end, in points."""


def _end_arrow(pages: Pages, edge: float, y: float, way: int) -> None:
    """Draw an arrow from a name to the board's end at `edge`; `way` is the direction from the edge
    inward."""
    pages.line((edge + way * _END_ARROW, y), (edge + way * 4, y), thick=1.4)
    head = ((edge, y), (edge + way * 5, y - 2.6), (edge + way * 5, y + 2.6))
    pages.shape(head, fill=BLACK, thick=0)


def _arrow(pages: Pages, x: float, top: float, foot: float) -> None:
    """Draw an arrow that points up."""
    if foot - top < 8:
        return
    pages.line((x, foot), (x, top + 5), thick=2)
    pages.shape(((x, top), (x + 5, top + 7), (x - 5, top + 7)), fill=BLACK, thick=0)
