"""In and out typed with the gap at a wall, before or behind it."""

import pytest

from crewdesk.job.beams.take import lean_in


@pytest.mark.parametrize(
    ("text", "gap", "lean"),
    [
        ("3/16 o", "3/16", "out"),
        ("3/16o", "3/16", "out"),
        ("3/16 out", "3/16", "out"),
        ("3/16 Out", "3/16", "out"),
        ("i 1/8", "1/8", "in"),
        ("in 1/8", "1/8", "in"),
        ("out: 1/8", "1/8", "out"),
        ("1/8 i", "1/8", "in"),
        ("1/8 in at top", "1/8", "in"),
        ("1/8 in out", "1/8 in", "out"),
        ("5 mm o", "5 mm", "out"),
        ("3/16 out at the top", "3/16", "out"),
    ],
)
def test_the_way_is_read_with_the_gap(text: str, gap: str, lean: str) -> None:
    assert lean_in(text) == (gap, lean)


@pytest.mark.parametrize(
    "text", ["1/8", "1/8 in", "1/8in", "3 mm", "", "in", "o", "i 1/8 o", "abc"]
)
def test_what_says_no_way_stays_as_it_is(text: str) -> None:
    assert lean_in(text) == (text, "")
