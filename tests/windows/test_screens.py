"""A walk through the screens on Windows, over pipes: what a console shows isn't seen by this."""

from collections.abc import Callable

import pytest

from tests.windows.conftest import SAMPLE, Screens, Windows

Run = Callable[..., bytes]
ESC, ENTER, CTRL_D, CTRL_Q, CTRL_Z = "\x1b", "\r", "\x04", "\x11", "\x1a"


@pytest.fixture
def run_sheet(
    windows: Windows, crewdesk: Run, screens: Callable[..., Screens]
) -> Callable[..., Screens]:
    """Opens the sample job's run sheet."""
    crewdesk("import", windows.path(SAMPLE))

    def opened(done: str = "191/390 done") -> Screens:
        program = screens()
        program.until("Tamarack Bend")
        program.press(ENTER)
        program.until(done, "Space Check off")
        return program

    return opened


def test_a_walk_through_the_screens(run_sheet: Callable[..., Screens]) -> None:
    program = run_sheet()
    program.press("r")  # to the next ready
    program.press(" ")
    program.until("192/390 done")
    program.press(CTRL_Z)
    program.until("191/390 done")
    program.press(ENTER)
    program.until("bottom edge", "* Check off")
    program.press(ESC)
    program.until("191/390 done")
    program.press(CTRL_D)
    program.until("Enter start")
    program.press(ESC)  # by itself: with the next key behind it at once it would be Alt
    program.until(gone="Enter start")
    program.press("$")
    program.until("Price", "Invoices")
    program.press(ESC)
    program.until("191/390 done")
    program.press(CTRL_Q)
    assert program.left() == 0


def test_a_check_off_outlives_a_kill(run_sheet: Callable[..., Screens], crewdesk: Run) -> None:
    program = run_sheet()
    program.press("r")
    program.press(" ")
    program.until("192/390 done")
    program.kill()
    assert b"all sound" in crewdesk("check")
    again = run_sheet("192/390 done")
    again.press(CTRL_Z)
    again.until("191/390 done")
    again.press(CTRL_Q)
    assert again.left() == 0


def test_accents_are_typed_and_shown(
    windows: Windows, crewdesk: Run, screens: Callable[..., Screens]
) -> None:
    crewdesk("import", windows.path(SAMPLE))
    program = screens()
    program.until("Tamarack Bend")
    program.press("\x06")  # Ctrl+f
    program.until("Find")
    program.press("Zoë")
    program.until("Zoë")
    program.press(ESC)
    program.until(gone="Zoë")
    program.press(CTRL_Q)
    assert program.left() == 0


def test_the_sample_job_of_the_first_command(
    windows: Windows, screens: Callable[..., Screens]
) -> None:
    program = screens("demo")
    program.until("Tamarack Bend", "Great room", "Space Check off")
    program.press(CTRL_Q)
    assert program.left() == 0
