"""The words of the commands about hours and money, without what they do."""

from pathlib import Path
from typing import Any

Word = tuple[str, dict[str, Any]]

JOB: Word = ("job", {"metavar": "JOB", "help": "its name or id"})
JSON: Word = ("--json", {"action": "store_true", "help": "print one JSON object"})
_TEXT: Word = ("--text", {"action": "store_true", "help": "print it as plain text (the usual)"})
_CSV: Word = ("--csv", {"action": "store_true", "help": "print CSV (RFC 4180)"})
_PDF: Word = ("--pdf", {"metavar": "FILE", "type": Path, "help": "write a new PDF file"})
_NUMBER: Word = ("number", {"metavar": "NUMBER", "type": int, "help": "the invoice's number"})
_ON: Word = ("--on", {"metavar": "DAY", "help": "the day, if it was not today"})
_BY: Word = ("--by", {"metavar": "NAME", "help": "who accepted it, if not the customer"})

BOOKS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "estimate": (
        "the price of a job: low, likely and high, with the reasons",
        (
            JOB,
            JSON,
            _TEXT,
            _PDF,
            ("--accept", {"action": "store_true", "help": "keep it as the customer accepted it"}),
            _BY,
            _ON,
        ),
    ),
    "invoice": (
        "what a job's next invoice would be; issue it, or show one that was issued",
        (
            JOB,
            ("--kind", {"choices": ("deposit", "progress", "final"), "help": "of which kind"}),
            ("--issue", {"action": "store_true", "help": "give it its number, for ever"}),
            ("--number", {"metavar": "N", "type": int, "help": "one that was issued"}),
            JSON,
            _TEXT,
            _PDF,
        ),
    ),
    "pay": (
        "note money received on an invoice",
        (
            _NUMBER,
            ("amount", {"metavar": "AMOUNT", "help": "as 1,250.00"}),
            _ON,
            ("--refund", {"action": "store_true", "help": "it was given back"}),
            ("--note", {"metavar": "TEXT", "default": "", "help": "a check's number, say"}),
        ),
    ),
    "credit": (
        "take back what is left of an invoice, with a number of its own",
        (
            _NUMBER,
            ("--reason", {"metavar": "TEXT", "required": True, "help": "why"}),
            ("--void", {"action": "store_true", "help": "void it: nothing may be paid on it"}),
        ),
    ),
    "hours": (
        "every time entry, worked and billed, and the sums by stage",
        (
            JOB,
            ("--from", {"metavar": "DAY", "dest": "since", "help": "from that day on"}),
            ("--to", {"metavar": "DAY", "dest": "until", "help": "up to and with that day"}),
            ("--round", {"metavar": "RULE", "help": "as '15 nearest day', not the shop's"}),
            _CSV,
            JSON,
        ),
    ),
    "took": ("what a job really took, against its estimate and all jobs", (JOB, JSON)),
    "planned": (
        "the days that work is planned on",
        (
            JOB,
            ("--ics", {"action": "store_true", "help": "print iCalendar (RFC 5545)"}),
            JSON,
        ),
    ),
    "accounts": (
        "what is owed over all jobs, hours by week, totals by year",
        (
            ("--year", {"metavar": "YEAR", "type": int, "help": "of one year"}),
            ("--csv", {"action": "store_true", "help": "a line a year; of one year, every line"}),
            JSON,
        ),
    ),
    "shop": (
        "what is true of the shop over all jobs: rates, tax, terms",
        (
            (
                "values",
                {"metavar": "NAME=VALUE", "nargs": "*", "help": "to change it, as hour=85 tax=7.5"},
            ),
            JSON,
        ),
    ),
}

BOARDS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "takeoff": (
        "the boards to buy for a job, and each one's cuts",
        (
            JOB,
            (
                "rules",
                {
                    "metavar": "NAME=VALUE",
                    "nargs": "*",
                    "help": "to change how it is cut, as kerf=1/8 splices=scarf",
                },
            ),
            ("--anew", {"action": "store_true", "help": "plan anew around what is cut"}),
            ("--keep", {"action": "store_true", "help": "keep the plan in the job"}),
            (
                "--estimate",
                {"action": "store_true", "help": "put all that it counts into the estimate"},
            ),
            (
                "--leftovers",
                {"action": "store_true", "help": "put what the job leaves over into the stock"},
            ),
            (
                "--seconds",
                {"metavar": "S", "type": int, "default": 30, "help": "longest search (30)"},
            ),
            JSON,
        ),
    ),
    "stock": (
        "the shop's boards: those that can be had, and those on hand",
        (
            ("--take", {"metavar": "FILE.json", "type": Path, "help": "add the boards of a list"}),
            JSON,
        ),
    ),
}
