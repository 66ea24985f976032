"""Readings that were taken for another shape of their beam than it has now.

A length along a slope is longer than the level one, and between walls out of square a length
is another at another place across the beam. Each such reading keeps what it was read for (see
`ReadFor`); where that isn't known, nothing is doubted.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import USUAL, form_of
from crewdesk.job.beams.pair import edit_pair
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import FOR, LENGTHS, READING_KINDS, ReadFor, Reading
from crewdesk.job.beams.uncertainty import read_with, runs_of, squares_of
from crewdesk.job.change import Doc, Edit, Tables, edit
from crewdesk.job.cuts.cut import in_sentence
from crewdesk.job.cuts.scribing import shape_of, sides_read, sides_under
from crewdesk.length import SIXTY_FOURTH
from crewdesk.trade.cuts.instruments import apart_off
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.sureness import Measured


def holds_still(beam: Beam, reading: Reading) -> bool:
    """Whether a length between the walls was read for the shape that the beam has now, or is
    the same length in both."""
    read_for = reading.read_for
    if read_for is None:
        return True
    return read_for.ceiling == beam.ceiling and not _moved(beam, read_for)


def _moved(beam: Beam, read_for: ReadFor) -> bool:
    """Whether a length that was read for another width of the beam may be another one now:
    the walls are out of square, or nothing says that they aren't."""
    by = abs(read_for.width - beam.section.width)
    if not by:
        return False
    per_inch = _longer_per_inch(beam)
    if per_inch is None:
        return True
    return abs(per_inch.value) > per_inch.off and abs(per_inch.value) * by > SIXTY_FOURTH


def _longer_per_inch(beam: Beam) -> Measured | None:
    """How much a length between the walls grows per inch across the beam, toward side A, by the
    squares at both walls, else by both sides' lengths; None where neither says."""
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
    """Return None where a reading holds for the beam as it is, else one sentence: what it was
    taken for, and how to read it again."""
    read_for = reading.read_for
    if read_for is None or what not in LENGTHS or holds_still(beam, reading):
        return None
    whose = f"{beam.label} {piece.name}: its {READING_KINDS[what].called} was read"
    if read_for.ceiling != beam.ceiling:
        return f"{whose} for a {read_for.ceiling} ceiling. Read it again {_along(beam)}."
    was, now = _widths(beam, read_for)
    return (
        f"{whose} for a beam {was} wide. It is {now} wide now, and the walls are out of square "
        "or not known to be square. Read it again."
    )


def ceiling_for_other(beam: Beam) -> str | None:
    """Return None where the ceiling's heights were read for the beam as it is, or nothing is
    known about that; else one sentence: what they were read for, and how to read them again."""
    read = beam.pair.ceiling
    if read is None or read.read_for is None:
        return None
    if read.read_for.ceiling != beam.ceiling:
        line = "parallel to the slope" if beam.ceiling == "sloped" else "that is level"
        return (
            f"The heights over {beam.label} were read for a {read.read_for.ceiling} ceiling. "
            f"Read them again off a laser line {line}."
        )
    lacks = [side for side in sides_under(beam) if side not in sides_read(beam, read)]
    if not lacks:
        return None
    sides = " and ".join(f"side {side}" for side in lacks)
    return f"The ceiling over {beam.label} hasn't been read over {sides}. Read it there too."


def _along(beam: Beam) -> str:
    return "along the slope" if beam.ceiling == "sloped" else "level"


def _widths(beam: Beam, read_for: ReadFor) -> tuple[str, str]:
    step = beam.habits.step
    return in_sentence(read_for.width, step), in_sentence(beam.section.width, step)


def shape_changed(beam: Beam) -> str:
    """Return what a change of a beam's shape left to read again, a sentence or two for the whole
    beam; "" for nothing."""
    lengths = _lengths_to_read(beam)
    return " ".join(filter(None, (lengths, ceiling_for_other(beam))))


def _lengths_to_read(beam: Beam) -> str:
    doubtful: dict[str, ReadFor] = {}
    for piece in beam.pieces.values():
        for what in LENGTHS:
            reading = piece.latest(what)
            if reading is not None and reading.read_for and not holds_still(beam, reading):
                doubtful.setdefault(piece.kind, reading.read_for)
    if not doubtful:
        return ""
    read_for = next(iter(doubtful.values()))
    many = sum(one.kind == "side" for one in beam.pieces.values()) > 1
    called = {"side": "sides' lengths" if many else "side's length", "bottom": "bottom's length"}
    what = " and ".join(called[kind] for kind in doubtful)
    were = "were" if "sides" in what or len(doubtful) > 1 else "was"
    them = "them" if were == "were" else "it"
    if read_for.ceiling != beam.ceiling:
        of = f"a {read_for.ceiling} ceiling"
        return f"{beam.label}: its {what} {were} read for {of}; read {them} again {_along(beam)}."
    was, now = _widths(beam, read_for)
    return (
        f"{beam.label}: its {what} {were} read for a beam {was} wide, and the walls are out of "
        f"square or not known to be square; read {them} again at {now}."
    )


def kept_for_shape(
    tables: Tables, beam: Beam, fields: Mapping[str, Any], gone: Iterable[str]
) -> list[Edit]:
    """Return the edits by which the readings of a beam keep the shape that they were taken for,
    where its `fields` are about to change that and they don't say yet. `gone` are the keys of
    the pieces that go with the change."""
    section = fields.get("section")
    width = section.width if isinstance(section, Section) else beam.section.width
    form = form_of(fields.get("form") or USUAL) if "form" in fields else beam.form
    same = fields.get("ceiling", beam.ceiling) == beam.ceiling and width == beam.section.width
    if same and (form.traits, form.pieces) == (beam.form.traits, beam.form.pieces):
        return []
    kept = shape_of(beam).to_doc()
    edits, doc = [], tables["beams"][beam.row]
    for key, piece in doc["pieces"].items():
        for what, taken in piece.get("readings", {}).items():
            if key in gone or what not in LENGTHS or all(FOR in one for one in taken):
                continue
            at = ("beams", beam.row, "pieces", key, "readings", what)
            edits.append(edit(tables, at, _with(taken, kept)))
    heights = doc.get("pair", {}).get("ceiling", [])
    if any(FOR not in one for one in heights):
        edits.append(edit_pair(tables, beam.row, {"ceiling": _with(heights, kept)}))
    return edits


def _with(taken: list[Doc], kept: Doc) -> list[Doc]:
    return [one if FOR in one else {**one, FOR: kept} for one in taken]
