"""Whole answers typed at one go, faster than any screen follows, land in their own lines."""

from collections.abc import Callable

import pytest

from tests.terminal.conftest import KEYS, Desk

CTRL_S = KEYS["ctrl+s"]


def test_nothing_is_lost_or_misplaced_when_typed_ahead(desk: Callable[..., Desk]) -> None:
    one = desk()
    one.see("Welcome to crewdesk")
    one.type(f"{CTRL_S}2Juniper Court\rHollis\rlot 9\r1{CTRL_S}")
    one.see("Juniper Court", "No beams yet")
    one.type(f"a1\rLounge\rstair wall\rbay wall{CTRL_S}")
    one.see("added beam Lounge 1")
    one.type(f"{KEYS['enter']}146-3/4\r5/32\ti\r1/8\to\r")
    one.see(
        "measured end 2 of Lounge 1 side A",
        "146 3/4",
        "5/32            [in]  out",
        "1/8              in  [out]",
    )
    one.press("ctrl+q")
    assert one.left() == 0


@pytest.mark.slow
def test_leaving_from_any_screen_with_something_typed_leaves_cleanly(
    desk: Callable[..., Desk],
) -> None:
    one = desk()
    one.see("Welcome to crewdesk")
    one.type(f"{CTRL_S}2Juniper Court\r\r\r1{CTRL_S}")
    one.see("No beams yet")
    one.type(f"a1\rLounge{CTRL_S}")
    one.see("added beam Lounge 1")
    one.type(f"{KEYS['enter']}146{KEYS['ctrl+q']}")
    assert one.left() == 0
    two = desk()
    two.see("Juniper Court")
    two.type(f"{KEYS['enter']}c12{KEYS['ctrl+q']}")
    assert two.left() == 0
