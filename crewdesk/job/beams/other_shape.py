"""Readings that were taken for another shape of their beam.

A length along a slope differs from the level one; between walls out of square a length changes
across the beam, between walls out of plumb with its height. Each such reading keeps the shape it
was taken for (see `ReadFor`); if that is unknown, crewdesk doesn't doubt it.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import USUAL
from crewdesk.job.beams.measured import BOTH, read_with, runs_of, squares_of
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import (
    FOR,
    LENGTHS,
    LINE,
    READING_KINDS,
    Line,
    ReadFor,
    Reading,
    edit_pair,
)
from crewdesk.job.change import Doc, Edit, Tables, edit
from crewdesk.job.cuts.as_built import height_as_cut
from crewdesk.job.cuts.cleats import reveal_of
from crewdesk.job.cuts.cut import in_sentence
from crewdesk.job.cuts.scribing import as_scribed, shape_of, sides_read, sides_under
from crewdesk.job.cuts.walls import wall_ratio
from crewdesk.length import SIXTY_FOURTH, exact
from crewdesk.trade.cuts.instruments import apart_off
from crewdesk.trade.cuts.measured import Measured

SCRIBED_OFF = Fraction(1)
"""The most that a scribe usually takes off a side, in inches (common practice, no source): a
scribed beam may hang this much above the line of a box of the same depth."""


def shape_for_length(beam: Beam) -> ReadFor:
    """Return the shape for a length between the walls that is taken now."""
    return shape_of(beam)._replace(line=_line_of(beam))


def _line_of(beam: Beam) -> Line:
    """Return the line along which a beam's lengths are measured; computed once for each beam."""
    return beam.once("line", lambda: _line(beam))


def _line(beam: Beam) -> Line:
    """Return that line: the sides' bottom edges, which hang as far down as the sides are wide
    (along a ridge by their drops, those they were scribed by), and the bottom's show face. Sides
    ripped to different widths hang level by the one that reaches down least; under a step in the
    ceiling either can be that. The wanted drop is a minimum and moves nothing."""
    beam = as_scribed(beam)
    high, reveal = beam.section.height, Fraction(0)
    if "mitred" not in beam.form.id:
        try:
            reveal = reveal_of(beam, beam.habits.cleat)
        except BadInput:
            reveal = beam.section.reveal
    more = min(
        height_as_cut(beam, key) - beam.height(key) for key in ("A", "B") if key in beam.pieces
    )
    if beam.form.id == "ridge":
        return Line("ridge", high + more, (beam.height_b or high) + more, reveal)
    if beam.form.id == "uneven":
        return Line("ceiling", height_as_cut(beam, "A"), height_as_cut(beam, "B"), reveal)
    return Line("ceiling" if sides_under(beam) else "top", high + more, high + more, reveal)


def holds_still(beam: Beam, piece: Piece, reading: Reading) -> bool:
    """Return whether a length between the walls was measured for the beam's current shape, or would
    be equal in both."""
    read_for = reading.read_for
    if read_for is None:
        return True
    if read_for.ceiling != beam.ceiling or _moved(beam, read_for):
        return False
    return not _moved_down(beam, piece, read_for)


def _moved_down(beam: Beam, piece: Piece, read_for: ReadFor) -> bool:
    """Return whether a length measured along another line may differ along the current one: the
    walls are out of plumb, or may be."""
    if read_for.line is None or not (by := _rise(beam, piece, read_for.line)):
        return False
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    try:
        ratios = [
            [wall_ratio(beam, side, end) for end in BOTH]
            for side in ([piece] if piece.kind == "side" else sides)
        ]
    except BadInput:
        return True
    for first, second in ratios:
        if first is None or second is None or abs(exact(first + second)) * by > SIXTY_FOURTH:
            return True
    return False


def _rise(beam: Beam, piece: Piece, then: Line) -> Fraction:
    """Return the most by which the current line is above or below the measured one, in inches."""
    now = _line_of(beam)
    if now == then:  # the usual case
        return Fraction(0)
    keys = [key for key in "AB" if key in beam.pieces]
    if piece.kind == "side" and now.below == "ridge":
        keys = [piece.key]  # all others hang level, so what moves one side moves both
    elif beam.form.id == "uneven" and then.a == then.b:
        keys = ["A"]  # an older version kept side A's alone
    up = Fraction(0) if piece.kind == "side" else now.reveal - then.reveal
    scribed = SCRIBED_OFF if now.below != then.below else Fraction(0)
    return max((abs(now.down(key) - then.down(key) - up) + scribed for key in keys), default=up)


def _moved(beam: Beam, read_for: ReadFor) -> bool:
    """Return whether a length measured for another width of the beam may differ now: the walls are
    out of square, or may be."""
    by = abs(read_for.width - beam.section.width)
    if not by:
        return False
    per_inch = _longer_per_inch(beam)
    if per_inch is None:
        return True
    return abs(per_inch.value) > per_inch.off and abs(per_inch.value) * by > SIXTY_FOURTH


def _longer_per_inch(beam: Beam) -> Measured | None:
    """Return how much a length between the walls grows per inch toward side A, by both walls'
    squares, else by both sides' lengths; or None if neither is known."""
    try:
        first, second = squares_of(beam)
    except BadInput:
        return None
    if first is not None and second is not None:
        return Measured(first.value + second.value, first.off + second.off)
    runs = runs_of(beam)
    widths = {beam.section.width if one.read_for is None else one.read_for.width for one in runs}
    if len(runs) < 2 or len(widths) > 1:
        return None
    width, apart = widths.pop(), runs[0].value - runs[1].value
    off = apart_off(read_with(beam, runs[0]), read_with(beam, runs[1]))
    return Measured(apart / width, off / width)


def read_for_other(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    """Return None if a reading is valid for the current shape, else a sentence: what it was taken
    for, and how to measure again."""
    read_for = reading.read_for
    if read_for is None or what not in LENGTHS or holds_still(beam, piece, reading):
        return None
    whose = f"{beam.label} {piece.name}: its {READING_KINDS[what].called} was measured"
    if read_for.ceiling != beam.ceiling:
        return f"{whose} for a {read_for.ceiling} ceiling. Measure it again {_along(beam)}."
    if _moved(beam, read_for):
        was, now = _widths(beam, read_for)
        return (
            f"{whose} for a beam {was} wide. It is {now} wide now, and the walls are "
            "out of square or not known to be square. Measure it again."
        )
    was, now = _lines(beam, piece, read_for)
    return f"{whose} {was}. It is {now} now, and {OUT_OF_PLUMB}. Measure it again."


OUT_OF_PLUMB = "the walls are out of plumb or not known to be plumb"


def _lines(beam: Beam, piece: Piece, read_for: ReadFor) -> tuple[str, str]:
    """Return in words where the measured line was and is now."""
    then, now, step = read_for.line, _line_of(beam), beam.habits.step
    assert then is not None
    keys = [key for key in ("A", "B") if key in beam.pieces]
    key = piece.key if piece.kind == "side" else keys[0]
    if then._replace(reveal=now.reveal) == now:
        was, is_ = (f"at a reveal of {in_sentence(one.reveal, step)}" for one in (then, now))
        return was, is_
    key = next((one for one in keys if then.down(one) != now.down(one)), key)
    over = f" over side {key}" if beam.form.id == "uneven" else ""
    was, is_ = (
        f"{in_sentence(one.down(key), step)} below the {_BELOW.get(one.below, one.below)}{over}"
        for one in (then, now)
    )
    return was, is_


_BELOW = {"top": "box's top"}


def ceiling_for_other(beam: Beam) -> str | None:
    """Return None if the ceiling was measured for the current shape, or that is unknown; else a
    sentence: what it was measured for, and how to measure again."""
    read = beam.pair.ceiling
    if read is None or read.read_for is None:
        return None
    if read.read_for.ceiling != beam.ceiling:
        line = "parallel to the slope" if beam.ceiling == "sloped" else "that is level"
        return (
            f"The heights over {beam.label} were measured for a {read.read_for.ceiling} "
            f"ceiling. Measure them again off a laser line {line}."
        )
    lacks = [side for side in sides_under(beam) if side not in sides_read(beam, read)]
    if not lacks:
        return None
    sides = " and ".join(f"side {side}" for side in lacks)
    return f"The ceiling over {beam.label} hasn't been measured over {sides}. Measure it there too."


def _along(beam: Beam) -> str:
    return "along the slope" if beam.ceiling == "sloped" else "level"


def _widths(beam: Beam, read_for: ReadFor) -> tuple[str, str]:
    step = beam.habits.step
    return in_sentence(read_for.width, step), in_sentence(beam.section.width, step)


def shape_changed(beam: Beam) -> str:
    """Return what a change of a beam's shape leaves to measure again, in a sentence or two; "" if
    nothing."""
    lengths = _lengths_to_read(beam)
    return " ".join(filter(None, (lengths, ceiling_for_other(beam))))


def _lengths_to_read(beam: Beam) -> str:
    doubtful: dict[str, tuple[Piece, ReadFor]] = {}
    for piece in beam.pieces.values():
        for what in LENGTHS:
            reading = piece.latest(what)
            if reading is not None and reading.read_for and not holds_still(beam, piece, reading):
                doubtful.setdefault(piece.kind, (piece, reading.read_for))
    if not doubtful:
        return ""
    of, read_for = next(iter(doubtful.values()))
    many = sum(one.kind == "side" for one in beam.pieces.values()) > 1
    called = {"side": "sides' lengths" if many else "side's length", "bottom": "bottom's length"}
    what = " and ".join(called[kind] for kind in doubtful)
    were = "were" if "sides" in what or len(doubtful) > 1 else "was"
    them = "them" if were == "were" else "it"
    if read_for.ceiling != beam.ceiling:
        shape = f"a {read_for.ceiling} ceiling"
        return (
            f"{beam.label}: its {what} {were} measured for {shape}. "
            f"Measure {them} again {_along(beam)}."
        )
    if not _moved(beam, read_for):
        was, now = _lines(beam, of, read_for)
        return (
            f"{beam.label}: its {what} {were} measured {was}, and {OUT_OF_PLUMB}. "
            f"Measure {them} again {now}."
        )
    was, now = _widths(beam, read_for)
    return (
        f"{beam.label}: its {what} {were} measured for a beam {was} wide, and the walls "
        f"are out of square or not known to be square. Measure {them} again at {now}."
    )


def kept_for_shape(
    tables: Tables, beam: Beam, fields: Mapping[str, Any], gone: Iterable[str]
) -> list[Edit]:
    """Return the edits that save in a beam's readings the shape they were taken for, if its
    `fields` are about to change that and they don't say yet.

    gone: the keys of pieces that the change removes.
    """
    doc = tables["beams"][beam.row]
    if all(_same(beam, doc, key, value) for key, value in fields.items()):
        return []
    kept, of_length = shape_of(beam).to_doc(), shape_for_length(beam).to_doc()
    edits = []
    for key, piece in doc["pieces"].items():
        for what, taken in piece.get("readings", {}).items():
            if key in gone or what not in LENGTHS or all(LINE in one.get(FOR, {}) for one in taken):
                continue
            at = ("beams", beam.row, "pieces", key, "readings", what)
            edits.append(edit(tables, at, _with(taken, of_length)))
    heights = doc.get("pair", {}).get("ceiling", [])
    if any(FOR not in one for one in heights):
        edits.append(edit_pair(tables, beam.row, {"ceiling": _with(heights, kept)}))
    return edits


def _same(beam: Beam, doc: Doc, key: str, value: Any) -> bool:
    """Return whether a field doesn't affect the shape of readings."""
    if key == "section":
        return bool(value == beam.section)
    if key == "form":
        return (value or USUAL) == beam.form.id
    return key not in ("ceiling", "height_b", "drop") or str(value or "") == doc.get(key, "")


def _with(taken: list[Doc], kept: Doc) -> list[Doc]:
    """Return readings with their old shape if they have none; the old line is added to one that an
    older version saved without it."""
    return [{**one, FOR: _whole(one[FOR], kept) if FOR in one else kept} for one in taken]


def _whole(shape: Doc, kept: Doc) -> Doc:
    return {**shape, LINE: kept[LINE]} if LINE in kept and LINE not in shape else shape
