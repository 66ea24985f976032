"""The keys of every page, gathered from its bindings, as a table for README.

python -m tests.pictures.keys
"""

import sys

from textual.binding import Binding

from crewdesk.screens.accounts import AccountsPage
from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.ask import Ask
from crewdesk.screens.batch import BatchSheet
from crewdesk.screens.beam_list import BeamList
from crewdesk.screens.ceiling import CeilingPage
from crewdesk.screens.clock import ClockSheet
from crewdesk.screens.customers import CustomersPage
from crewdesk.screens.gaps import GapsSheet
from crewdesk.screens.help import HelpSheet
from crewdesk.screens.hours import HoursPage
from crewdesk.screens.issued import IssuedPage
from crewdesk.screens.jobs import JobsPage
from crewdesk.screens.kept_forms import FormsPage
from crewdesk.screens.lean_switch import LeanSwitch
from crewdesk.screens.material import MaterialPage
from crewdesk.screens.money import MoneyPage
from crewdesk.screens.next_invoice import PreviewPage
from crewdesk.screens.piece import PiecePage
from crewdesk.screens.piece_steps import StepsSheet
from crewdesk.screens.pieces import PiecesSheet
from crewdesk.screens.planned import PlannedPage
from crewdesk.screens.run_sheet import RunSheetPage
from crewdesk.screens.shop import ShopPage
from crewdesk.screens.stages import StagesPage
from crewdesk.screens.stock import StockPage
from crewdesk.screens.took import TookPage

PAGES = (
    ("Everywhere", CrewdeskApp),
    ("Jobs", JobsPage),
    ("Run sheet", RunSheetPage),
    ("Batch", BatchSheet),
    ("Piece", PiecePage),
    ("Lean of a wall", LeanSwitch),
    ("Steps of a piece", StepsSheet),
    ("Gaps of a piece", GapsSheet),
    ("Ceiling", CeilingPage),
    ("Stages", StagesPage),
    ("Hours", HoursPage),
    ("Pieces of an entry", PiecesSheet),
    ("Planned days", PlannedPage),
    ("Clock", ClockSheet),
    ("Money", MoneyPage),
    ("Next invoice", PreviewPage),
    ("An invoice", IssuedPage),
    ("What it took", TookPage),
    ("Accounts", AccountsPage),
    ("Material", MaterialPage),
    ("Shop", ShopPage),
    ("Customers", CustomersPage),
    ("Boards of the shop", StockPage),
    ("Forms of the shop", FormsPage),
    ("List of beams", BeamList),
    ("Any question", Ask),
    ("Help", HelpSheet),
)
_NAMES = {
    "escape": "Esc",
    "enter": "Enter",
    "space": "Space",
    "delete": "Del",
    "backspace": "Backspace",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "dollar_sign": "$",
}


def keys_table() -> str:
    """The table in Markdown: each page, and what its keys do."""
    rows = [f"| {name} | {_cell(page.BINDINGS)} |" for name, page in PAGES]
    return "\n".join(("| Where | Keys |", "| --- | --- |", *rows))


def _cell(bindings: list) -> str:
    told: dict[str, list[str]] = {}
    for one in Binding.make_bindings(bindings):
        if one.description:
            told.setdefault(one.description, []).append(_key(one.key))
    return ", ".join(
        f"{' '.join(f'`{key}`' for key in dict.fromkeys(keys))} {words}"
        for words, keys in told.items()
    )


def _key(key: str) -> str:
    """``ctrl+s`` as it stands on the keyboard: ``Ctrl+s``, ``F3``, ``a``."""
    if key in _NAMES:
        return _NAMES[key]
    *held, last = key.split("+")
    last = _NAMES.get(last, last if len(last) == 1 else last.capitalize())
    return "+".join((*(one.capitalize() for one in held), last))


if __name__ == "__main__":
    sys.stdout.write(f"{keys_table()}\n")
