"""The keys of a day's pages, out of the table of actions, as a table for README.

python -m tests.pictures.keys
"""

import sys

from crewdesk.screens.parts.actions import AREAS, Area, key_words

DAILY = ("everywhere", "run-sheet", "batch", "piece", "one-number", "clock")
"""The pages of a day's work; `crewdesk keys` prints those of every page."""


def keys_table() -> str:
    """Return the table in Markdown: each of those pages, and what its keys do."""
    rows = [f"| {AREAS[name].words} | {_cell(AREAS[name])} |" for name in DAILY]
    return "\n".join(("| Where | Keys |", "| --- | --- |", *rows))


def _cell(page: Area) -> str:
    return ", ".join(
        f"{' '.join(f'`{key_words(key)}`' for key in one.keys)} {one.words}" for one in page.actions
    )


if __name__ == "__main__":
    sys.stdout.write(f"{keys_table()}\n")
