"""The table of the file format in DEVELOPERS.md is made from the rows' declarations.

`python -m tests.test_file_format` writes it anew.
"""

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import crewdesk.job
from crewdesk.job.row import Field, Values

GUIDE = Path(__file__).parent.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- rows: made by tests/test_file_format.py -->\n", "<!-- rows end -->\n"


def rows(cls: type[Values] = Values) -> Iterator[type[Values]]:
    """Yield every kind of row that is declared."""
    for one in cls.__subclasses__():
        if one.declared:
            yield one
        yield from rows(one)


def table() -> str:
    """Return the table: a line for each kind of row."""
    for module in walk_packages(crewdesk.job.__path__, "crewdesk.job."):
        import_module(module.name)
    lines = [
        f"| {one.noun} | {told(one, needed=True)} | {told(one, needed=False)} |"
        for one in sorted(rows(), key=lambda one: (one.noun, one.__name__))
    ]
    head = ["| Row | Has | May have |", "| --- | --- | --- |"]
    return "\n".join([*head, *lines, ""])


def told(row: type[Values], *, needed: bool) -> str:
    """Return a row's fields by their keys, each with its kind."""
    fields: list[Field] = [one for one in row.declared if one.needed == needed]
    return "; ".join(f"`{one.key}`: {one.kind.about}" for one in fields)


def test_the_guide_has_every_field_of_every_row() -> None:
    text = GUIDE.read_text(encoding="utf-8")
    assert text.split(BEGIN)[1].split(END)[0] == table()


if __name__ == "__main__":
    before, rest = GUIDE.read_text(encoding="utf-8").split(BEGIN)
    after = rest.split(END)[1]
    GUIDE.write_text(f"{before}{BEGIN}{table()}{END}{after}", encoding="utf-8")
