"""Adding, changing and removing lines of a job's material."""

from datetime import datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_quantity
from crewdesk.job.books.material import MaterialLine, material_name
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.record import Record
from crewdesk.trade.books.money import MOST, read_money, read_percent


def typed_material(
    record: Record,
    text: str,
    quantity: str,
    price: str,
    now: datetime,
    *,
    row: str = "",
    sort: str = "materials",
    waste: str = "",
    markup: str = "",
) -> Change:
    """The change that adds a line of material as typed, or changes the line `row`.

    `waste` and `markup` left empty are the shop's. Raises `NotAllowed` or `BadInput`.
    """
    text = material_name(text)
    many, each = read_quantity(quantity.strip(), text), read_money(price)
    if many * Fraction(each) > MOST:
        raise NotAllowed(f"So much {text} is more than any job here costs; the most is {MOST:,}.")
    doc: Doc = {"text": text, "quantity": str(many), "price": str(each), "sort": sort}
    if waste.strip():
        doc["waste"] = str(read_percent(waste, "waste"))
    if markup.strip():
        doc["markup"] = str(read_percent(markup, "markup"))
    lines = record.tables.get("materials", {})
    if row and row not in lines:
        raise NotAllowed("There is no such line of material; nothing was changed.")
    if of := lines.get(row, {}).get("of"):
        doc["of"] = of
    at = ("materials", row or record.new_row("materials"))
    what = f"{'changed' if row else 'added'} {doc['text']}"
    return Change(what, (edit(record.tables, at, doc),), now)


def remove_material(record: Record, row: str, now: datetime) -> Change:
    """The change that takes a line of material out."""
    line = record.view("materials", row, MaterialLine.from_doc)
    gone = edit(record.tables, ("materials", row), ABSENT)
    return Change(f"removed {line.text}", (gone,), now)
