"""The form to write readings on by hand: a beam to a page at most.

Existing readings are printed in gray at the end of their lines, to show what is missing and to
measure again.
"""

from collections.abc import Sequence
from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import ENDS, NAMES, READING_KINDS, Reading, reading_name
from crewdesk.job.cuts.scribing import sides_read, sides_under, usual_places
from crewdesk.job.record import Record
from crewdesk.length import Step, show_length
from crewdesk.paper.lengths import degrees_shown
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.pages import Pages, Strip, gap, height_of, lines_strip
from crewdesk.paper.sheets.pen import GREY, TYPE, lead
from crewdesk.paper.text.cutlist import wall
from crewdesk.paper.text.exceptions_report import noted
from crewdesk.trade.cuts.ceiling import SIDES

_ROW = 25.0
"""The row height for writing with a carpenter's pencil, in points."""
_FREE_STATIONS, _MOST_STATIONS = 2, 7
_PLACES = ("end 1", "1/4", "center", "3/4", "end 2")
_LONGEST_NOTE, _MOST_NOTES = 300, 3


def needs_readings(beam: Beam) -> bool:
    """Return whether a reading of the beam, a piece or its ceiling is missing."""
    return _needs_ceiling(beam) or any(one.asked_for for one in beam.pieces.values())


def _needs_ceiling(beam: Beam) -> bool:
    return "ceiling" in beam.form.traits and beam.pair.ceiling is None


def draw_readings_form(
    pages: Pages, record: Record, beams: Sequence[Beam], *, to_do: bool = False
) -> None:
    """Draw every beam's form, each whole on one page; `to_do`: only the parts with missing
    readings."""
    for beam in beams:
        if to_do and not needs_readings(beam):
            continue
        notes = [] if to_do else _notes(pages, record, beam)
        unit = "millimeters" if record.job.step.mm else "inches"
        block = [*_head(pages, beam, unit), *_rows(pages, record, beam, to_do=to_do)]
        if height_of(block) + height_of(notes) <= pages.page_room:
            block += notes
        pages.put(block, below=14)


def _head(pages: Pages, beam: Beam, unit: str) -> list[Strip]:
    text = f"from {wall(beam, 1)} to {wall(beam, 2)}, in {unit}; gray: measured already"

    def draw(pages: Pages, y: float) -> None:
        x = pages.right - 270
        pages.write(pages.left, y, beam.label, TYPE.head, bold=True, room=x - pages.left - 10)
        x = _field(pages, x, y, "measured by", 110, "")
        _field(pages, x, y, "on", None, "")

    return [Strip(lead(TYPE.head) + 2, draw), lines_strip(pages, text, TYPE.word)]


def _rows(pages: Pages, record: Record, beam: Beam, *, to_do: bool) -> list[Strip]:
    step = record.job.step
    strips: list[Strip] = []
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    for piece in sides:
        if piece.asked_for or not to_do:
            strips += _side(pages, beam, piece, step)
    if beam.ceiling == "sloped" or beam.form.id == "ridge":
        strips.append(_pitch(pages, beam))
    if _needs_ceiling(beam) if to_do else "ceiling" in beam.form.traits:
        strips += _ceiling(pages, beam, step)
    if not to_do or (not beam.pair.skews and any(one.asked_for for one in sides)):
        strips += _square(pages, beam, step)
    for piece in beam.pieces.values():
        if piece.kind == "bottom" and (piece.asked_for or not to_do):
            strips += _bottom(pages, beam, piece, step)
    return strips


def _title(pages: Pages, name: str, how: str) -> Strip:
    def draw(pages: Pages, y: float) -> None:
        y += 5
        pages.line((pages.left, y), (pages.right, y), thick=0.8)
        x = pages.left + pages.write(pages.left, y + 3, name, TYPE.mark, bold=True) + 10
        down = 0.95 * (TYPE.mark - TYPE.word)
        pages.write(x, y + 3 + down, how, TYPE.word, room=pages.right - x)

    return Strip(lead(TYPE.mark) + 8, draw)


def _side(pages: Pages, beam: Beam, piece: Piece, step: Step) -> list[Strip]:
    taken = piece.readings.get("run", ())
    last = [show_length(one.value, step) for one in taken[-2:]]
    first, second = (*last, "", "")[:2]
    line = reading_name("run", sloped=beam.ceiling == "sloped")

    def run(pages: Pages, y: float) -> None:
        x = pages.left + pages.write(pages.left, y + 6, line, TYPE.word) + 12
        half = (pages.right - x) / 2
        x = _field(pages, x, y, "1st", half - 34, first)
        _field(pages, x, y, "2nd", None, second)

    name = piece.name[0].upper() + piece.name[1:]
    strips = [
        _title(pages, name, "laser, wall to wall, each twice; level at the ends"),
        Strip(_ROW, run),
    ]
    for number, what in enumerate(ENDS, 1):
        strips.append(_end(beam, number, piece.latest(what), step))
    return strips + _fields(pages, piece, step)


def _fields(pages: Pages, piece: Piece, step: Step) -> list[Strip]:
    """Return the readings of a piece that have their own field, side by side."""
    fields = [
        (field, "" if (one := piece.latest(what)) is None else show_length(one.value, step))
        for what in piece.takes
        if (field := READING_KINDS[what].field)
    ]

    def draw(pages: Pages, y: float) -> None:
        x, wide = pages.left, pages.wide / len(fields) - 46
        for name, shown in fields[:-1]:
            x = _field(pages, x, y, name, wide, shown)
        _field(pages, x, y, fields[-1][0], None, fields[-1][1])

    return [Strip(_ROW, draw)] if fields else []


def _end(beam: Beam, number: int, reading: Reading | None, step: Step) -> Strip:
    gap_, level = ("", "") if reading is None else (
        show_length(reading.value, step), show_length(reading.level, step)
    )  # fmt: skip
    lean = "" if reading is None or not reading.value else reading.lean

    def draw(pages: Pages, y: float) -> None:
        x = pages.left
        text = wall(beam, number)
        pages.write(x, y + 6, text, TYPE.word, room=150)
        x = _field(pages, x + 160, y, "gap", 100, gap_)
        x = _box(pages, x, y, "top in", ticked=lean == "in")
        x = _box(pages, x, y, "out", ticked=lean == "out")
        _field(pages, x, y, "level", None, level)

    return Strip(_ROW, draw)


def _pitch(pages: Pages, beam: Beam) -> Strip:
    read = ["" if one is None else degrees_shown(one.degrees) for one in (beam.pitch, beam.pitch_b)]

    def draw(pages: Pages, y: float) -> None:
        x = pages.left + pages.write(pages.left, y + 6, "slope, like 6/12", TYPE.word) + 12
        if beam.form.id == "ridge":
            x = _field(pages, x, y, "over A", 90, read[0])
            _field(pages, x, y, "over B", 90, read[1])
        else:
            x = _field(pages, x, y, "", 90, read[0])
            pages.write(x, y + 6, f"lower end: {beam.low}", TYPE.word)

    return Strip(_ROW, draw)


def _ceiling(pages: Pages, beam: Beam, step: Step) -> list[Strip]:
    """Return a table of spots over one laser line, level or parallel to the slope."""
    rows = _stations(beam, step)
    two = "B" in beam.pieces
    heads = ("from end 1", "over side A", "over side B")[: 3 if two else 2]
    how = "laser level at any height, up to the ceiling; more spots at a dip or a bulge"
    if beam.ceiling == "sloped":
        how = "laser line parallel to the slope, square up to the ceiling; more at a dip or a bulge"

    def head(pages: Pages, y: float) -> None:
        for at, name in enumerate(heads):
            pages.write(pages.left + 60 + at * 160, y, name, TYPE.word)

    def row(text: str, values: Sequence[str]) -> Strip:
        def draw(pages: Pages, y: float) -> None:
            pages.write(pages.left, y + 6, text, TYPE.word)
            for at, value in enumerate(values[: len(heads)]):
                _line_to_write(pages, pages.left + 60 + at * 160, y, 144, value)

        return Strip(_ROW - 3, draw)

    return [
        _title(pages, "Ceiling", how),
        Strip(lead(TYPE.word), head),
        *(row(text, values) for text, values in rows),
    ]


def _stations(beam: Beam, step: Step) -> list[tuple[str, tuple[str, str, str]]]:
    """Return each spot's row: its name, and its known heights as shown."""

    def shown(length: Fraction) -> str:
        return show_length(length, step)

    if (read := beam.pair.ceiling) is not None:
        counts = sides_read(beam, read) if sides_under(beam) else SIDES
        over_a, over_b = (side in counts for side in SIDES)
        known = [
            (
                "",
                (
                    shown(s.at),
                    shown(s.height_a) if over_a else "",
                    shown(s.height_b) if over_b else "",
                ),
            )
            for s in read.stations[:_MOST_STATIONS]
        ]
        more = len(read.stations) - _MOST_STATIONS
        if more >= 0:
            return [*known, (f"+{more} read", ("", "", ""))] if more else known
        return [*known, ("", ("", "", ""))]
    places = [shown(at) for at in usual_places(beam)] or [""] * len(_PLACES)
    rows = [(text, (at, "", "")) for text, at in zip(_PLACES, places, strict=True)]
    return [*rows, *[("", ("", "", ""))] * _FREE_STATIONS]


def _square(pages: Pages, beam: Beam, step: Step) -> list[Strip]:
    def row(number: int) -> Strip:
        square = beam.pair.square(1 if number == 1 else 2)
        gap_, leg, longer = ("", "", "") if square is None else (
            show_length(square.reading.gap, step),
            show_length(square.reading.leg, step),
            square.reading.longer if square.reading.gap else "",
        )  # fmt: skip

        def draw(pages: Pages, y: float) -> None:
            pages.write(pages.left, y + 6, wall(beam, number), TYPE.word, room=150)
            x = _field(pages, pages.left + 160, y, "gap", 86, gap_)
            x = _field(pages, x, y, "leg", 60, leg)
            x = _box(pages, x, y, "A longer", ticked=longer == "A")
            _box(pages, x, y, "B", ticked=longer == "B")

        return Strip(_ROW, draw)

    how, more = "along the beam's line, gap at the leg's far end", []
    if beam.ceiling == "sloped":
        how = "held level, not along the slope; gap at the leg's far end"
        held = "Stock along a level line plumb below the beam's line, leg level across at the wall."
        more = [lines_strip(pages, held, TYPE.word)]
    return [
        _title(pages, "Walls, with the square", how),
        *more,
        row(1),
        row(2),
    ]


def _bottom(pages: Pages, beam: Beam, piece: Piece, step: Step) -> list[Strip]:
    how = "tape, wall to wall where its show face will be, both sides nailed"
    if beam.ceiling == "sloped":
        how = how.replace("tape,", "tape along the slope,")
    return [_title(pages, "Bottom", how), *_fields(pages, piece, step)]


def _notes(pages: Pages, record: Record, beam: Beam) -> list[Strip]:
    """Return doubts about readings, and notes about the beam's steps."""
    lines = [
        f"{piece.name}, {NAMES[what]}: {plain(one)}"
        for piece in beam.pieces.values()
        for what in piece.takes
        if (one := doubt(beam, piece, what))
    ]
    lines += [
        one.told if one.cut else f"{one.piece.name}, {one.told}" for one in noted(record, (beam,))
    ]
    strips = []
    for one in lines[:_MOST_NOTES]:
        short = one if len(one) <= _LONGEST_NOTE else f"{one[:_LONGEST_NOTE].rstrip()}..."
        strips.append(lines_strip(pages, short, TYPE.word, first="!"))
    return [gap(4), *strips] if strips else []


def _field(pages: Pages, x: float, y: float, name: str, wide: float | None, read: str) -> float:
    """Draw a name and a line to write on, `wide` or up to the margin; return where the next may
    begin."""
    x += pages.write(x, y + 6, name, TYPE.word) + 5
    wide = pages.right - x if wide is None else wide
    _line_to_write(pages, x, y, wide, read)
    return x + wide + 12


def _line_to_write(pages: Pages, x: float, y: float, wide: float, read: str) -> None:
    """Draw a line to write on, an existing reading in gray at its end."""
    if read:
        pages.write(x + wide, y + 5, read, TYPE.word, grey=GREY, align="R", room=wide)
    pages.line((x, y + _ROW - 4), (x + wide, y + _ROW - 4), thick=0.7)


def _box(pages: Pages, x: float, y: float, name: str, *, ticked: bool) -> float:
    pages.box(x, y + 4, TYPE.mark, ticked=ticked)
    x += TYPE.mark + 3
    return x + pages.write(x, y + 6, name, TYPE.word) + 12
