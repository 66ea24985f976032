"""Drawings of every type of beam, on a screen of 80 by 24 and one of 120 by 40: no cleat and
no waste is ever lost, and every drawing states each of its scales."""

import re
from fractions import Fraction as Fr
from itertools import product

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.marks import SideMarks, marks
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, sides_under, typed_stations
from crewdesk.length import DEFAULT_STEP
from crewdesk.screens.parts.canvas import TEXTURES, Canvas
from crewdesk.screens.piece.beam_pictures import ceiling_picture, section_picture
from crewdesk.screens.piece.cut_told import piece_picture
from tests.sampled import sampled

MORE = {"uneven": {"height_b": Fr(9)}, "ridge": {"pitch": "6/12"}}
CLEATS = {"usual": 2, "uneven": 2, "wall": 2, "ridge": 2, "box": 2, "mitred": 0, "mitred box": 0}
"""Cleats of a section of each type: one inside each side, or one on the wall."""
SIZES = ((78, 9), (78, 12), (76, 18), (118, 18), (40, 22), (118, 24))
"""Columns and rows that a drawing gets on a piece's page, on the ceiling's and beside a piece,
on screens of 80 by 24 and of 120 by 40."""
COLUMN = re.compile(r"1 col(umn)? = [\d.]+ in")
ROW = re.compile(r"1 row = [\d.]+ in")
TRUE = re.compile(r"to scale: 1 row = 2 columns = [\d.]+ in")


def read(record, now, form, *, out: str = "1/64"):
    """A beam of a type whose walls are a little out of plumb, with thin waste then, and out of
    square."""
    record.make(beams.add_beam(record, "new", "Hall", now, form=form, **MORE.get(form, {})))
    beam = record.beam("3")
    for key in (key for key in beam.pieces if key in "AB"):
        for what, text, lean in (("run", "120", ""), ("end1", out, "in"), ("end2", out, "out")):
            one = take.typed_reading(record, what, text, now, lean=lean, level="24")
            record.make(take.take(record, Spot("3", key), what, one))
    squares = (TypedSquare(1, "1/4", "24", "A"), TypedSquare(2, "1/4", "24", "A"))
    record.make(read_squares(record, "3", squares, now))
    for what, text in (("opening", "120"), ("edge_b", "120")):
        one = take.typed_reading(record, what, text, now)
        record.make(take.take(record, Spot("3", "bottom"), what, one))
    return record.beam("3")


def plain(canvas: Canvas) -> list[str]:
    return canvas.text().plain.split("\n")


def patches(canvas: Canvas, ink: str) -> int:
    """How many separate patches of an ink's texture there are, cells that touch being one."""
    left = {
        (x, y)
        for y, line in enumerate(plain(canvas))
        for x, sign in enumerate(line)
        if sign == TEXTURES[ink]
    }
    count = 0
    while left:
        count += 1
        todo = [left.pop()]
        while todo:
            x, y = todo.pop()
            near = {(x + a, y + b) for a in (-1, 0, 1) for b in (-1, 0, 1)} & left
            left -= near
            todo += near
    return count


@pytest.mark.parametrize("cleat", [Fr(1, 64), Fr(1, 8), Fr(3, 4), Fr(3, 2)])
@pytest.mark.parametrize("form", FORMS)
def test_a_section_shows_every_cleat_and_its_scale(record, now, form, cleat) -> None:
    beam = read(record, now, form)
    for size in SIZES:
        canvas = section_picture(beam, DEFAULT_STEP, *size, cleat)
        if canvas is None:
            continue
        assert patches(canvas, "cleat") == CLEATS[form], (size, "\n".join(plain(canvas)))
        assert TRUE.search(" ".join(plain(canvas))), size


@pytest.mark.parametrize(("form", "out"), sampled(product(FORMS, ("1/64", "1/4", "3")), 2))
def test_every_board_states_its_scales_and_shows_its_waste(record, now, form, out) -> None:
    beam = read(record, now, form, out=out)
    for size in SIZES:
        assert drawn_well(beam, size), size


def drawn_well(beam, size: tuple[int, int]) -> int:
    """How many drawings of a beam's boards there are at a size, each held to what it states."""
    drawn = 0
    for piece in beam.pieces.values():
        made = marks(beam, piece)
        draw = piece_picture(beam, piece, made, DEFAULT_STEP, beside=False, cleat=Fr(1, 4))
        canvas = None if draw is None else draw(*size)
        if canvas is None:
            continue
        drawn += 1
        text = "\n".join(plain(canvas))
        if isinstance(made, SideMarks):
            # The blank goes past the board at the ends by what comes off there.
            assert patches(canvas, "waste") >= 2, text
        if piece.kind == "cleats":
            assert TRUE.search(text), text
            continue
        if "face" in text and "edge" in text:
            assert COLUMN.search(text), text
            assert ROW.search(text), text
        if "back " in text and "flat" in text:
            assert TRUE.search(text), text
    return drawn


@pytest.mark.parametrize("dip", ["1/32", "1/4", "2"])
@pytest.mark.parametrize("form", [form for form in FORMS if "box" not in form])
def test_the_ceiling_shows_waste_in_every_column_and_its_scales(record, now, form, dip) -> None:
    read(record, now, form)
    far = {"1/32": "14-1/32", "1/4": "14-1/4", "2": "16"}[dip]
    rows = (("0", "14", "14"), ("60", "14", "14"), ("120", far, far))
    record.make(read_ceiling(record, "3", typed_stations(record, rows), now))
    beam = record.beam("3")
    sides = sides_under(beam)
    made = scribe_of(beam)
    for size in SIZES:
        canvas = ceiling_picture(made, Fr(120), Fr(1), beam.ends, DEFAULT_STEP, *size, sides)
        if canvas is None:
            continue
        lines = plain(canvas)
        each = len(lines) // len(sides)
        for place in range(len(sides)):
            part = lines[place * each : (place + 1) * each]
            text = "\n".join(part)
            assert COLUMN.search(text), text
            assert ROW.search(text), text
            body = part[1:-2]
            for column in range(canvas.columns):
                assert any(line[column] == TEXTURES["waste"] for line in body), text
