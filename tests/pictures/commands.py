"""The commands and what each does, gathered from the argument parser, as a table for README.

python -m tests.pictures.commands
"""

import sys
from argparse import _SubParsersAction

from crewdesk.cli import _parser


def commands_table() -> str:
    """Return the table in Markdown: each command, and its help."""
    groups = _parser([])._subparsers
    assert groups is not None
    (commands,) = [one for one in groups._actions if isinstance(one, _SubParsersAction)]
    rows = [f"| `{one.dest}` | {one.help} |" for one in commands._choices_actions]
    return "\n".join(
        (
            "| Command | What it does |",
            "| --- | --- |",
            "| none | open your jobs on screen |",
            *rows,
        )
    )


if __name__ == "__main__":
    sys.stdout.write(f"{commands_table()}\n")
