"""The batches on paper: for each ready operation the machine's setting and a check box for every
piece; stage by stage, each with its cautions."""

from collections.abc import Sequence
from itertools import groupby

from crewdesk.job.cuts.batches import Group, batch_settings
from crewdesk.job.record import Record
from crewdesk.job.steps.cautions import DECORATIVE, SiteCaution, cautions
from crewdesk.job.steps.run_sheet import Batch
from crewdesk.job.steps.stages import Stage
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.pages import Block, Figures, Pages, Strip, gap, height_of, lines_strip
from crewdesk.paper.sheets.pen import GREY, TYPE, TypeSizes, lead
from crewdesk.paper.text.exceptions_report import noted
from crewdesk.paper.text.settings_text import (
    NO_SETTING,
    cut_told,
    notes_told,
    said_once,
    setting_parts,
    settings_explained,
)
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine

_BESIDE_WORK = TYPE.times(0.85)
DECORATIVE_FOOT = (
    "Beams are decorative. Follow local code; leave fastening that must carry weight "
    "to a licensed professional."
)
DRAWN_FOOT = "Dashed: the square line and the blank. Dotted: the cleat line, on the other face."
FEET = {
    "saw": "Keep guard and riving knife on, use a push stick, wear mask, eye and ear protection. "
    "Check a mark at the wall first.",
    "ladder": "Keep the ladder level and locked, both feet on it, below its top step. "
    "Never look into the laser.",
}
"""The foot of pages that are used at the saw and on the ladder."""


def draw_caution_pages(pages: Pages, record: Record) -> None:
    """Draw the general caution, then each caution once, with its stages."""
    pages.put(_boxed(pages, DECORATIVE.text), below=8)
    of: dict[SiteCaution, list[str]] = {}
    for stage in record.stages:
        for one in cautions(stage.id):
            if one is not DECORATIVE:
                of.setdefault(one, []).append(plain(stage.name))
    for one, stages in of.items():
        pages.put(_caution(pages, one, TYPE, ", ".join(stages)))
    pages.put([gap(8)])
    text = (
        "The rules and guides named are those of the United States; others may apply "
        "where you work."
    )
    pages.put([lines_strip(pages, text, TYPE.word)])


def put_cautions(pages: Pages, stage: Stage) -> None:
    """Draw the cautions of a stage, below its work."""
    _put_all(pages, f"Cautions: {plain(stage.name)}", cautions(stage.id), _BESIDE_WORK)


def _put_all(pages: Pages, head: str, every: Sequence[SiteCaution], size: TypeSizes) -> None:
    """Draw cautions under a heading, which stays with the first of them."""
    title = lines_strip(pages, head, size.mark, bold=True)
    first, *rest = [_caution(pages, one, size) for one in every]
    pages.put([title, gap(2), *first])
    for block in rest:
        pages.put(block)
    pages.put([gap(8)])


def _caution(pages: Pages, one: SiteCaution, size: TypeSizes, stages: str = "") -> Block:
    strips = [lines_strip(pages, one.text, size.word, first="!")]
    below = [stages, f"({one.source})" if one.source else ""]
    if any(below):
        indent = pages.width_of("! ", size.word, True)
        strips.append(lines_strip(pages, " ".join(filter(None, below)), TYPE.small, indent=indent))
    return [*strips, gap(3)]


def _boxed(pages: Pages, text: str) -> Block:
    """Return a paragraph in a frame."""
    size, edge = TYPE.word, 8.0
    lines = pages.wrapped(text, size, pages.wide - 2 * edge, bold=True)
    high = len(lines) * lead(size) + 2 * edge

    def draw(pages: Pages, y: float) -> None:
        pages.block(pages.left, y, pages.wide, high, thick=1.5)
        for at, line in enumerate(lines):
            pages.write(pages.left + edge, y + edge + at * lead(size), line, size, bold=True)

    return [Strip(high, draw)]


NOTHING_READY = "Nothing is ready to batch now. The run sheet says what each piece waits for."


def draw_batch_pages(
    pages: Pages,
    record: Record,
    batches: Sequence[Batch],
    begin: Sequence[str],
    machine: ShopMachine = USUAL_MACHINE,
    *,
    flowing: bool = False,
) -> None:
    """Draw each stage on its own page with its cautions, since it is taped to another machine.

    begin: the text above and below the pages, as `Pages.part` takes it after its head. machine: the
    shop's saw and tools. flowing: stages one after the other, without cautions.
    """
    beside, *feet = begin
    if not batches or flowing:
        pages.part("Batches", beside, feet)
    if not batches:
        pages.put([lines_strip(pages, NOTHING_READY, TYPE.word)])
    for stage, of_stage in groupby(batches, key=lambda one: one.stage):
        if not flowing:
            pages.part(f"Batches: {plain(stage.name)}", beside, feet)
        for batch in of_stage:
            _put_batch(pages, record, batch, machine, f"{plain(stage.name)}: " * flowing)
        if not flowing:
            put_cautions(pages, stage)


def _put_batch(
    pages: Pages, record: Record, batch: Batch, machine: ShopMachine, before: str
) -> None:
    settings = batch_settings(record, batch.step.id, batch.spots, machine)
    count = f"{len(batch.spots)} piece{'' if len(batch.spots) == 1 else 's'}"
    if settings.beam_by_beam > settings.times_set:
        count += f"; set {settings.times_set} times instead of {settings.beam_by_beam} beam by beam"
    explained = settings_explained(settings, machine, "Business settings")
    for_all, shown = said_once(settings)
    title = [
        lines_strip(pages, f"{before}{batch.step.name}", TYPE.head, bold=True),
        lines_strip(pages, count, TYPE.word),
        *([lines_strip(pages, explained, TYPE.word)] if explained else []),
        *_notes(pages, for_all),
        gap(4),
    ]
    many = len(shown) > 1
    for number, one in enumerate(shown, 1):
        if one.cut:
            title.append(lines_strip(pages, one.cut, TYPE.word, bold=True))
        title += _notes(pages, one.notes)
        cut = cut_told(one.group, in_passes=settings.in_passes)
        head = [*title, *_setting(pages, record, one.group, f"{number}  " if many else "")]
        title = []
        _put_group(pages, record, batch, one.group, head, cut)
    pages.put([gap(10)])


def _notes(pages: Pages, notes: Sequence[str], before: str = "") -> list[Strip]:
    """Return notes, a caution with `!` before it; `before` precedes the first one."""
    strips: list[Strip] = []
    for note in notes:
        sign = "!" if note.startswith("!") else "" if strips else before
        text = note.removeprefix("!").strip()
        strips.append(lines_strip(pages, plain(text), TYPE.word, first=sign))
    return strips


def _setting(pages: Pages, record: Record, group: Group, before: str) -> list[Strip]:
    """Return the machine and each part of its setting in large type, on one line if they fit."""
    strips = []
    if group.why:
        strips.append(
            lines_strip(pages, plain(group.why), TYPE.word, first=f"{before}!", bold=True)
        )
    elif group.machine or (before and not group.notes and not group.own):
        machine = group.machine or NO_SETTING
        text = f"{before}{machine[0].upper()}{machine[1:]}"
        figures = setting_parts(group.setting, record.job.step, group.signs)
        strips += _setting_lines(pages, text, figures)
    return [*strips, *_notes(pages, notes_told(group), "" if strips else before)]


def _setting_lines(pages: Pages, machine: str, figures: Figures) -> list[Strip]:
    lines: list[tuple[str, Figures]] = [(machine, [])]
    full = pages.width_of(machine, TYPE.mark, True)
    for name, figure in figures:
        wide = 24 + pages.width_of(name, TYPE.word) + pages.width_of(figure, TYPE.mark, True)
        if full + wide > pages.wide:
            lines.append(("", []))
            full = 0
        lines[-1][1].append((name, figure))
        full += wide

    def strip(machine: str, figures: Figures) -> Strip:
        return Strip(lead(TYPE.mark) + 4, lambda pages, y: _line(pages, y, machine, figures))

    return [strip(*line) for line in lines]


def _line(pages: Pages, y: float, machine: str, figures: Figures) -> None:
    x = pages.left
    if machine:
        x += pages.write(x, y, machine, TYPE.mark, bold=True) + 18
    down = 0.95 * (TYPE.mark - TYPE.word)
    for name, figure in figures:
        x += pages.write(x, y + down, name, TYPE.word) + 6
        x += pages.write(x, y, figure, TYPE.mark, bold=True) + 18


def _put_group(
    pages: Pages, record: Record, batch: Batch, group: Group, head: list[Strip], cut: str
) -> None:
    """Draw a group's rows under its pass and setting, repeated on each new page."""
    rows = [_row(pages, record, batch, group, row, spots) for row, spots in _by_beam(group)]
    pages.put([*head, *rows[0]])
    for row in rows[1:]:
        if height_of(row) > pages.room:
            pages.turn()
            titles = [f"{batch.step.name}, continued", *([cut] if cut else [])]
            pages.put([lines_strip(pages, one, TYPE.word, bold=True) for one in titles])
            pages.put(_setting(pages, record, group, ""))
        pages.put(row)
    pages.put([gap(6)])


def _by_beam(group: Group) -> list[tuple[str, list[Spot]]]:
    """Return a group's pieces by beam, the beam with the longest piece first."""
    rows: dict[str, list[Spot]] = {}
    for spot in group.spots:
        rows.setdefault(spot.beam, []).append(spot)
    return list(rows.items())


def _row(
    pages: Pages, record: Record, batch: Batch, group: Group, row: str, spots: Sequence[Spot]
) -> Block:
    """Return a beam with a box for each piece, its marks, and its notes."""
    beam = record.beam(row)
    pieces = [beam.piece(spot.piece) for spot in spots]
    size, step = TYPE.mark, record.job.step
    long = [group.lengths.get(spot) for spot in spots]
    lengths = ["" if one is None else with_unit(one, step, "up") for one in long]
    boxes = 12 + sum(pages.width_of(one.name, size) + size + 18 for one in pieces)
    boxes += sum(pages.width_of(one, TYPE.word) + 6 for one in lengths if one)
    beside = boxes + pages.width_of(beam.label, size, True) <= pages.wide

    down = 0.95 * (size - TYPE.word)

    def draw(pages: Pages, y: float) -> None:
        x = pages.left + 12
        for piece, length in zip(pieces, lengths, strict=True):
            mark = piece.steps.get(batch.step.id)
            pages.box(x, y, size, ticked=mark is not None and mark.behind)
            x += size + 2
            x += pages.write(x, y, piece.name, size) + (6 if length else 16)
            if length:
                x += pages.write(x, y + down, length, TYPE.word, grey=GREY) + 16
        if beside:
            pages.write(x, y, beam.label, size, bold=True)

    lines = [one.told for one in noted(record, (beam,)) if one.piece in pieces]
    notes = [lines_strip(pages, one, TYPE.word, first="!", indent=12) for one in lines]
    own = [
        lines_strip(pages, f"{names}, {words}", TYPE.word, indent=12)
        for names, words in _own(record, group, spots)
    ]
    name = [] if beside else [lines_strip(pages, beam.label, size, bold=True, indent=12)]
    return [*name, Strip(lead(size) + 2, draw), *own, *notes]


def _own(record: Record, group: Group, spots: Sequence[Spot]) -> list[tuple[str, str]]:
    """Return the marks of a beam's boards, once for boards with the same."""
    found: dict[str, list[str]] = {}
    for spot in spots:
        if words := group.own.get(spot):
            found.setdefault(words, []).append(record.beam(spot.beam).piece(spot.piece).name)
    return [(" and ".join(names), words) for words, names in found.items()]
