"""Keeping forms of beam by name, so that a job begins with one of them."""

from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.beam import section_to_doc
from crewdesk.job.books.kept_form import KeptForm
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.forms import USUAL, form_of
from crewdesk.job.words import quoted
from crewdesk.trade.cuts.section import Section

MOST_KEPT = 50


def _usual(name: str, width: str, height: str, form: str = USUAL) -> KeptForm:
    return KeptForm("", name, form_of(form), Section(Fraction(width), Fraction(height)))


USUAL_FORMS = (
    _usual("Usual", "8", "10"),
    _usual("Low", "29/4", "6"),
    _usual("Small", "6", "8"),
    _usual("Along a wall", "4", "8", "wall"),
    _usual("Mitered", "8", "10", "mitred"),
)
"""What there is before the shop keeps forms of its own (common practice, no source)."""


def known_forms(books: ShopRecord) -> tuple[KeptForm, ...]:
    """The shop's own forms, the latest first, and behind them the usual ones."""
    own = books.every("forms", KeptForm.from_doc)
    names = {one.name.casefold() for one in own}
    return (
        *reversed(own),
        *(one for one in USUAL_FORMS if one.name.casefold() not in names),
    )


def keep_form(books: ShopRecord, name: str, form: str, section: Section, now: datetime) -> Change:
    """The change that keeps a form under a name; one of that name is kept no more.

    Raises `NotAllowed`.
    """
    own = books.every("forms", KeptForm.from_doc)
    twins = [one for one in own if one.name.casefold() == " ".join(name.split()).casefold()]
    if len(own) - len(twins) >= MOST_KEPT:
        raise NotAllowed(f"The shop keeps at most {MOST_KEPT} forms; remove one first.")
    row = twins[0].row if twins else books.new_row("forms")
    doc: Doc = {"name": name, "form": form, "section": section_to_doc(section)}
    kept = KeptForm.from_doc(row, doc)
    if twins and replace(kept, row=row) == twins[0]:
        raise NotAllowed(f"{quoted(kept.name)} is kept like that already; nothing was changed.")
    doc["name"] = kept.name
    return Change(f"kept form {kept.name}", (edit(books.tables, ("forms", row), doc),), now)


def remove_form(books: ShopRecord, row: str, now: datetime) -> Change:
    """The change that keeps a form no more; beams that were made by it stay as they are."""
    one = books.view("forms", row, KeptForm.from_doc)
    gone = edit(books.tables, ("forms", row), ABSENT)
    return Change(f"removed form {one.name}", (gone,), now)
