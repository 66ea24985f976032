"""The blanks that boards are bought for: long and wide enough, and where they lie."""

from fractions import Fraction as Fr
from itertools import combinations
from math import hypot, sqrt

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.change import Change, edit
from crewdesk.job.lumber.blanks import blank_of, wanted_cleats, width_to_rip
from crewdesk.job.lumber.buying_list import used_up
from crewdesk.job.lumber.kept import keep, kept_takeoff, without_board
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.spliced import spliced
from crewdesk.job.lumber.task import task_of
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.takeoff import cost_line, cuts_compared, takeoff_sheet

ALONG_A_RIDGE = {"form": "ridge", "pitch": "6/12"}


def read_side(record, now, side, run, end1, end2, level="28"):
    """Ends as (gap, lean)."""
    for what, text, lean in (("run", run, ""), ("end1", *end1), ("end2", *end2)):
        one = take.typed_reading(record, what, text, now, lean=lean, level=level if lean else "")
        record.make(take.take(record, Spot("1", side), what, one))


def lengths(record, books):
    takeoff = solve(task_of(record, books, "hill"))
    return {p.piece: p.length for b in takeoff.boards for p in b.pieces}


def test_a_top_board_is_as_long_as_the_walls_are_apart_at_its_height(job_of, shop_of, now) -> None:
    record = job_of([(95, 6, 7)])
    record.make(beams.change_beam(record, "1", {"form": "box"}, now))
    # Both walls lean out by 1 in 28, so by 1/4 in over the sides' 7 in.
    read_side(record, now, "A", "90", ("1", "out"), ("1", "out"))
    found = lengths(record, shop_of())
    # Side B is not read: the top is cut from what the longest side is cut from.
    assert found["top"] == max(found["A"], found["B"]) >= 90 + Fr(1, 2)
    read_side(record, now, "B", "90", ("1", "out"), ("1", "out"))
    found = lengths(record, shop_of())
    # 90 + 2 x 1/4 at the top, less the under-cut; bought no shorter than it is cut.
    assert found["A"] == found["B"] == 90 + Fr(1, 2)
    assert 90 < found["top"] <= 90 + Fr(1, 2)
    beam = record.beam("1")
    assert found["top"] == blank_of(beam, beam.pieces["top"], record.job.cutting).length


def test_a_sloped_side_is_bought_with_the_corners_past_its_bottom_edge(job_of, now) -> None:
    record = job_of([(100, 8, 10)])
    changed = {"ceiling": "sloped", "pitch": "12/12"}
    record.make(beams.change_beam(record, "1", changed, now))
    beam = record.beam("1")
    # Not read: at 45 degrees the top runs 10 in past the bottom edge at the high end.
    blank = blank_of(beam, beam.pieces["A"], record.job.cutting)
    assert (blank.length, blank.measured, blank.start) == (111, False, Fr(-1, 2))
    read_side(record, now, "A", "100", ("0", "in"), ("0", "in"))
    beam = record.beam("1")
    blank = blank_of(beam, beam.pieces["A"], record.job.cutting)
    assert (blank.length, blank.start, blank.slants) == (110, 0, (10, 10))
    record.make(beams.change_beam(record, "1", {"low": 2}, now))
    beam = record.beam("1")
    # The same board turned about: its blank begins 10 in before the bottom corner at end 1.
    assert blank_of(beam, beam.pieces["A"], record.job.cutting).start == -10


def test_a_bottom_whose_ends_are_turned_the_same_way_takes_a_longer_blank(job_of, now) -> None:
    record = job_of([(100, 8, 10)])
    one = take.typed_reading(record, "opening", "90", now)
    record.make(take.take(record, Spot("1", "bottom"), "opening", one))
    squares = (TypedSquare(1, "1", "24", "A"), TypedSquare(2, "1", "24", "B"))
    record.make(read_squares(record, "1", squares, now))
    beam = record.beam("1")
    blank = blank_of(beam, beam.pieces["bottom"], record.job.cutting)
    # A parallelogram: both edges 90 less 1/32, the one 6-1/2 / 24 past the other.
    assert blank.length >= 90 - Fr(1, 32) + Fr(13, 48)
    assert blank.length < 90 + Fr(13, 48)


@pytest.mark.parametrize("low", [1, 2])
def test_splices_of_a_sloped_beam_are_apart_as_it_hangs(job_of, shop_of, now, low) -> None:
    record = job_of([(290, 8, 10)], splices="butt")
    changed = {"ceiling": "sloped", "pitch": "12/12", "low": low}
    record.make(beams.change_beam(record, "1", changed, now))
    for side in "AB":
        read_side(record, now, side, "290", ("0", "in"), ("0", "in"))
    one = take.typed_reading(record, "opening", "290", now)
    record.make(take.take(record, Spot("1", "bottom"), "opening", one))
    books = shop_of((("1x12", "10', 16', 18'", "6.60"), ("1x10", "16', 18'", "5.40")))
    takeoff = solve(task_of(record, books, "hill"))
    record.make(keep(record, takeoff, now))
    # By hand: at 45 degrees a plumb wall leaves the square of the board by 1 in per inch, out
    # of the beam at its high end. A side's blank, 10 in high, begins 10 in before its bottom
    # corner where end 1 is the high one; the bottom, 1/4 in up, begins 1/4 in before it.
    begins = {"A": -10, "B": -10, "bottom": -Fr(1, 4)} if low == 2 else dict.fromkeys("AB", 0)
    begins.setdefault("bottom", Fr(1, 4))
    along = {}
    for piece in ("A", "B", "bottom"):
        parts = sorted(
            (p.part, p.length) for b in takeoff.boards for p in b.pieces if p.piece == piece
        )
        assert len(parts) == 2
        along[piece] = begins[piece] + parts[0][1]
    assert all(abs(a - b) >= 24 for a, b in combinations(along.values(), 2))
    # and from the middle of the beam as it hangs, and from where a side is full, 10 in in
    assert all(abs(place - 145) >= 12 for place in along.values())
    for side in "AB":
        assert 10 + 24 <= along[side] - begins["A"] <= 300 - 10 - 24
    told = {one.piece: one.along for one in spliced(record, record.boards)}
    assert told == {piece: (place,) for piece, place in along.items()}


def test_a_side_is_ripped_to_its_wider_face(job_of, shop_of, now) -> None:
    # Along a ridge of 6/12 the back is 3/4 x 1/2 = 3/8 higher than the show face.
    record = job_of([(90, 8, 10)])
    record.make(beams.change_beam(record, "1", ALONG_A_RIDGE, now))
    board = record.beam("1").boards["A"]
    assert width_to_rip(board) == 8 + Fr(3, 8) > board.width == 8
    takeoff = solve(task_of(record, shop_of(), "hill"))
    assert {p.width for b in takeoff.boards for p in b.pieces if p.piece in "AB"} == {Fr(67, 8)}
    # A pitch with an irrational tangent: the next 1/64 in, never less.
    record.make(beams.change_beam(record, "1", {"pitch": "25deg"}, now))
    board = record.beam("1").boards["A"]
    wide = width_to_rip(board)
    assert wide.denominator <= 64
    assert 0 <= float(wide) - max(float(board.width), float(board.back_width)) < 1 / 64
    # Mitered: the show face is the wider one.
    record = job_of([(90, 8, 10)])
    record.make(beams.change_beam(record, "1", {"form": "mitred"}, now))
    assert width_to_rip(record.beam("1").boards["A"]) == 10


def test_cleats_are_as_long_as_their_sides_blanks(job_of, now) -> None:
    record = job_of([(96, 8, 10)])
    (wanted,) = wanted_cleats(record, record.job.cutting)
    assert (wanted.thickness, wanted.length) == (Fr(3, 4), 192)
    read_side(record, now, "A", "90", ("1/8", "out"), ("0", "in"), level="24")
    (wanted,) = wanted_cleats(record, record.job.cutting)
    # Side A's blank is 90 + 10 x 1/8 / 24; side B follows A's run.
    assert wanted.length == 180 + Fr(10, 192)


def used(record):
    return {one.sort: one for one in used_up(record, ())}


def test_tape_is_for_sides_scribed_to_a_ceiling_alone(job_of, now) -> None:
    record = job_of([(96, 8, 10)])
    # One strip along each side and 4 in to tear at (common practice, no source).
    assert used(record)["tape"].packs.amount == 2 * 100
    for form in ("box", "mitred box"):
        record.make(beams.change_beam(record, "1", {"form": form}, now))
        assert "tape" not in used(record)
    record.make(beams.change_beam(record, "1", {"form": "mitred"}, now))
    assert used(record)["tape"].packs.amount == 2 * 100


@pytest.mark.parametrize(
    ("form", "cleats", "edges", "miters", "tops"),
    [
        ("usual", 2, 2, 0, 0),
        ("uneven", 2, 2, 0, 0),
        ("ridge", 2, 2, 0, 0),
        # One cleat on the side, one on the wall, which is nailed to the wall's framing.
        ("wall", 1, 2, 0, 0),
        ("box", 2, 2, 0, 2),
        ("mitred", 0, 0, 2, 0),
        ("mitred box", 0, 0, 2, 2),
    ],
)
def test_nails_and_glue_are_bought_by_what_is_there(
    job_of, now, form, cleats, edges, miters, tops
) -> None:
    """By hand: what runs along 96 in of each type, a nail every 8 in and one 2 in from either
    end, a twentieth over (common practice, no source)."""
    record = job_of([(96, 8, 10)])
    more = {"uneven": {"height_b": Fr(9)}, "ridge": {"pitch": "6/12"}}.get(form, {})
    record.make(beams.change_beam(record, "1", {"note": form, "form": form, **more}, now))
    found = used(record)
    nails = sum((one.packs.amount for one in used_up(record, ()) if one.sort == "nails"), Fr(0))
    along = 1 + 12  # 92 in at no more than 8 in: 11.5, so 12 spaces
    assert nails == (cleats + edges + miters + tops) * along * Fr(21, 20)
    beaded = Fr((cleats + edges) * 96, 12) * Fr(11, 10)
    assert (found["adhesive"].packs.amount if "adhesive" in found else 0) == beaded
    assert ("glue" in found) == ("mitred" in form)
    assert ("tape" in found) == ("box" not in form)
    for one in used_up(record, ()):
        if one.sort == "nails":
            assert one.name == "18 gauge nails, 1 1/4 in"


@pytest.mark.parametrize(("form", "miters"), [("mitred", 2), ("mitred box", 4)])
def test_each_miter_is_glued_once(job_of, now, form, miters) -> None:
    record = job_of([(96, 8, 10)])
    record.make(beams.change_beam(record, "1", {"form": form}, now))
    # A miter of 45 degrees in 3/4 in stock is 3/4 x sqrt 2 wide; glue 6 thousandths thick, a
    # fluid ounce 231/128 cubic inches (NIST Handbook 44, appendix C).
    ounces = miters * 96 * 0.75 * sqrt(2) * 0.006 / (231 / 128)
    assert float(used(record)["glue"].packs.amount) == pytest.approx(ounces, rel=1e-9)
    assert hypot(0.75, 0.75) == pytest.approx(0.75 * sqrt(2))


def without(record, now, *keys):
    """The job with some of its first beam's pieces gone, as a folder may hold one that an older
    version imported."""
    doc = record.tables["beams"]["1"]
    pieces = {key: one for key, one in doc["pieces"].items() if key not in keys}
    put = edit(record.tables, ("beams", "1", "pieces"), pieces)
    record.make(Change("took pieces out", (put,), now), sound=False)


def test_a_beam_without_pieces_is_told_in_a_sentence(job_of, shop_of, now, refusing) -> None:
    record = job_of([(96, 8, 10)])
    without(record, now, "A", "B", "bottom", "cleats")
    assert "has a side, bottom or top to buy boards for" in refusing(
        task_of, record, shop_of(), "hill"
    )
    assert used_up(record, ()) == ()
    record = job_of([(96, 8, 10), (90, 8, 10)])
    without(record, now, "A", "B", "bottom", "cleats")
    takeoff = solve(task_of(record, shop_of(), "hill"))
    assert {p.beam for b in takeoff.boards for p in b.pieces} == {"2"}
    assert takeoff_sheet("hill", record, takeoff, {}, kept=False).values


@pytest.mark.parametrize(
    "form",
    [{}, {"form": "mitred"}, {"form": "box"}, {"form": "mitred box"}, {"form": "wall"},
     ALONG_A_RIDGE],
)  # fmt: skip
@pytest.mark.parametrize("gone", ["A", "bottom", "cleats", "top"])
def test_a_beam_that_lacks_a_piece_is_planned_without_it(job_of, shop_of, now, form, gone) -> None:
    record = job_of([(96, 8, 10)])
    if form:
        record.make(beams.change_beam(record, "1", form, now))
    without(record, now, gone)
    if set(record.beam("1").pieces) <= {"cleats"}:
        return
    takeoff = solve(task_of(record, shop_of(), "hill"))
    pieces = {p.piece for b in takeoff.boards for p in b.pieces}
    assert pieces == set(record.beam("1").boards) & set(record.beam("1").pieces)
    record.make(keep(record, takeoff, now))
    assert without_board(record) == ()
    assert takeoff_sheet("hill", record, kept_takeoff(record), {}, kept=True).lines


def test_what_is_left_out_or_has_changed_is_not_proven(job_of, shop_of, now) -> None:
    record = job_of([(96, 8, 10)])
    takeoff = solve(task_of(record, shop_of(), "hill"))
    assert "proven, no plan with these cuts costs less" in cost_line(takeoff)
    assert "each board is ripped into strips" in cuts_compared(takeoff)
    record.make(keep(record, takeoff, now))
    assert kept_takeoff(record).optimal
    # Side A turns out longer than its board: the cost is not that of the whole job.
    read_side(record, now, "A", "120", ("0", "in"), ("0", "in"))
    kept = kept_takeoff(record)
    assert "Hall 1 side A" in kept.left_out
    assert not kept.optimal
    assert "some pieces have no board" in cost_line(kept)
    assert cuts_compared(kept) == ""
    sheet = takeoff_sheet("hill", record, kept, {}, kept=True)
    assert not any("proven" in line for line in sheet.lines)
    assert sheet.values["optimal"] is False

    # All is shorter than planned: the boards do, but a cheaper plan may.
    record = job_of([(96, 8, 10)])
    record.make(keep(record, solve(task_of(record, shop_of(), "hill")), now))
    for side in "AB":
        read_side(record, now, side, "60", ("0", "in"), ("0", "in"))
    kept = kept_takeoff(record)
    assert (kept.left_out, kept.changed, kept.optimal) == ((), True, False)
    assert "plan again" in cost_line(kept)


def test_cleats_that_no_board_gives_are_told(job_of, shop_of, now) -> None:
    record = job_of([(96, 8, 10)])
    record.make(keep(record, solve(task_of(record, shop_of(), "hill")), now))
    puts = tuple(
        edit(record.tables, ("boards", row), {k: v for k, v in doc.items() if k != "cleats"})
        for row, doc in record.tables["boards"].items()
    )
    record.make(Change("took the cleats off", puts, now))
    assert without_board(record) == ("cleats",)
    assert not kept_takeoff(record).optimal


def test_the_cuts_that_are_compared_are_those_of_the_saws(job_of, shop_of) -> None:
    for saws, says in (
        ("rip", "each board is ripped into strips as wide as a piece, then crosscut"),
        ("crosscut", "each board is crosscut to lengths"),
    ):
        record = job_of([(96, 8, 10)], saws=saws)
        takeoff = solve(task_of(record, shop_of(), "hill"))
        assert says in cuts_compared(takeoff)
    record = job_of([(40, 6, 7)], match="all")
    takeoff = solve(task_of(record, shop_of(), "hill"))
    assert "Matched beams come from their own boards." in cuts_compared(takeoff)


def test_a_plan_kept_by_an_earlier_version_claims_nothing(job_of, shop_of, now) -> None:
    record = job_of([(96, 8, 10)])
    record.make(keep(record, solve(task_of(record, shop_of(), "hill")), now))
    del record.tables["job"]["1"]["plan"]["saws"]
    record.forget([("job", "1")])
    assert not kept_takeoff(record).optimal
    assert "plan again" in cost_line(kept_takeoff(record))
