"""A job from its first beam to the last payment, in a real terminal."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.terminal.conftest import Desk


@pytest.mark.slow
def test_a_job_from_estimate_to_paid(desk: Callable[..., Desk], tmp_path: Path) -> None:
    one = desk()
    one.see("Welcome to crewdesk")
    one.press("ctrl+s")
    one.see("How do you want to start?")

    # A job and a beam of 20 ft, out of a list of one line.
    one.press("2")
    one.see("A new job")
    one.type("Juniper Court")
    one.press("enter")
    one.type("Ada Quill")
    one.press("ctrl+s")
    one.see("Their beam type")
    one.press("1")
    one.see("its beams", "Nothing typed yet")
    one.type("Lounge: beam 20'")
    one.see("1 beam in all")
    one.press("ctrl+s")
    one.see("Lounge", "side A")

    # Without a rate there is no price, and the page says so; the shop takes 60 an hour.
    one.press("$")
    one.see("No price yet", "No hourly rate is set")
    one.press("f7")
    one.see("Who measures")
    one.press_until("down", "A job can have its own")
    one.press("enter")
    one.see("Hourly rate", "85 or 85/h")
    one.type("60")
    one.press("enter")
    one.see("Saved: changed Business settings: hour")
    one.press("esc")

    # Ripping is reckoned at 1 min a foot and 4 a beam: 24 min of 20 ft, $24.00.
    one.see("Juniper Court · money", "likely", "$24.00")
    one.press("y")
    one.see("accepted the estimate", "Ada Quill")
    one.press("ctrl+s")
    one.see("Ada Quill accepted the estimate")

    # The deposit of 30%, and its payment.
    one.press("n")
    one.see("Deposit invoice 1", "Deposit, 30%")
    one.press("i")
    one.see("Issue invoice 1")
    one.press("1")
    one.see("Saved: issued invoice 1")
    one.press("p")
    one.see("Payment on invoice 1")
    one.press("ctrl+s")
    one.see("Saved: payment of")
    one.press("esc")
    one.see("1  deposit", "paid")

    # The final one, for the rest.
    one.press("n")
    one.see("next invoice", "nothing to bill")
    one.press("k")
    one.see("Which invoice?")
    one.press("3")
    one.see("Final")
    one.press("i")
    one.see("Issue invoice 2")
    one.press("1")
    one.see("Saved: issued invoice 2")

    # The file tells where it lies, and is a PDF.
    file = tmp_path / "two.pdf"
    one.press("s")
    one.see("New file")
    one.press("ctrl+u")
    one.type(str(file))
    one.press("enter")
    one.see("Wrote")
    assert file.read_bytes().startswith(b"%PDF-")
    one.press("p")
    one.see("Payment on invoice 2")
    one.press("ctrl+s")
    one.see("Saved: payment of")
    one.press("esc")
    one.see("balance due $0.00", "2  final", "1  deposit")

    # Over all jobs nobody owes anything.
    one.press("esc", "esc")
    one.see("Juniper Court", "New job")
    one.press("m")
    one.see("No one owes anything.", "By year")
    one.press("ctrl+q")
    assert one.left() == 0
