"""Anything at all given to the readers; `tests/bench/test_fuzz_bench.py` gives a million."""

import random
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.fuzz.readers import ALPHABET, TEXTS, changed, imports
from tests.hostile.strings import NOT_TAKEN, TAKEN

LONG = "9" * 5000
"""More figures than Python makes a number of."""
TOO_MUCH = (
    LONG, f"0{LONG}", f"1.{LONG}", f"{LONG}/h", f"{LONG}/4 x 8", f"4/4 x {LONG}", f"{LONG} mm",
    f"{LONG}/{LONG}", f"${LONG}", "0" * 5000 + "1", "1,000" * 1000, "1 " * 5000, "1:" * 4000,
    "mon " * 2000, "at " * 3000, "8 to " * 3000, "1h" * 3000, "(" * 5000, "-" * 5000, "\n" * 5000,
    "1'" * 3000, "1e999999999", "1_0", "40..43" * 2000, "\u0663" * 5000, "0/4 x 8", "\u00b2",
)  # fmt: skip


@pytest.mark.parametrize("read", TEXTS.values(), ids=TEXTS)
def test_hostile_texts_are_read_or_refused(read: Callable[[str], None]) -> None:
    for text in (*TAKEN, *NOT_TAKEN, *TOO_MUCH):
        read(text)


@given(st.one_of(st.text(max_size=40), st.lists(st.sampled_from(ALPHABET)).map("".join)))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in TEXTS.values():
        read(text)


@given(st.integers(0, 2**40))
def test_any_change_of_a_file_is_taken_in_or_refused(seed: int) -> None:
    changed(random.Random(seed))


@pytest.mark.parametrize(
    "data", [b"", b"\xff", b"{", b"[" * 100_000, b'{"a":' * 100_000, b"9" * 5000, b"1e9999", b"NaN",
             b'{"crewdesk": "job", "schema": 1' + b', "x": 1' * 1000 + b"}", b'"\\ud800"', b"\x00"]
)  # fmt: skip
def test_any_bytes_are_a_file_or_refused(data: bytes) -> None:
    imports(data)
