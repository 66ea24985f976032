"""The keys of every page, gathered from its bindings, as a table for README.

python -m tests.pictures.keys
"""

import sys

from crewdesk.screens.named_keys import PageKeys, every_page, key_words


def keys_table() -> str:
    """The table in Markdown: each page, and what its keys do."""
    rows = [f"| {page.words} | {_cell(page)} |" for page in every_page().values()]
    return "\n".join(("| Where | Keys |", "| --- | --- |", *rows))


def _cell(page: PageKeys) -> str:
    return ", ".join(
        f"{' '.join(f'`{key_words(key)}`' for key in one.keys)} {one.words}" for one in page.actions
    )


if __name__ == "__main__":
    sys.stdout.write(f"{keys_table()}\n")
