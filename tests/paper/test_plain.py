"""Text of users can't drive the terminal or turn the reading direction.

The marks are those of Unicode Standard Annex 9 (bidirectional algorithm), table
"Directional Formatting Characters"; the escape sequences open with ESC or with the
C1 control CSI, as ECMA-48 has them (from memory).
"""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.paper.plain import plain

BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


@pytest.mark.parametrize("mark", [*BIDI, "\x1b", "\x9b", "\x00", "\x7f", "\ud800", "\ufeff"])
def test_a_mark_is_seen(mark: str) -> None:
    assert plain(f"oak{mark}[31m") == "oak?[31m"


@pytest.mark.parametrize("gap", ["\n", "\r", "\t", "\u2028", "\u2029", "\u00a0", "\x85"])
def test_a_break_becomes_a_space(gap: str) -> None:
    assert plain(f"oak{gap}beam") == "oak beam"


def test_what_is_written_on_a_site_stays() -> None:
    text = "\u00bd in off, Küche \u2192 Büro, 12\u2032 3\u2033, 木"
    assert plain(text) == text


@given(st.text(st.characters(codec=None)))
def test_nothing_unseen_is_left_and_nothing_moves(text: str) -> None:
    made = plain(text)
    assert len(made) == len(text)
    assert all(unicodedata.category(c) not in {"Cc", "Cf", "Cs", "Zl", "Zp"} for c in made)
    assert plain(made) == made
