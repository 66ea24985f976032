"""A job's contract as one stick, and the next action about its money."""

from collections.abc import Iterator

from crewdesk.job.books.contract import Contract
from crewdesk.job.books.job_books import JobMoney
from crewdesk.paper.documents.letter import money
from crewdesk.screens.parts.stick import LEFT, Part, layered, ruled

_PARTS = (
    ("paid", "paid", "█", "made"),
    ("unpaid", "billed, unpaid", "▓", "strong"),
    ("earned", "earned, unbilled", "▄", "set"),
    ("left", "to do", LEFT, "muted"),
)
"""Each part's key, its name, and the sign and the ink in which it is drawn."""
_SHORT = {"unpaid": "billed", "earned": "earned"}
_LONGEST = 18
"""The columns of the longest name with its sign, and a gap."""


def contract_lines(found: Contract, width: int) -> Iterator[list[Part]]:
    """Return the lines of a contract: its sum in a rule, the stick with the notch at that sum,
    and the names and figures of its parts below one another."""
    yield ruled(_title(found, width), width)
    if not found.most:
        return
    parts = [(getattr(found, key), sign, ink) for key, _, sign, ink in _PARTS]
    yield layered(parts, found.whole, found.most, width)
    each = width // len(_PARTS)
    names: list[Part] = []
    figures: list[Part] = []
    for key, name, sign, ink in _PARTS:
        shown = name if each >= _LONGEST else _SHORT.get(key, name)
        amount = getattr(found, key)
        names += [(f"{sign} ", ink if amount else "muted"), (f"{shown:<{each - 2}}", "muted")]
        figures.append((f"{money(amount):<{each}}", "strong" if amount else "muted"))
    yield names
    yield figures


def _title(found: Contract, width: int) -> str:
    """Return the contract's sum, and its parts."""
    if found.whole is None:
        return "No price yet"
    sort = "Contract" if found.accepted else "Estimate, not accepted"
    more = f", {money(found.extra)} of it extra work" if found.extra else ""
    text = f"{sort} {money(found.whole)}{more}"
    return text if len(text) <= width - 6 else f"{sort} {money(found.whole)}"


def next_line(found: Contract, stands: JobMoney) -> list[Part]:
    """Return the line with the next action and the amount owed, naming keys of the money page in
    braces."""
    parts: list[Part] = []
    if found.whole is None and found.next is None:
        parts.append(("There is no price yet; the Price tab says why.", "muted"))
    elif not found.accepted and found.whole is not None:
        parts.append(("Not accepted yet: press {price}, then {accept}", "set"))
        if found.next is not None and found.next.total > 0:
            by_hour = f"   or bill {money(found.next.total)} by what is done: press {{invoice}}"
            parts.append((by_hour, "muted"))
    elif found.next is not None and found.next.total > 0:
        what = " the deposit," if found.next.kind == "deposit" else ""
        parts.append((f"Bill{what} {money(found.next.total)}: press {{invoice}}", "set"))
    elif stands.balance > 0:
        parts.append((f"Once {money(stands.balance)} comes in: press {{invoices}}", "set"))
    elif found.whole and not found.left and not found.unpaid:
        parts.append(("All of it is billed and paid.", "text"))
    else:
        parts.append(("Nothing to bill yet: check off steps first.", "text"))
    if stands.overdue:
        parts.append((f"   ! {money(stands.overdue)} overdue", "wrong"))
    elif stands.balance < 0:
        parts.append((f"   credit balance {money(-stands.balance)}", "text"))
    return parts
