"""The cut list on paper: each beam's boards with their faces drawn, a beam to a page at most.

If a beam with many notes doesn't fit on one page, its drawings get lower, then its type smaller,
and finally the user's longest reasons are cut off; all notes are printed in full after the last
beam. A sentence that says what to do is never cut.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.changed_cuts import held_cuts
from crewdesk.job.cuts.dry_fits import is_cut
from crewdesk.job.cuts.mark import Mark
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BottomMarks, Marks, SideMarks, as_it_is
from crewdesk.job.cuts.scribing import cleats_wait
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import next_stage
from crewdesk.length import Step
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.boards_drawn import (
    SECTION_HIGH,
    BoardScale,
    board_scale,
    flat_strip,
    section_drawn,
    side_strip,
)
from crewdesk.paper.sheets.pages import (
    FITS,
    Block,
    Figures,
    Fit,
    Pages,
    Strip,
    figures_strip,
    gap,
    height_of,
    lines_strip,
    put_list,
)
from crewdesk.paper.sheets.pen import TYPE, TypeSizes, lead
from crewdesk.paper.text.cutlist import (
    NO_PITCH,
    PieceReport,
    about_beam,
    missing_of,
    missing_text,
    piece_report,
    scribe_line,
    wall,
)
from crewdesk.paper.text.mark_text import (
    Walls,
    degrees_of,
    figure_of,
    kept_words,
    lines_of_marks,
    rows_of,
)
from crewdesk.paper.text.notes import scribe_cut_line
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine
from crewdesk.trade.cuts.side_board import Side

_MOST = 5
"""The number of figures side by side."""


def figures_of(made: Marks, key: str, step: Step) -> list[Figures]:
    """Return the figures of a piece, in rows of up to `_MOST`."""
    rows: list[Figures] = []
    for row in rows_of(_in_figures(mark_list(made, key))):
        figures = [(_named(one), figure_of(one, step)) for one in row]
        if rows and len(rows[-1]) + len(figures) <= _MOST:
            rows[-1] += figures
        else:
            rows.append(figures)
    return rows


def _named(mark: Mark) -> str:
    """Return a figure's name, with its place and angle, if any."""
    where = "" if mark.at == "up the inside" else mark.at
    angle = "" if mark.value is None or mark.deg is None else f"({degrees_of(mark.deg)})"
    kept = "as cut" if mark.kept else ""
    return " ".join(filter(None, (mark.name, kept, where, angle)))


def words_of(made: Marks, key: str, walls: Walls, step: Step) -> list[str]:
    """Return the marks with words in lines: edges, ends, backs."""
    every = mark_list(made, key)
    figures = _in_figures(every)
    drawn = [one for one in every if one.id in ("end1", "end2", "cut1", "cut2", "cuts")]
    rest = [one for one in every if one not in figures and one not in drawn]
    kept = [f"{one.name}: {kept_words(one, step)}" for one in figures if one.kept]
    kept += lines_of_marks((one for one in drawn if one.kept), walls, step)
    return [*lines_of_marks(rest, walls, step), *kept]


def _in_figures(marks: Iterable[Mark]) -> list[Mark]:
    """Return the marks that are one number, without the ends', which need words."""
    return [one for one in marks if one.large and not one.end]


NOTED = "What was noted"
"""The heading of a beam's notes that had no room."""
_MOST_REMARKS, _LONGEST_REMARK = 6, 120
_SECTION_WIDE = 150.0


def draw_cut_pages(
    pages: Pages,
    record: Record,
    beams: Sequence[Beam],
    machine: ShopMachine = USUAL_MACHINE,
    *,
    to_do: bool = False,
) -> None:
    """Draw every beam, each whole on one page, several on a page if they fit.

    machine: the shop's saw and tools. to_do: only one line for a cut board, an unmeasured one and a
    finished beam.
    """
    cut_off = []
    for beam in beams:
        text = beam_told(record, beam, machine)
        if to_do:
            if all(next_stage(record.stages, beam, one) is None for one in beam.pieces.values()):
                pages.put([_checked(pages, f"{plain(beam.label)}: done", TYPE)], below=6)
                continue
            text = text.shortened(beam)
        for fit in FITS:
            block = beam_block(pages, record, beam, fit, text)
            if height_of(block) <= pages.page_room:
                break
        pages.put(block, below=14)
        if not fit.whole:
            cut_off.append((beam, text.pieces))
    for beam, pieces in cut_off:
        if any(_shortened(one.remarks, one) != one.remarks for one in pieces.values()):
            every = [
                f"{beam.piece(key).name}: {remark.removeprefix('! ')}"
                for key, one in pieces.items()
                for remark in one.remarks
            ]
            put_list(pages, f"{NOTED}: {plain(beam.label)}", every, first="-")


class BeamTold(NamedTuple):
    """The content of a beam's page at any size: by piece key its report, and the lines about its
    scribe, with how sides are cut to the line if all are cut alike."""

    pieces: dict[str, PieceReport]
    scribed: list[str]
    cut: frozenset[str] = frozenset()
    """The pieces with a line that they are cut, and to what."""
    unmeasured: frozenset[str] = frozenset()
    """The pieces with a line that they aren't measured, or wait for others."""

    def shortened(self, beam: Beam) -> "BeamTold":
        """Return the same with one line for cut or unmeasured pieces."""
        held = {one.spot.piece for one in held_cuts(beam)}
        cut = {key for key, one in beam.pieces.items() if is_cut(one) and key not in held}
        rest = [key for key in beam.pieces if key not in cut]
        waits = cleats_wait(beam) and "cleats"
        unmeasured = {key for key in rest if self.pieces[key].missing or key == waits}
        return self._replace(cut=frozenset(cut), unmeasured=frozenset(unmeasured))


def beam_told(record: Record, beam: Beam, machine: ShopMachine = USUAL_MACHINE) -> BeamTold:
    """Return the content of a beam's page; `machine` is the shop's saw and tools."""
    shown = {key: piece_report(record, beam, one, machine) for key, one in beam.pieces.items()}
    scribed = [] if beam.pair.ceiling is None else [scribe_line(beam, record.job.step, machine)]
    ways = {one.scribe_cut for one in shown.values() if one.scribe_cut is not None}
    if len(ways) == 1:
        shown = {key: one._replace(scribe_cut=None) for key, one in shown.items()}
        scribed += [scribe_cut_line(way) for way in ways]
    return BeamTold(shown, scribed)


def beam_block(pages: Pages, record: Record, beam: Beam, fit: Fit, told: BeamTold) -> Block:
    """Return all of a beam as a block."""
    step, size = record.job.step, fit.size
    made = [one.made for one in told.pieces.values() if one.made is not None]
    scale = board_scale(made, pages.wide, fit.drawn)
    block = [*_head(pages, beam, step, size, told.scribed)]
    for key, piece in beam.pieces.items():
        one = told.pieces[key]
        if key in told.cut:
            block.append(_checked(pages, f"{piece.name}: cut{_cut_to(one, key, step)}", size))
            block += [_remark(pages, note, size) for note in one.remarks if note.startswith("!")]
        elif key in told.unmeasured:
            block.append(lines_strip(pages, f"{piece.name}: {_waits(beam, piece)}", size.word))
            block += [_remark(pages, note, size) for note in one.remarks if note.startswith("!")]
        else:
            block += _piece(pages, beam, piece, one, scale, step, fit)
    return block


def _waits(beam: Beam, piece: Piece) -> str:
    """Return why nothing is cut of a piece yet: what of it isn't measured, or what comes first."""
    if piece.kind == "cleats" and (waits := cleats_wait(beam)):
        return waits
    missing = [missing_text(beam, *one) for one in missing_of(beam, piece)]
    return f"not measured: {', '.join(missing)}"


def _cut_to(told: PieceReport, key: str, step: Step) -> str:
    """Return the lengths that a board was cut to, in words; "" if unknown."""
    if told.made is None:
        return ""
    lengths = [one for one in mark_list(as_it_is(told.made), key) if one.id in LENGTHS]
    words = [f"{one.name} {figure_of(one, step)}" for one in lengths]
    return f", {', '.join(words)}" if words else ""


def _checked(pages: Pages, words: str, size: TypeSizes) -> Strip:
    """Return a line with a checked box."""
    lines = pages.wrapped(words, size.word, pages.wide - size.word - 6)

    def draw(pages: Pages, y: float) -> None:
        pages.box(pages.left, y, size.word, ticked=True)
        for at, line in enumerate(lines):
            pages.write(pages.left + size.word + 4, y + at * lead(size.word), line, size.word)

    return Strip(len(lines) * lead(size.word) + 2, draw)


def _head(
    pages: Pages, beam: Beam, step: Step, size: TypeSizes, scribed: Sequence[str]
) -> list[Strip]:
    """Return a beam's heading and its scribe."""
    about = f"{about_beam(beam, step)}, from {wall(beam, 1)} to {wall(beam, 2)}"
    head = [
        lines_strip(pages, beam.label, size.head, bold=True),
        lines_strip(pages, about, size.word),
    ]
    if beam.ceiling == "sloped" and beam.pitch is None:
        head.append(lines_strip(pages, NO_PITCH, size.word, first="!"))
    if scribed:
        head.append(lines_strip(pages, f"Scribe: {'; '.join(scribed)}", size.word))
    return head


def _piece(
    pages: Pages, beam: Beam, piece: Piece, told: PieceReport, scale: BoardScale | None, step: Step,
    fit: Fit,
) -> list[Strip]:  # fmt: skip
    size, made = fit.size, told.made
    strips = [gap(0.45 * size.word), _title(pages, beam, piece, size)]
    if made is not None:
        strips.append(figures_strip(pages, figures_of(made, piece.key, step), size))
    if isinstance(made, SideMarks):
        for line in words_of(made, piece.key, (wall(beam, 1), wall(beam, 2)), step):
            strips.append(lines_strip(pages, line, size.word))
        is_now = as_it_is(made)
        if is_now.cut is not None and scale is not None:
            side: Side = "A" if piece.key == "A" else "B"
            drawn = side_strip(
                pages, is_now, is_now.cut, side, beam.ends, step, scale, size, told.spliced,
                ceiling="ceiling" in piece.traits, whole=fit.whole, measured=fit.measured,
            )  # fmt: skip
            strips.append(drawn)
    elif isinstance(made, BottomMarks):
        strips.append(_edges(pages, beam, piece, made, step, size))
        cut, spliced = as_it_is(made).cut, told.spliced
        if cut is not None and scale is not None:
            drawn = flat_strip(
                pages,
                beam,
                piece,
                cut,
                step,
                scale,
                size,
                spliced,
                most=fit.flat,
                whole=fit.whole,
                measured=fit.measured,
            )
            strips.append(drawn)
    elif made is not None:
        for line in words_of(made, piece.key, (wall(beam, 1), wall(beam, 2)), step):
            strips.append(lines_strip(pages, line, size.word))
    way = [] if told.scribe_cut is None else [scribe_cut_line(told.scribe_cut)]
    return strips + _remarks(pages, way, told.remarks, told, fit)


def _title(pages: Pages, beam: Beam, piece: Piece, size: TypeSizes) -> Strip:
    """Return the board's name, how to lay it for marking, and its check boxes."""
    one_side = piece.kind == "cleats" and "B" not in beam.pieces
    lies = "one inside the side, one on the wall" if one_side else LIES[piece.kind]
    name = piece.name[0].upper() + piece.name[1:]
    boxes = BOXES[piece.kind]
    done = {mark for mark in piece.steps if piece.steps[mark].behind}

    def draw(pages: Pages, y: float) -> None:
        pages.line((pages.left, y), (pages.right, y), thick=0.8)
        y += 3
        down = 0.95 * (size.mark - size.word)
        wide = pages.write(pages.left, y, name, size.mark, bold=True)
        taken = sum(pages.width_of(words, size.word) + size.mark + 16 for words, _ in boxes)
        x, start = pages.right - taken + 14, pages.left + wide + 10
        pages.write(start, y + down, lies, size.word, room=x - start - 8)
        for words, step in boxes:
            pages.box(x, y + 0.06 * size.mark, size.mark, ticked=step in done)
            x += size.mark + 2
            x += pages.write(x, y + down, words, size.word) + 14

    return Strip(lead(size.mark) + 4, draw)


LENGTHS = ("bottom_length", "edge_a", "edge_b", "length", "length_A", "length_B", "length_wall")
LIES = {
    "side": "show face up, top edge away from you",
    "bottom": "show face up, edge A away from you",
    "top": "outer face up, edge A away from you",
    "cleats": "two, inside the sides, sawn face to the side",
}
"""How to lay a board of each kind for marking."""
BOXES: dict[str, tuple[tuple[str, str], ...]] = {
    "side": (("marked", ""), ("cut", "cut-side")),
    "bottom": (("marked", ""), ("cut", "cut-bottom")),
    "top": (("cut", "fix-top"),),
    "cleats": (("fixed", "fix-cleats"),),
}
"""The check boxes of each kind of board, and the usual step of each."""


def _edges(
    pages: Pages, beam: Beam, piece: Piece, made: BottomMarks, step: Step, size: TypeSizes
) -> Strip:
    """Return how the edges and ends are cut, with a bottom board's section beside."""
    drawn = piece.kind == "bottom"
    room = pages.wide - (_SECTION_WIDE + 12 if drawn else 0)
    text = words_of(made, piece.key, (wall(beam, 1), wall(beam, 2)), step)
    lines = [line for one in text for line in pages.wrapped(one, size.word, room)]
    high = len(lines) * lead(size.word)
    if drawn:
        high = max(high + lead(size.small), SECTION_HIGH + 9)

    def draw(pages: Pages, y: float) -> None:
        for at, line in enumerate(lines):
            pages.write(pages.left, y + at * lead(size.word), line, size.word)
        if drawn:
            left, scale = section_drawn(beam, piece, as_it_is(made), pages, y, _SECTION_WIDE)
            under = y + high - lead(size.small) - 2
            about = f"section, show face down, to scale 1 : {scale}"
            pages.write(left - 8, under, about, size.small, align="R")

    return Strip(high, draw)


def _remarks(
    pages: Pages, first: list[str], remarks: list[str], told: PieceReport, fit: Fit
) -> list[Strip]:
    """Return the remarks below the marks; without room for all, `first` and the beginning of the
    rest."""
    kept = remarks if fit.whole else _shortened(remarks, told)
    lines = _in_lines(pages, [*first, *kept], fit.size.word)
    strips = [_remark(pages, one, fit.size) for one in lines]
    if left_out := len(remarks) - len(kept):
        more = f"and {left_out} more: see {NOTED}, behind the cut list"
        strips.append(lines_strip(pages, more, fit.size.word))
    return strips


def _in_lines(pages: Pages, remarks: list[str], size: float) -> list[str]:
    """Return remarks, short ones joined in a line; no caution with another."""
    lines: list[str] = []
    for one in remarks:
        joined = f"{lines[-1]}{'.' if one[0].isupper() else ';'} {one}" if lines else one
        cautions = one.startswith("!") or joined.startswith("!")
        if lines and not cautions and pages.width_of(joined, size) <= pages.wide:
            lines[-1] = joined
        else:
            lines.append(one)
    return lines


def _shortened(remarks: list[str], told: PieceReport) -> list[str]:
    """Return the first remarks, the user's long reasons cut off. Instructions about a doubt or a
    changed cut are never cut off."""
    typed = {f"! {one.told}" for one in told.notes if one.cut is None or one.cut.kept}
    return [
        f"{one[:_LONGEST_REMARK].rstrip()}..."
        if one in typed and len(one) > _LONGEST_REMARK
        else one
        for one in remarks[:_MOST_REMARKS]
    ]


def _remark(pages: Pages, remark: str, size: TypeSizes) -> Strip:
    if remark.startswith("! "):
        return lines_strip(pages, remark[2:], size.word, first="!", bold=True)
    return lines_strip(pages, remark, size.word)
