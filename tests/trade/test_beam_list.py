"""Lists of beams: read as they are written, refused where they can be read in two ways."""

from fractions import Fraction as Fr

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.length import mixed
from crewdesk.trade.beam_list import BeamLine, TypeInList, read_beam_list

FEET = 12
USUAL = BeamLine("Great room", 4, Fr(16 * FEET), Fr(29, 4), Fr(6))


@pytest.mark.parametrize(
    "text",
    [
        "Great room: 4 beams 16' 7-1/4x6",
        "Great room 4 beams 16' 7 1/4 x 6",
        "great room: 4 x 16' 7¼×6",
        "Great room: 4 beams, 16 ft, 7.25 by 6",
        '- Great room: 4 @ 16\'-0" 7-1/4" x 6"',
        "2. Great room: 4 pcs. 192 7-1/4 X 6",
        "Great room: 4 beams 7-1/4 * 6 at 16' long",
        "Great room: 4 beams 7-1/4x6x16'",
        "Great room: 4 16\u2019 7-1/4x6",
        "Great room:\n\n  4 beams 16' 7-1/4x6",
        "Great room\t4\t16'\t7-1/4\t6",
    ],
)
def test_a_line_is_read_in_many_spellings(text: str) -> None:
    (line,) = read_beam_list(text)
    assert line.room.casefold() == "great room"
    assert (line.count, line.length, line.width, line.height) == (4, 192, Fr(29, 4), 6)


@pytest.mark.parametrize(
    ("rest", "told"),
    [
        ("6x8", (1, None, 6, 8)),
        ("one beam 12' 3-5/16\"", (1, Fr(2357, 16), None, None)),
        ("3 beams", (3, None, None, None)),
        ("8x10 16'", (1, 192, 8, 10)),
        ("4x16'", (4, 192, None, None)),
        ("beam 12' 6\" 6x8", (1, 150, 6, 8)),
    ],
)
def test_what_is_left_out_is_left_open(rest: str, told: tuple[object, ...]) -> None:
    (line,) = read_beam_list(f"Bedroom 2: {rest}")
    assert (line.room, line.count, line.length, line.width, line.height) == ("Bedroom 2", *told)


def test_a_room_holds_until_the_next_one() -> None:
    found = read_beam_list("Hall: 2 beams 12' 6x8\n14' 6x8\nKitchen:\n3 beams\n\t2\t9'")
    assert [(one.room, one.count) for one in found] == [
        ("Hall", 2),
        ("Hall", 1),
        ("Kitchen", 3),
        ("Kitchen", 2),
    ]


def test_millimetres_are_read_where_the_job_is_in_them() -> None:
    """25.4 mm to the inch exactly: NIST SP 811, appendix B."""
    (line,) = read_beam_list("Hall: 2 beams 4572 152.4x203.2", unit="mm")
    assert (line.length, line.width, line.height) == (180, 6, 8)


@pytest.mark.parametrize(
    ("text", "why", "says"),
    [
        ("", "There is no beam in the list", "no beam in the list"),
        ("Hall:\n", "There is no beam in the list", "no beam in the list"),
        ("4 beams 16' 6x8", "has no room, and no line before it has one. Type", "has no room"),
        (
            "Hall: two of the long ones",
            "can't be read. Type ROOM: HOW MANY",
            "Line 1, Hall: two of the long ones",
        ),
        ("Hall: 6x8\nHall: x 8", "can't be read. Type ROOM: HOW MANY", "Line 2"),
        (
            "Hall: 2x10",
            "over the sides, from 3 in to 48 in; height from 2 in to 48 in",
            "2 in wide and 10 in high",
        ),
        ("Hall: 1000 beams 16' 6x8", "a line can have from 1 to 99", "has 1000 beams"),
        ("Hall: 0 beams", "a line can have from 1 to 99", "has 0 beams"),
        ("Hall: 2 beams 16 6x8", "can be read in more than one way. Type", '16\' 0" 6" x 8"'),
        ("Hall: 4 6x8", "can be read in more than one way. Type", "4' 0\""),
        ("Hall: 12 3 5/16 6x8", "can be read in more than one way. Type", "12' 3 5/16\""),
        ("Hall: 6x8x10", "can be read in more than one way. Type", "10' 0\""),
        ("Hall\t2\t12'\t6\t", "can't be read. Type ROOM: HOW MANY", "Line 1"),
        ("Hall: 6x8 " + "9" * 300, "has more than", "more than 200"),
        ("Hall: 6x8\n" * 201, "lines. Put the rest in a second list", "up to 200 lines"),
    ],
)
def test_what_makes_no_sense_or_two_is_told_in_a_sentence(text: str, why: str, says: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_beam_list(text)
    assert why in str(caught.value)
    assert says in caught.value.shown()


def parts(most: int) -> st.SearchStrategy[Fr]:
    return st.builds(Fr, st.integers(1, most * 16), st.just(16))


LINES = st.builds(
    BeamLine,
    st.sampled_from(["Hall", "Great room", "Bedroom 2", "Loft: north"]),
    st.integers(1, 99),
    st.none() | parts(1194).map(lambda x: min(x + 6, Fr(1200))),
    parts(45).map(lambda x: x + 3),
    parts(45).map(lambda x: x + 2),
)


@given(LINES, st.sampled_from(["x", " x ", "×", " by "]), st.booleans())
def test_a_line_that_is_written_reads_back_exactly(
    line: BeamLine, times: str, columns: bool
) -> None:
    assert read_beam_list(line.written().replace(" x ", times)) == (line,)
    if columns:
        length = "" if line.length is None else f'{mixed(line.length)}"'
        cells = (line.room, str(line.count), length, mixed(line.width), mixed(line.height))
        assert read_beam_list("\t".join(cells)) == (line,)


WORDS = st.sampled_from(
    ["Hall:", "4", "beams", "16'", "16", "6x8", "x", "6", "-", "1/2", "7-1/4x6", "@", "\t", "\n"]
)


@example("Hall: 16' 16")
@example("Hall: 1/2 4 6x8")
@given(st.lists(WORDS, max_size=7).map(" ".join) | st.text("Hal: 46x'\"/-,@.\u00d7", max_size=24))
def test_any_text_is_read_or_refused_and_what_is_offered_is_accepted(text: str) -> None:
    try:
        found = read_beam_list(text)
    except BadInput as refusal:
        told = refusal.shown()
        assert told.endswith(".")
        assert "\n" not in told
        offered = refusal.facts.get("readings", ())
        assert len(offered) != 1
        again = {read_beam_list(one) for one in offered}
        assert len(again) == len(offered)
    else:
        assert all(1 <= one.count <= 99 and one.room for one in found)
        assert all((one.width is None) == (one.height is None) for one in found)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Great room: 1 sloped beam", "sloped"),
        ("Great room: 2 mitered box beams 16' 8x10", "mitered box"),
        ("Great room 1 beam 16' along a wall", "along a wall"),
        ("1 Ridge beam 16'", "Ridge"),
    ],
)
def test_a_type_in_a_line_is_answered_by_where_it_is_set(text: str, kind: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_beam_list(text)
    assert isinstance(refused.value, TypeInList)
    assert refused.value.facts["type"] == kind
    assert "Edit beam on the run sheet" in refused.value.shown()


@pytest.mark.parametrize("room", ["Ridge room", "Sloped hall", "Wall"])
def test_a_room_may_be_called_by_such_a_word(room: str) -> None:
    for colon in (":", ""):
        (line,) = read_beam_list(f"{room}{colon} 4 beams 16' 8x10")
        assert (line.room, line.count) == (room, 4)


@pytest.mark.parametrize(
    ("line", "room", "pitch"),
    [
        ("Living room: 3 beams 18' 8x10 sloped 5/12", "Living room", "5/12"),
        ("Living room, cathedral 5/12: 3 beams 18' 8x10", "Living room", "5/12"),
        ("Den: 3 beams 18' 8x10, vaulted 6-1/2 in 12", "Den", "6-1/2/12"),
        ("Den: 3 beams 18' 8x10 sloped 22.6 deg", "Den", "22.6deg"),
        ("Cathedral room: 3 beams 18' 8x10", "Cathedral room", ""),
    ],
)
def test_a_slope_is_jotted_with_the_beams(line: str, room: str, pitch: str) -> None:
    (one,) = read_beam_list(line)
    assert (one.room, one.count, one.pitch) == (room, 3, pitch)
    assert (one.length, one.width, one.height) == (216, 8, 10)
    assert read_beam_list(one.written()) == (one,)


def test_a_slope_that_no_ceiling_has_is_refused() -> None:
    with pytest.raises(BadInput):
        read_beam_list("Den: 3 beams sloped 89.99deg")


def test_a_slope_is_read_in_a_cell_of_a_table_too() -> None:
    (one,) = read_beam_list("Den sloped 5/12\t3\t18'\t8\t10")
    assert (one.room, one.pitch, one.count, one.length) == ("Den", "5/12", 3, 216)
