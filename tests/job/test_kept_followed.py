"""What follows a kept board is what it would be had its beam never changed, for every type.

A board that was ripped by one section stays what it is when the section changes and the cut is
kept. So every figure of the beam, its machine settings, its accuracy and its dry fit are those of
a beam that still has the first section, but for the boards that aren't ripped yet and follow the
new one by themselves. That needs no code of crewdesk's own: the two beams are set side by side.
"""

from fractions import Fraction as Fr
from itertools import product
from typing import Any

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.in_plan import TypedSquare, ends_in_plan, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.uncertainty import how_sure
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.dry_fits import tried
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.marks import as_it_is, marks
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.job.lumber.boards import change_rules
from tests.job.test_cut_figures import Work
from tests.sampled import sampled

MORE: dict[str, Any] = {"uneven": {"height_b": Fr(9)}, "ridge": {"pitch": "6/12"}}
BENT = (("0", "14", "14"), ("60", "14-1/8", "14"), ("120", "14", "14-1/8"))
RIP = {"A": "rip-side", "B": "rip-side", "bottom": "rip-bottom", "top": "rip-top",
       "cleats": "rip-cleats"}  # fmt: skip
FORMS = ("usual", "uneven", "wall", "ridge", "tilted", "sloped", "mitred", "box", "mitred box")
TO_LINE = ("rip-side", "ease", "sand", "cleat-line")

CHANGES: dict[str, tuple[dict[str, Fr], tuple[str, ...]]] = {
    "height": ({"height": Fr(11)}, ("A", "B")),
    "side_thickness": ({"side_thickness": Fr(1)}, ("A", "B", "cleats")),
    "bottom_thickness": ({"bottom_thickness": Fr(1)}, ("bottom", "top")),
    "flat": ({"flat": Fr(1, 2)}, ("bottom",)),
    "bevel": ({"bevel": Fr(20)}, ("bottom",)),
    "square": ({"flat": Fr(3, 4)}, ("bottom",)),
    "fit": ({"fit": Fr(1, 8)}, ("bottom", "top")),
    "reveal": ({"reveal": Fr(1, 2)}, ()),
    "cleat": ({}, ("cleats",)),
}


NOT_OF_THE_BOARD = {
    ("tilted", "height"),  # a drop from the ridge says how the bottom is to lie
    *(("wall", "fit"), ("mitred", "fit"), ("mitred box", "fit")),  # how much room there is to be
}


@pytest.fixture
def work(record, now):
    return Work(record, now)


def new(work, name, form, section):
    """A beam of a type between walls that lean and are out of square, all read."""
    more = dict(MORE.get({"tilted": "ridge"}.get(form, form), {}))
    if form == "tilted":
        more["height_b"] = Fr(11)
    if form == "sloped":
        more |= {"ceiling": "sloped", "pitch": "4/12"}
    kind = {"tilted": "ridge", "sloped": "usual"}.get(form, form)
    work.make(
        beams.add_beam(work.record, name, "Hall", work.now(), form=kind, section=section, **more)
    )
    row = str(max(int(beam.row) for beam in work.record.beams))
    beam = work.record.beam(row)
    for key in ("A", "B"):
        if key in beam.pieces:
            spot = Spot(row, key)
            work.read(spot, "run", "120" if key == "A" else "119 3/4")
            work.read(spot, "end1", "3/16", "in")
            work.read(spot, "end2", "1/8", "in")
    squares = (TypedSquare(1, "1/2", "24", "A"), TypedSquare(2, "1/4", "24", "A"))
    work.make(read_squares(work.record, row, squares, work.now()))
    return row


def rest(work, row):
    """What is read later: the ceiling and the bottom's two edges."""
    beam = work.record.beam(row)
    if "ceiling" in beam.pieces["A"].traits and beam.ceiling == "flat":
        stations = typed_stations(work.record, BENT)
        work.make(read_ceiling(work.record, row, stations, work.now()))
    work.read(Spot(row, "bottom"), "opening", "119 7/8")
    work.read(Spot(row, "bottom"), "edge_b", "119 11/16")


def figures(work, row, form):
    """Everything that a beam's boards are cut, marked, nailed and tried to."""
    beam, step = work.record.beam(row), work.record.job.step
    found: dict[str, Any] = {"scribe": scribe_of(beam) if beam.pair.ceiling else None}
    for key, piece in beam.pieces.items():
        made = as_it_is(marks(beam, piece, projection=beam.habits.cleat))
        for name, value in made._replace(built=None, kept={})._asdict().items():
            found[f"{key} {name}"] = value
        sure = how_sure(beam, piece, projection=beam.habits.cleat)
        if (form, key) != ("tilted", "cleats"):  # there a line's height is known by a bound of it
            found[f"{key} sure"] = sure and dict(sure.within)
        found[f"{key} plan"] = ends_in_plan(beam, piece)
        fit = tried(beam, piece, step)
        found[f"{key} fit"] = (fit.fit, fit.why)
        for one in work.record.stages.steps_of(piece.kind, piece.traits):
            if one.id not in piece.steps and one.id not in RIP.values():
                found[f"{key} {one.id}"] = cuts_of(work.record.job, beam, piece, one.id)
    return found


def by(value):
    """A value that can be compared though one of two went through the record's decimals."""
    if isinstance(value, float | Fr):
        return round(float(value), 6)
    if isinstance(value, tuple):
        return tuple(by(one) for one in value)
    if isinstance(value, dict):
        return {name: by(one) for name, one in value.items()}
    return value


@pytest.mark.parametrize(("form", "change"), sampled(product(FORMS, CHANGES), 4))
def test_what_follows_a_kept_board_is_as_if_the_beam_had_never_changed(work, form, change) -> None:
    if (form, change) in NOT_OF_THE_BOARD:
        return
    fields, keys = CHANGES[change]
    base = work.record.job.section
    row = new(work, "kept", form, base)
    rest(work, row)
    beam = work.record.beam(row)
    for key in (key for key in keys if key in beam.pieces):
        work.tick(RIP[key], Spot(row, key))
    if change == "reveal" and "cleats" in beam.pieces:
        for key in (key for key in "AB" if key in beam.pieces):
            for step in TO_LINE:
                work.tick(step, Spot(row, key))
    still = figures(work, row, form)
    if change == "cleat":
        work.make(change_rules(work.record, {"cleat": "1"}, work.now()))
    else:
        changed = {"section": base._replace(**fields)}
        try:
            work.make(beams.change_beam(work.record, row, changed, work.now()))
        except ValueError:
            return  # mitered boards are of one thickness
    for one in open_cuts(work.record):
        if one in open_cuts(work.record):
            work.make(keep_cut(work.record, one.spot, one.step_id, "so it is", work.now()))
    kept = figures(work, row, form)
    differ = {n: (by(still[n]), by(kept[n])) for n in still if by(kept.get(n)) != by(still[n])}
    assert not differ
