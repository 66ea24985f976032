"""What README shows of the program is what the program makes: its run sheet, its keys."""

from pathlib import Path

import pytest

from tests.pictures.keys import keys_table
from tests.pictures.run_sheet import run_sheet

README = (Path(__file__).parent.parent / "README.md").read_text()


def made_by(name: str) -> str:
    """What stands in README behind the note of the command that makes it."""
    _, _, rest = README.partition(f"<!-- made by: python -m tests.pictures.{name} -->\n\n")
    return rest


def test_its_run_sheet_is_what_the_program_draws() -> None:
    picture, _, _ = made_by("run_sheet").removeprefix("```text\n").partition("\n```\n")
    made = run_sheet()
    assert "Great room" in made
    assert picture == made, "run: python -m tests.pictures.run_sheet"
    assert len(picture.splitlines()) == 24
    assert all(len(line) <= 80 for line in picture.splitlines())


def test_its_keys_are_those_of_the_bindings() -> None:
    table, _, _ = made_by("keys").partition("\n\n")
    assert table == keys_table(), "run: python -m tests.pictures.keys"


@pytest.mark.parametrize("instrument", ["laser", "level", "square", "tape"])
def test_it_tells_how_to_read_with_each_instrument(instrument: str) -> None:
    readings = README.partition("## Readings\n")[2].partition("\n## ")[0]
    assert f", with the {instrument}.**" in readings
    assert "ladder" in readings
