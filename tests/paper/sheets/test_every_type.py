"""What is printed of a job with a beam of every type: whole, and the same on every page."""

import re
from datetime import datetime
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.marks import marks
from crewdesk.job.record import Record
from crewdesk.paper.lengths import length_json
from crewdesk.paper.sheets.labels import LABEL_SHEETS, labels
from crewdesk.paper.sheets.pen import PAPERS
from crewdesk.paper.text.cutlist import cut_list, folded, piece_lines
from crewdesk.trade.cuts.forms import TO_SCRIBE
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE
from tests.paper.sheets.every_type import every_batch, every_type
from tests.sampled import sampled

NOW = datetime.fromisoformat("2026-03-02T07:30:00-05:00")


@pytest.fixture(scope="module")
def odd() -> Record:
    return every_type(NOW)


@pytest.fixture(scope="module")
def cuts(odd: Record, print_it, read_pdf):
    """The cut pages of all beams."""
    return read_pdf(print_it(odd, "cuts"))


def lines_of(record: Record, name: str, key: str) -> str:
    beam = beams.find_beam(record, f"Living room {name}")
    return "\n".join(piece_lines(record, beam, beam.piece(key)))


def page_of(pages, name: str) -> str:
    """All that is on the page of a beam, but for what is above its title."""
    texts = [text for page in pages for text in page.texts]
    start = texts.index(f"Living room {name}")
    later = [at for at, t in enumerate(texts) if at > start and t.startswith("Living room ")]
    return " ".join(texts[start : later[0] if later else None])


@pytest.mark.parametrize(
    ("step", "paper"),
    sampled([("1/64", "A4"), ("1/64", "letter"), ("mm", "A4"), ("1/32", "letter")], 2),
)
def test_no_text_is_cut_off(paper, step, print_it, read_pdf) -> None:
    """Lengths are longest in 64ths, and A4 is the narrower paper."""
    record = every_type(NOW, step)
    for part in ("cuts", "batches", "labels"):
        more = {"batches": every_batch(record)} if part == "batches" else {}
        for page in read_pdf(print_it(record, part, paper=PAPERS[paper], **more)):
            assert [t for t in page.texts if t.endswith(("...", "\u2026"))] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_no_label_is_cut_off_on_any_sheet(paper, odd, print_it, read_pdf) -> None:
    for sheet in LABEL_SHEETS[paper].values():
        for page in read_pdf(print_it(odd, "labels", paper=PAPERS[paper], labels=sheet)):
            assert [t for t in page.texts if t.endswith("...")] == []


def test_along_a_ridge_the_page_says_which_width_and_which_angle(cuts) -> None:
    page = page_of(cuts, "ridge")
    # A pitch of 6/12 is atan(1/2), 26.57 degrees off square; 4/12 is 18.43.
    for width, angle in (("8 3/8 in", "26.57"), ("9 15/16- in", "18.43")):
        assert f"top edge along the ridge: width at the back ({angle}\u00b0) {width}" in page
    assert "side width at the show face 8 in" in page


def test_along_a_wall_every_page_says_that_edge_b_is_scribed(odd, cuts) -> None:
    told = (
        "edge B square, scribed to the wall; stock to scribe 1/4 in, width left where the wall "
        "is straight 7 1/4 in"
    )
    assert told in lines_of(odd, "along a wall", "bottom")
    page = page_of(cuts, "along a wall")
    assert told in page
    assert "edge B, scribed to the wall" in page
    assert "set the scriber to 3/8 in; the side finishes" in page
    assert "both sides" not in page


def test_the_wall_edge_is_scribed_to_a_width(odd, print_it, read_pdf) -> None:
    [batch] = [one for one in every_batch(odd) if one.step.id == "scribe-wall"]
    scriber, saw = batch_settings(odd, "scribe-wall", batch.spots).groups
    made = marks(odd.beam(batch.spots[0].beam), odd.beam(batch.spots[0].beam).piece("bottom"))
    set_to = dict(scriber.setting)
    assert set_to == {"opening, usual": TO_SCRIBE, "width left, usual": made.width - TO_SCRIBE}
    assert set_to["width left, usual"] == 8 - Fr(3, 4)  # from side A's inner face to the wall
    assert saw.machine == "circular saw"
    assert saw.notes[-1].startswith("! ")
    text = " ".join(t for p in read_pdf(print_it(odd, "batches", batches=[batch])) for t in p.texts)
    assert "width left, usual 7 1/4 in" in text


def test_a_ridge_s_side_and_a_usual_one_are_cut_to_the_line_in_one_batch(odd) -> None:
    """One tilts the saw for the slope, the other for the back-cut alone: two settings."""
    for batch in every_batch(odd):
        for saw in (USUAL_MACHINE, USUAL_MACHINE._replace(scribe_cut="table saw")):
            assert batch_settings(odd, batch.step.id, batch.spots, saw).groups


def test_a_label_names_the_edges_that_differ_and_a_cleat_s_length(odd) -> None:
    for name, bottom, cleats in (
        ("skewed", "bottom, back up, edge A 119 15/16 in, edge B 119 17/32 in",
         ["cleat on side A, 119 23/32+ in", "cleat on side B, 119 7/32+ in"]),
        ("no square", "bottom, back up, 119 31/32 in",
         ["cleat on side A, 119 23/32+ in", "cleat on side B, 119 23/32+ in"]),
        ("along a wall", "bottom, back up, 119 31/32 in",
         ["cleat on side A, 119 23/32+ in", "cleat on the wall, 119 27/32+ in"]),
    ):  # fmt: skip
        beam = beams.find_beam(odd, f"Living room {name}")
        made = [one.piece for one in labels(odd, (beam,))]
        assert bottom in made
        assert [one for one in made if one.startswith("cleat")] == cleats


def test_labels_have_the_lengths_of_the_cut_list(odd) -> None:
    step = odd.job.step
    for beam in odd.beams:
        told = [one.piece for one in labels(odd, (beam,))]
        for key, piece in beam.pieces.items():
            made = marks(beam, piece)
            if piece.kind == "side":
                assert any(
                    made.cut and length_json(made.cut.bottom_length, step, "down")["shown"] in one
                    for one in told
                )
            for cleat in getattr(made, "cleats", ()):
                where = "the wall" if cleat.on == "wall" else f"side {cleat.on}"
                shown = length_json(cleat.length, step, "down")["shown"]
                assert f"cleat on {where}, {shown} in" in told, (beam.label, key)


def test_cleats_and_tops_say_within_what_they_are(odd, cuts) -> None:
    for beam in cut_list("odd", odd).values["beams"]:
        for piece in beam["pieces"]:
            known = [one for one in piece["marks"]["list"] if one["within"]]
            text = lines_of(odd, beam["name"], piece["piece"])
            assert bool(known) == ("within (in): " in text), (beam["name"], piece["piece"])
            assert piece["kind"] == "cleats" or known
            line = [one for one in text.splitlines() if one.startswith("within")]
            shown = page_of(cuts, beam["name"])
            assert all(one in shown for one in line)
            for one in known:
                if not one["id"].startswith("back_"):
                    assert one["within"]["shown"] in line[0]


def test_an_end_says_what_comes_before_its_relief(odd) -> None:
    into = lines_of(odd, "into a ridge", "bottom")
    assert "end 1: square across, then relief as on the edges" in into
    every = "\n".join(cut_list("odd", odd).lines)
    assert ": then relief" not in every
    # Edge B of a bottom along a wall has no relief that an end could be cut as.
    askew = lines_of(odd, "along a wall askew", "bottom")
    assert "then relief as on edge A" in askew
    assert "on the edges" not in askew


def test_text_page_and_json_round_a_slant_alike(odd, cuts) -> None:
    """Both walls turned alike: a parallelogram, whose edges run past by as much at either end.
    Both are shown to the nearest step, for the under-cut has room for what that hides."""
    for beam in cut_list("odd", odd).values["beams"]:
        for piece in beam["pieces"]:
            for end in piece["marks"].get("ends") or ():
                if not end["known"] or end["longer"] is None:
                    continue
                shown = end["offset"]["shown"].lstrip("-")
                if end["offset"]["shown"].startswith("-"):  # the sign of the rest turns too
                    shown = shown.translate(str.maketrans("+-", "-+"))
                if shown in ("0+", "0-"):
                    shown = "under 1/32"
                past = f"edge {end['longer']} runs past by {shown} in"
                assert past in lines_of(odd, beam["name"], piece["piece"])
                longer = f"edge {end['longer']} longer by {shown} in"
                assert longer in page_of(cuts, beam["name"])
    alike = lines_of(odd, "turned alike", "bottom")
    assert re.findall(r"runs past by (\S+) in", alike) == ["1/8+", "1/8+"]


def test_where_no_square_was_held_the_cut_page_says_so(odd, cuts) -> None:
    [batch] = [one for one in every_batch(odd) if one.step.id == "cut-bottom"]
    told = "Taken as square at both ends: no square was held there."
    settings = batch_settings(odd, "cut-bottom", batch.spots)
    assumed = {
        odd.beam(spot.beam).name
        for group in settings.groups
        for spot in group.spots
        if any("no square was held" in note for note in group.notes)
    }
    for beam in odd.beams:
        assert ("no square was held" in page_of(cuts, beam.name)) == (
            beam.name in assumed or beam.name == "box"
        )
    assert "no square" in assumed
    assert told in page_of(cuts, "no square")
    assert told in lines_of(odd, "no square", "bottom")
    for one in cut_list("odd", odd).values["beams"]:
        for piece in one["pieces"]:
            ends = piece["marks"].get("taken_as_square", [])
            text = lines_of(odd, one["name"], piece["piece"])
            where = "both ends" if len(ends) > 1 else f"end {ends[0]}" if ends else "end"
            assert (f"Taken as square at {where}:" in text) == bool(ends)
    for known in ("skewed", "turned alike", "mitered", "tape only"):
        assert "no square was held" not in page_of(cuts, known)


def test_a_page_that_is_turned_repeats_pass_and_setting(odd, print_it, read_pdf) -> None:
    for batch in every_batch(odd):
        passes = batch_settings(odd, batch.step.id, batch.spots).in_passes
        for page in read_pdf(print_it(odd, "batches", batches=[batch]))[1:]:
            at = [n for n, t in enumerate(page.texts) if t == f"{batch.step.name}, continued"]
            for number in at:
                assert not passes or page.texts[number + 1].startswith("Pass "), batch.step.id


def test_words_that_people_read_are_us_english(odd, cuts, print_it, read_pdf) -> None:
    batches = read_pdf(print_it(odd, "batches", batches=every_batch(odd)))
    text = "\n".join(t for page in (*cuts, *batches) for t in page.texts)
    text += "\n".join(cut_list("odd", odd).lines)
    assert not re.findall(r"(?i)mitre\w*|metre\w*|colour\w*|centre\w*|labour\w*", text)
    assert "compound: miter" in text


def test_a_page_says_type_and_slope(cuts) -> None:
    assert "; sloped 6/12, 26.57\u00b0, low at north chimney breast (end 1)," in page_of(
        cuts, "sloped"
    )
    assert "one side, against a wall" in page_of(cuts, "along a wall")


def test_cleats_say_what_they_are_ripped_to_on_every_page(odd, cuts) -> None:
    told = "ripped to 3/4 in off the side, sawn face against it, stock 3/4 in up the side"
    for beam in odd.beams:
        if "cleats" in beam.pieces:
            assert told in lines_of(odd, beam.name, "cleats")
            assert told in page_of(cuts, beam.name)


def test_a_wall_a_hair_off_square_asks_nothing_of_the_back() -> None:
    """On a slope a square's gap becomes a float; one below a billionth would be shown as 0."""
    record = every_type(NOW)
    row = beams.find_beam(record, "Living room sloped").row
    for gap, asked in (("0.000000000001", False), ("1/2", True)):
        read = (TypedSquare(1, gap, "24", "A"), TypedSquare(2, "0", "24", "A"))
        record.make(read_squares(record, row, read, NOW))
        told = lines_of(record, "sloped", "A")
        assert ("or more off the back face" in told) == asked
        assert not re.search(r"(?<![\d/])0[+-]? in or more", told)


def test_the_cut_list_is_broken_between_words_at_a_terminal_s_width(odd) -> None:
    lines = cut_list("odd", odd).lines
    made = folded(lines, 80)
    assert max(map(len, lines)) > 80
    assert max(map(len, made)) <= 80
    assert " ".join(made).split() == " ".join(lines).split()
