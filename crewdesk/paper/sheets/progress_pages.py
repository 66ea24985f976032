"""The day's progress on paper, to be handed to the builder."""

from collections.abc import Sequence
from datetime import date, tzinfo

from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import Batch, Cell, RunSheet, Total, done_on
from crewdesk.job.sync.contradictions import done_early
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.pages import Pages, Strip, gap, lines_strip, put_list
from crewdesk.paper.sheets.pen import BLACK, GREY, TYPE, lead
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

_NAME, _BAR, _BOX, _SHADE = 150.0, 12.0, 13.0, 110
_LEAST_COLUMN = 44.0
"""A stage's name needs so many points over its column; with less it is told by its number."""
_MOST_COLUMNS = 30
_MOST_PLANNED = 5


def draw_progress_pages(pages: Pages, record: Record, day: date, zone: tzinfo | None) -> None:
    """How far the job is, what was done on the day, what waits and why, beam by beam; `zone` is
    the business's time zone, as in `done_on`."""
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
    told = f"{total.behind} of {total.steps} steps are done{left_out}{share}"
    pages.put([lines_strip(pages, told, TYPE.head, bold=True), gap(4)])
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
    head = f"Done on {day:%A}, {day:%Y-%m-%d}"
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
        told = [plain(f"{one.day:%A} {one.day:%Y-%m-%d}  {one.note}") for one in ahead]
        put_list(pages, "Planned next", told, first="-")


def _put_beams(pages: Pages, record: Record, sheet: RunSheet) -> None:
    """Beams down, stages across: a box that fills as its steps are done."""
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
    told = "full: done, part: begun, empty: to do, cross: blocked, bar: skipped, no box: no work"
    if len(stages) < len(record.stages.stages):
        told += f"; the first {len(stages)} stages of {len(record.stages.stages)}"
    legend = lines_strip(pages, told, TYPE.small)
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
    """How far a beam's pieces are through a stage, and whether one of them waits in it or
    was left out of it."""
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
    """Lines for a name and a date."""

    def draw(pages: Pages, y: float) -> None:
        foot = y + 34
        half = pages.left + 0.62 * pages.wide
        pages.line((pages.left, foot), (half - 12, foot), thick=0.7, grey=BLACK)
        pages.line((half, foot), (pages.right, foot), thick=0.7, grey=BLACK)
        pages.write(pages.left, foot + 2, "Seen by", TYPE.small, grey=GREY)
        pages.write(half, foot + 2, "Date", TYPE.small, grey=GREY)

    return Strip(36 + lead(TYPE.small), draw)
