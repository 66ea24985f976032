"""The printable parts and papers, combined in one PDF; the day's progress sheet for the builder is
drawn here."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.run_sheet import Batch, Cell, RunSheet, Total, done_on
from crewdesk.job.sync.contradictions import done_early
from crewdesk.job.text_limits import quoted
from crewdesk.job.time.today import today
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.batch_pages import (
    DECORATIVE_FOOT,
    DRAWN_FOOT,
    FEET,
    draw_batch_pages,
    draw_caution_pages,
)
from crewdesk.paper.sheets.cut_pages import draw_cut_pages
from crewdesk.paper.sheets.labels import LABEL_SHEETS, LabelSheet, draw_labels
from crewdesk.paper.sheets.pages import Pages, Strip, gap, lines_strip, put_list
from crewdesk.paper.sheets.pen import BLACK, GREY, PAPERS, TYPE, PaperSize, lead
from crewdesk.paper.sheets.readings_form import draw_readings_form, needs_readings
from crewdesk.paper.sheets.yard_pages import draw_yard_pages
from crewdesk.paper.text.exceptions_report import (
    blocked,
    gap_line,
    held,
    kept,
    noted,
    overridden,
    skipped,
    waived_lines,
)
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine

_NAME, _BAR, _BOX, _SHADE = 150.0, 12.0, 13.0, 110
_LEAST_COLUMN = 44.0
"""The least points for a stage's name over its column; narrower columns show its number."""
_MOST_COLUMNS = 30
_MOST_PLANNED = 5


def draw_progress_pages(pages: Pages, record: Record, day: date, zone: tzinfo | None) -> None:
    """Draw the job's progress, what was done on the day, and what is blocked and why, beam by beam;
    `zone` is the business's time zone, as in `done_on`."""
    sheet = RunSheet(record)
    _put_totals(pages, record, sheet)
    _put_day(pages, record, day, zone)
    _put_beams(pages, record, sheet)
    _put_noted(pages, record)
    _put_planned(pages, record, day)
    pages.put([_signed()])


def _put_totals(pages: Pages, record: Record, sheet: RunSheet) -> None:
    total = sheet.total()
    share = f", {100 * total.behind // total.steps}%" if total.steps else ""
    left_out = " or skipped" if skipped(noted(record, record.beams)) else ""
    text = f"{total.behind} of {total.steps} steps are done{left_out}{share}"
    pages.put([lines_strip(pages, text, TYPE.head, bold=True), gap(4)])
    for number, (stage, of) in enumerate(zip(record.stages, sheet.totals(), strict=True), 1):
        pages.put([_bar(f"{number}  {stage.name}", of)])
    pages.put([gap(8)])


def _bar(name: str, of: Total) -> Strip:
    def draw(pages: Pages, y: float) -> None:
        size = TYPE.word
        count = f"{of.behind} of {of.steps}"
        end = pages.right - 90
        start = pages.left + _NAME
        pages.write(pages.left, y, name, size, room=_NAME - 8)
        if of.steps:
            done = (end - start) * of.behind / of.steps
            pages.block(start, y + 2, done, _BAR, thick=0, fill=_SHADE)
        pages.block(start, y + 2, end - start, _BAR, thick=0.9)
        pages.write(pages.right, y, count, size, align="R")

    return Strip(lead(TYPE.word) + 2, draw)


def _put_day(pages: Pages, record: Record, day: date, zone: tzinfo | None) -> None:
    done = done_on(record, day, zone)
    head = f"Done on {day:%A}, {day_text(day)}"
    if not done:
        put_list(pages, head, ["nothing was checked off on this day"], first="")
        return
    put_list(pages, head, [_done_told(record, one) for one in done], first="-")


def _done_told(record: Record, batch: Batch) -> str:
    pieces: dict[str, list[str]] = {}
    for spot in batch.spots:
        beam = record.beam(spot.beam)
        pieces.setdefault(beam.label, []).append(beam.piece(spot.piece).name)
    where = "; ".join(f"{label} {', '.join(names)}" for label, names in pieces.items())
    return plain(f"{batch.step.name}: {where}")


def _put_noted(pages: Pages, record: Record) -> None:
    every = list(noted(record, record.beams))
    for head, some in (
        ("Held until answered", held(every)),
        ("Blocked", blocked(every)),
        ("Skipped", skipped(every)),
        ("Done early", overridden(every)),
        ("Kept as cut", kept(every)),
    ):
        if some:
            put_list(pages, head, [one.line for one in some], first="!")
    if early := [plain(one) for beam in record.beams for one in done_early(record, beam)]:
        put_list(pages, "Done too early", early, first="!")
    if waived := waived_lines(record):
        put_list(pages, "Needs dropped", waived, first="!")
    gaps = [
        f"{plain(beam.label)} {piece.name}, {gap_line(one, record.job.step)}"
        for beam in record.beams
        for piece in beam.pieces.values()
        for one in piece.gaps
    ]
    if gaps:
        put_list(pages, "Gaps found", gaps, first="-")


def _put_planned(pages: Pages, record: Record, day: date) -> None:
    ahead = [one for one in record.job.planned if one.day > day][:_MOST_PLANNED]
    if ahead:
        lines = [plain(f"{one.day:%A}, {day_text(one.day)}  {one.note}") for one in ahead]
        put_list(pages, "Planned next", lines, first="-")


def _put_beams(pages: Pages, record: Record, sheet: RunSheet) -> None:
    """Draw beams down, stages across: a box that fills as steps are done."""
    stages = list(record.stages)[:_MOST_COLUMNS]
    each = (pages.wide - _NAME - 20) / len(stages)
    names = [plain(stage.name) for stage in stages]
    if each < _LEAST_COLUMN:
        names = [str(number) for number in range(1, len(stages) + 1)]
    title = lines_strip(pages, "Beam by beam", TYPE.mark, bold=True)
    rows = [
        _beam_row(plain(beam.label), list(sheet.cells(beam).values()), len(stages), each)
        for beam in record.beams
    ]
    if not rows:
        return
    head = _heads(names, each)
    text = "full: done, part: begun, empty: to do, cross: blocked, bar: skipped, no box: no work"
    if len(stages) < len(record.stages.stages):
        text += f"; the first {len(stages)} stages of {len(record.stages.stages)}"
    legend = lines_strip(pages, text, TYPE.small)
    pages.put([title, legend, head, rows[0]])
    for row in rows[1:]:
        if row.height > pages.room:
            pages.turn()
            pages.put([head])
        pages.put([row])
    pages.put([gap(8)])


def _heads(names: Sequence[str], each: float) -> Strip:
    def draw(pages: Pages, y: float) -> None:
        for at, name in enumerate(names):
            x = pages.left + _NAME + 20 + at * each
            pages.write(x, y, name, TYPE.small, bold=True, room=each - 6)

    return Strip(lead(TYPE.small) + 2, draw)


def _beam_row(name: str, pieces: Sequence[Sequence[Cell]], stages: int, each: float) -> Strip:
    side = min(_BOX, each - 3)

    def draw(pages: Pages, y: float) -> None:
        pages.write(pages.left, y, name, TYPE.word, room=_NAME + 12)
        for at in range(stages):
            cells = [cells[at] for cells in pieces if cells[at].state != "none"]
            if cells:
                _stage_box(pages, pages.left + _NAME + 20 + at * each, y + 2, side, cells)

    return Strip(_BOX + 6, draw)


def _stage_box(pages: Pages, x: float, y: float, side: float, cells: Sequence[Cell]) -> None:
    """Draw a beam's progress in a stage, and whether a piece is blocked or skipped there."""
    behind, steps = sum(c.behind for c in cells), sum(c.steps for c in cells)
    states = [cell.state for cell in cells]
    pages.block(x, y, side * behind / steps, side, thick=0, fill=_SHADE)
    pages.block(x, y, side, side, thick=0.9)
    if "blocked" in states:
        pages.line((x, y), (x + side, y + side), thick=1.6)
        pages.line((x, y + side), (x + side, y), thick=1.6)
    elif "skipped" in states:
        pages.line((x, y + side / 2), (x + side, y + side / 2), thick=2)


def _signed() -> Strip:
    """Return lines for a name and a date."""

    def draw(pages: Pages, y: float) -> None:
        foot = y + 34
        half = pages.left + 0.62 * pages.wide
        pages.line((pages.left, foot), (half - 12, foot), thick=0.7, grey=BLACK)
        pages.line((half, foot), (pages.right, foot), thick=0.7, grey=BLACK)
        pages.write(pages.left, foot + 2, "Seen by", TYPE.small, grey=GREY)
        pages.write(half, foot + 2, "Date", TYPE.small, grey=GREY)

    return Strip(36 + lead(TYPE.small), draw)


PARTS = {
    "cuts": "Cut list",
    "batches": "Batches",
    "readings": "Readings",
    "progress": "Progress",
    "cautions": "Cautions",
    "yard": "Yard list",
    "labels": "Labels",
}
"""The head of each part, by its name."""
EVERYTHING = "everything"
"""The name for everything on plain paper, finished work included."""
WHOLE = ("cuts", "batches", "readings", "progress", "cautions")
"""Everything on plain paper; labels have their own sheets."""
TO_DO = ("batches", "cuts", "readings", "cautions")
"""The parts printed by default, each with unfinished work only."""
OF_BEAMS = ("cuts", "readings")
"""The default parts for chosen beams."""


@dataclass(frozen=True)
class Printing:
    """A print job: `parts` in any order, of `beams` (none: all), on `paper`; `labels` from the
    place `first` of the first sheet on; `batches` (None: all that are ready), set on the shop's
    `machine`; what was done on `day`, with the job's progress. Days are in the business's time
    zone, `zone`; None for the zone of each moment. `packs` are the shop's prices of supplies."""

    day: date
    paper: PaperSize = PAPERS["letter"]
    parts: Sequence[str] = ()
    beams: Sequence[Beam] = ()
    labels: LabelSheet | None = None
    first: int = 1
    batches: Sequence[Batch] | None = None
    machine: ShopMachine = USUAL_MACHINE
    zone: tzinfo | None = None
    packs: Mapping[str, Decimal] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for part in self.parts:
            if part not in (*PARTS, EVERYTHING):
                known = _known((*PARTS, EVERYTHING))
                raise NotAllowed(f"There is no part {quoted(part)} to print. {known}.")
        if "labels" in self.parts and len(set(self.parts)) > 1:
            raise NotAllowed("Labels go on their own sheets. Print them by themselves.")
        if not 1 <= self.first <= self.sheet.count:
            raise NotAllowed(
                f"A sheet of these labels has {self.sheet.count}. Start with 1 to "
                f"{self.sheet.count}, not with {self.first}."
            )

    @property
    def sheet(self) -> LabelSheet:
        """The sheet of labels; the paper's usual one by default."""
        return self.labels or next(iter(LABEL_SHEETS[self.paper.name].values()))


def paper_named(name: str) -> PaperSize:
    """Return the paper of that name, in any spelling; raises `NotAllowed`."""
    for size in PAPERS.values():
        if size.name.casefold() == name.strip().casefold():
            return size
    raise NotAllowed(f"There is no sheet {quoted(name)}. {_known(PAPERS)}.")


def label_sheet_named(name: str, paper: PaperSize) -> LabelSheet:
    """Return the sheet with that many labels on that paper; raises `NotAllowed`."""
    sheets = LABEL_SHEETS[paper.name]
    if (found := sheets.get(name.strip())) is None:
        lines = [f"{count} ({sheet.told})" for count, sheet in sheets.items()]
        raise NotAllowed(
            f"There is no sheet of {quoted(name)} labels on {paper.name} paper. {_known(lines)}."
        )
    return found


def _known(names: Iterable[str]) -> str:
    return f"there are {', '.join(names)}"


def printed(record: Record, want: Printing, now: datetime) -> tuple[bytes, int]:
    """Return the PDF and its number of pages; raises `NotAllowed` if there is nothing to print."""
    if not record.beams:
        raise NotAllowed("There is no beam in this job. Add one, then print.")
    beams = [one for one in record.beams if not want.beams or one in want.beams]
    to_do = not want.parts and not want.beams
    parts = WHOLE if EVERYTHING in want.parts else want.parts
    parts = [one for one in PARTS if one in (parts or OF_BEAMS)] if not to_do else list(TO_DO)
    job = record.job
    name = ", ".join(plain(one) for one in (job.name, job.site) if one)
    pages = Pages(want.paper, name, _texts(record), now)
    beside = f"{name}  {day_text(today(now, want.zone))}"

    def begin(part: str, *feet: str) -> None:
        pages.part(PARTS[part], beside, (*feet, DECORATIVE_FOOT))

    for part in parts:
        if part == "cuts":
            begin(part, DRAWN_FOOT, FEET["saw"])
            draw_cut_pages(pages, record, beams, want.machine, to_do=to_do)
        elif part == "batches":
            batches = RunSheet(record).batches() if want.batches is None else want.batches
            batches = _of_beams(batches, beams)
            feet = (beside, FEET["saw"], DECORATIVE_FOOT)
            draw_batch_pages(pages, record, batches, feet, want.machine, flowing=to_do)
        elif part == "readings":
            if to_do and not any(map(needs_readings, beams)):
                continue
            begin(part, FEET["ladder"])
            draw_readings_form(pages, record, beams, to_do=to_do)
        elif part == "progress":
            begin(part)
            draw_progress_pages(pages, record, want.day, want.zone)
        elif part == "yard":
            begin(part)
            draw_yard_pages(pages, record, want.packs)
        elif part == "cautions":
            begin(part)
            draw_caution_pages(pages, record)
        else:
            draw_labels(pages, record, beams, want.sheet, want.first)
    return pages.data(), pages.pdf.page_no()


def _of_beams(batches: Sequence[Batch], beams: Sequence[Beam]) -> list[Batch]:
    """Return batches with the pieces of some beams only."""
    rows = {beam.row for beam in beams}
    kept = [
        one._replace(spots=tuple(spot for spot in one.spots if spot.beam in rows))
        for one in batches
    ]
    return [one for one in kept if one.spots]


def _texts(record: Record) -> list[str]:
    """Return all of the user's texts that may be printed."""
    rows = [record.tables["job"][JOB_ROW], *record.tables["beams"].values()]
    return [json.dumps(row, ensure_ascii=False) for row in rows]
