"""Put into README what the program makes for it: the run sheet, the keys, the commands.

python -m tests.pictures.into_readme
"""

from pathlib import Path

from tests.pictures.commands import commands_table
from tests.pictures.keys import keys_table
from tests.pictures.run_sheet import run_sheet

README = Path(__file__).parent.parent.parent / "README.md"


def note(name: str) -> str:
    """Return the line in README before what `tests.pictures.NAME` makes."""
    return f"<!-- made by: python -m tests.pictures.{name} -->\n\n"


def pictures() -> dict[str, str]:
    """Each thing as it stands in README, by the module that makes it."""
    return {
        "run_sheet": f"```text\n{run_sheet()}\n```\n",
        "keys": f"{keys_table()}\n",
        "commands": f"{commands_table()}\n",
    }


def with_pictures(text: str, made: dict[str, str]) -> str:
    """README's text with each thing in its place, up to the next empty line behind it."""
    for name, thing in made.items():
        before, marked, after = text.partition(note(name))
        end = "\n```\n" if thing.startswith("```") else "\n\n"
        _, _, rest = after.partition(end)
        text = before + marked + thing.rstrip("`\n") + end + rest
    return text


if __name__ == "__main__":
    README.write_text(with_pictures(README.read_text(), pictures()))
