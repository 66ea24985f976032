"""The keys of a day's pages, gathered from their bindings, as a table for README.

python -m tests.pictures.keys
"""

import sys

from crewdesk.screens.named_keys import PageKeys, every_page, key_words

DAILY = ("Everywhere", "Run sheet", "Batch", "Piece", "One number", "Clock")
"""The pages of a day's work; `crewdesk keys` prints those of every page."""


def keys_table() -> str:
    """Return the table in Markdown: each of those pages, and what its keys do."""
    pages = {page.words: page for page in every_page().values()}
    rows = [f"| {name} | {_cell(pages[name])} |" for name in DAILY]
    return "\n".join(("| Where | Keys |", "| --- | --- |", *rows))


def _cell(page: PageKeys) -> str:
    return ", ".join(
        f"{' '.join(f'`{key_words(key)}`' for key in one.keys)} {one.words}" for one in page.actions
    )


if __name__ == "__main__":
    sys.stdout.write(f"{keys_table()}\n")
