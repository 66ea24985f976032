"""Texts that want to be more than text, and a job that has them wherever a user can write.

`TAKEN` are those that a record keeps, and shows as they are or with a question mark for
what can't be seen. `NOT_TAKEN` are those that it refuses, with one sentence. The formulas
are of the sort that OWASP tells of under "CSV injection" (from memory), the marks those of
Unicode Standard Annex 9 and of the general category Cf.
"""

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

SAMPLE = Path(__file__).parent.parent.parent / "sample_data" / "tamarack-bend.json"

TAKEN = (
    "[bold red]oak[/] [/gone] [@click=app.quit]x[/]",
    "[not closed",
    "=HYPERLINK(1)",
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-2+3",
    "@SUM(A1:A9)",
    "\u200f9\u200b\u00ad\ufeff\u061c",
    "a\U000e0001\u2060\u180eb",
    "../../../etc/passwd",
    "/etc/passwd",
    "C:\\CON\\..",
    "~/x; rm -rf *",
    "$(reboot) `id`",
    "{0.__class__} %s%n {x!r}",
    "\\) Tj (x) %%EOF **b** __u__",
    'a "quoted", one;two',
    "SUMMARY:x BEGIN:VEVENT",
    "<script>alert(1)</script> &amp;",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467 \u6728\u6881 \u0645\u0631\u062d\u0628\u0627",
    "e" + "\u0301" * 30,
    "\u00a0nbsp\u2003em",
    "NaN",
    "null",
    "\u02bc=1+1",
    "\uff1d1+1",
)
BREAKS = "a\u2028b\u2029c\x85d\x0be"
"""Breaks become spaces in a name; a note, which has lines, refuses these."""
CONTROLS = (
    *"\x00\x01\x07\x08\x1b\x7f\x9b\x9d",
    *"\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
    "\ud800",
)
NOT_TAKEN = (
    "\x1b[31mred\x1b[0m",
    "\x1b]0;title\x07",
    "\x9b2J",
    *(f"a{mark}b" for mark in CONTROLS),
    "A" * 100_000,
    "9" * 100_000,
    "[" * 100_000,
)

_TEXTS = (
    *("name", "customer", "site", "note", "notes", "room", "who", "instrument", "typed", "reason"),
    *("cause", "text", "accepted_by", "by", "species"),
)
_LISTS = ("ends", "reasons")


class _Pool:
    """One text after another; a name that must be its own gets a number behind it."""

    def __init__(self) -> None:
        self.given = 0

    def next(self) -> str:
        self.given += 1
        return TAKEN[self.given % len(TAKEN)]

    def name(self) -> str:
        return f"{self.next()} {self.given}"


def hostile_job() -> dict[str, Any]:
    """The sample job without its history, its every text one of `TAKEN`; so are the ids of
    one stage and one of its steps, as only a file made by hand can have them."""
    document = json.loads(SAMPLE.read_text())
    del document["history"]
    document["job"]["other_work"] = [{"id": "../travel", "name": "x"}]
    document = _renamed(document, {"tack": "[/tack]=1", "scribe": "../scribe [b]"})
    pool = _Pool()
    _fill(document, pool)
    job = document["job"]
    job["name"], job["customer"] = TAKEN[0], TAKEN[2]
    job["cutting"] = {"species": TAKEN[7], "grade": TAKEN[0]}
    for stage in job["stages"]:
        for step in stage["steps"]:
            step["name"] = pool.name()
    sides = document["beams"]["1"]["pieces"]
    for key, kept in (("A", None), ("B", TAKEN[1])):  # a cut that is held, one that was kept
        mark = sides[key]["steps"]["cut-side"]
        figures = {"bottom_length": {"exact": "200", "shown": "200"}}
        mark["cut"]["figures"].update(figures)
        if kept:
            today = {"bottom_length": {"exact": sides[key]["readings"]["run"][-1]["value"],
                                       "shown": "x"}}  # fmt: skip
            mark["kept"] = {"reason": kept, "when": mark["when"], "figures": today}
    entry = next(iter(document["entries"].values()))
    entry["note"] = "first\nBEGIN:VEVENT\n=1+1"
    return document


def _fill(here: Any, pool: _Pool) -> None:
    for key, value in here.items() if isinstance(here, dict) else enumerate(here):
        if isinstance(value, str):
            if key in _TEXTS:
                here[key] = pool.name()
        elif isinstance(value, list) and key in _LISTS:
            here[key] = [pool.name() for _ in value]
        elif isinstance(value, dict | list) and key != "needs":
            _fill(value, pool)


def _renamed(here: Any, ids: dict[str, str]) -> Any:
    if isinstance(here, dict):
        return {ids.get(key, key): _renamed(value, ids) for key, value in here.items()}
    if isinstance(here, list):
        return [_renamed(one, ids) for one in here]
    return ids.get(here, here) if isinstance(here, str) else here


def hostile_shop() -> dict[str, str]:
    """Every text of the shop, as it is typed."""
    keys = ("who", "name", "licence", "phone", "email")
    texts = dict(zip(keys, TAKEN, strict=False))
    return {**texts, "address": "=1 Lane\n[b]Town[/]", "terms_text": "@pay\n\u200f[i]soon"}


def hostile_stock() -> dict[str, Any]:
    """A stock list with such texts."""
    board = {"species": TAKEN[7], "grade": TAKEN[0], "size": TAKEN[2], "true": "3/4 x 11-1/4"}
    more = {"lengths": "8', 12', 16', 20'", "price": "30", "per": "foot"}
    on_hand = {"species": TAKEN[5], "size": TAKEN[3], "true": "3/4 x 9", "length": "9'"}
    return {"crewdesk": "stock", "stock": [{**board, **more}], "on_hand": [on_hand]}


def fill_desk(desk: Any, now: datetime) -> str:
    """A data folder with all of it, and an invoice that was issued; the job's id."""
    from crewdesk.job.books.documents import credit_invoice
    from crewdesk.job.books.payments import pay
    from crewdesk.job.books.shop_lists import keep_customer
    from crewdesk.job.lumber.stock_list import take_stock_in
    from crewdesk.store.books import issue
    from crewdesk.trade.books.money import read_money

    id_: str = desk.take_in(hostile_job(), now)
    shop = desk.shop
    shop.change(now, **hostile_shop(), hour="85")
    shop.make(
        lambda books, at: keep_customer(
            books, at, name=TAKEN[2], address="=2\n[b]x", phone=TAKEN[4], email=TAKEN[6]
        ),
        now,
    )
    shop.make(lambda books, at: take_stock_in(books, hostile_stock(), at), now)
    record = desk.open(id_, writing=False).record
    issue(desk, id_, record, now)
    shop.make(lambda books, at: pay(books, 1, read_money("5"), at.date(), at, note=TAKEN[3]), now)
    shop.make(lambda books, at: credit_invoice(books, 1, TAKEN[5], at.date(), at), now)
    return id_


def texts_of(document: Any) -> Iterator[str]:
    """Every text in a document."""
    if isinstance(document, str):
        yield document
    elif isinstance(document, dict | list):
        for one in document.values() if isinstance(document, dict) else document:
            yield from texts_of(one)
