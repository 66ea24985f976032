"""The words of the commands about paper, hours and money, without what they do."""

from argparse import ArgumentTypeError
from pathlib import Path
from typing import Any

Word = tuple[str, dict[str, Any]]


def whole_number(text: str) -> int:
    """A number as a word of a command; raises `ArgumentTypeError`."""
    try:
        return int(text)
    except ValueError:
        raise ArgumentTypeError(f"'{text}' is not a whole number; write one as 12") from None


def file_name(text: str) -> Path:
    """A file or folder that a word of a command names; raises `ArgumentTypeError`."""
    if not text.strip():
        raise ArgumentTypeError("the name is empty")
    return Path(text)


JOB: Word = ("job", {"metavar": "JOB", "help": "its name or id"})
JSON: Word = ("--json", {"action": "store_true", "help": "print one JSON object"})
_TEXT: Word = ("--text", {"action": "store_true", "help": "print it as plain text (the usual)"})
_CSV: Word = ("--csv", {"action": "store_true", "help": "print CSV (RFC 4180)"})
_PDF: Word = ("--pdf", {"metavar": "FILE", "type": file_name, "help": "write a new PDF file"})
_NUMBER: Word = (
    "number",
    {"metavar": "NUMBER", "type": whole_number, "help": "the invoice's number"},
)
_WHOSE: Word = (
    "--customer",
    {
        "metavar": "NAME",
        "default": "",
        "help": "whose invoice, where more than one paper has that number: the customer or the job",
    },
)
_ON: Word = ("--on", {"metavar": "DAY", "help": "the day, if it was not today"})
_REMOVE: Word = ("--remove", {"metavar": "N", "type": whole_number, "help": "take that line out"})
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
            (
                "--extra",
                {
                    "metavar": "N",
                    "help": "what becomes of extra work's time that is on no change order: put "
                    "on change order N, unbilled, or later",
                },
            ),
            ("--number", {"metavar": "N", "type": whole_number, "help": "one that was issued"}),
            JSON,
            _TEXT,
            _PDF,
        ),
    ),
    "pay": (
        "what was paid on an invoice; note money received, given back, or credit applied",
        (
            _NUMBER,
            _WHOSE,
            ("amount", {"metavar": "AMOUNT", "nargs": "?", "help": "as 1,250.00"}),
            _ON,
            ("--refund", {"action": "store_true", "help": "it was given back"}),
            (
                "--from",
                {
                    "metavar": "INVOICE",
                    "type": whole_number,
                    "dest": "source",
                    "help": "apply credit: what was paid over on that invoice; without an "
                    "amount, as much as goes",
                },
            ),
            (
                "--remove",
                {
                    "metavar": "N",
                    "type": whole_number,
                    "help": "take that one out, noted by mistake",
                },
            ),
            ("--note", {"metavar": "TEXT", "default": "", "help": "a check's number, say"}),
        ),
    ),
    "credit": (
        "take back what is left of an invoice, or part of it, with a number of its own",
        (
            _NUMBER,
            _WHOSE,
            (
                "--line",
                {
                    "metavar": "N=AMOUNT",
                    "action": "append",
                    "default": [],
                    "help": "only so much of its line N, before tax; may be given again",
                },
            ),
            ("--reason", {"metavar": "TEXT", "required": True, "help": "why"}),
            ("--void", {"action": "store_true", "help": "void it, where nothing was paid on it"}),
        ),
    ),
    "hours": (
        "every time entry, worked and billed, and the sums by stage",
        (
            JOB,
            ("--from", {"metavar": "DAY", "dest": "since", "help": "from that day on"}),
            ("--to", {"metavar": "DAY", "dest": "until", "help": "up to and with that day"}),
            (
                "--add",
                {
                    "metavar": "WHEN",
                    "help": "as '7:30-11:45', '8-12, 12:30-16' or 'mon 2pm for 1h20'",
                },
            ),
            ("--stage", {"metavar": "STAGE", "help": "of what is added: its number or name"}),
            ("--note", {"metavar": "TEXT", "default": "", "help": "on what is added"}),
            (
                "--order",
                {"metavar": "N", "default": "", "help": "the change order it was worked on"},
            ),
            ("--unbilled", {"action": "store_true", "help": "what is added is not billed"}),
            ("--round", {"metavar": "RULE", "help": "as '15 nearest day', not the shop's"}),
            _CSV,
            JSON,
        ),
    ),
    "took": ("what a job really took, against its estimate and all jobs", (JOB, JSON)),
    "accounts": (
        "what is owed over all jobs, hours by week, totals by year",
        (
            ("--year", {"metavar": "YEAR", "type": whole_number, "help": "of one year"}),
            ("--on", {"metavar": "DAY", "help": "as they stood at that day's end"}),
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

LISTS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "customers": (
        "the shop's customers; add, change or remove one",
        (
            ("name", {"metavar": "NAME", "nargs": "?", "help": "as jobs name them"}),
            (
                "values",
                {"metavar": "FIELD=VALUE", "nargs": "*", "help": "as phone=555-0140 terms=14"},
            ),
            ("--remove", {"action": "store_true", "help": "take them out"}),
            JSON,
        ),
    ),
    "orders": (
        "a job's change orders; add, accept or remove one",
        (
            JOB,
            ("text", {"metavar": "TEXT", "nargs": "?", "help": "what is done besides"}),
            ("price", {"metavar": "PRICE", "nargs": "?", "help": "as 240, or 85/h"}),
            (
                "--accept",
                {"metavar": "N", "type": whole_number, "help": "note that it was accepted"},
            ),
            _BY,
            _ON,
            _REMOVE,
            JSON,
        ),
    ),
    "materials": (
        "a job's material; add or remove a line",
        (
            JOB,
            ("text", {"metavar": "TEXT", "nargs": "?", "help": "what it is"}),
            ("quantity", {"metavar": "N", "nargs": "?", "help": "how many, as 12, 2.5 or 3/4"}),
            ("price", {"metavar": "PRICE", "nargs": "?", "help": "of one, as 84.00"}),
            ("--consumable", {"action": "store_true", "help": "it is used up"}),
            ("--waste", {"metavar": "PERCENT", "default": "", "help": "if not the shop's"}),
            ("--markup", {"metavar": "PERCENT", "default": "", "help": "if not the shop's"}),
            _REMOVE,
            JSON,
        ),
    ),
    "planned": (
        "the days that work is planned on; plan one, or take one out",
        (
            JOB,
            ("day", {"metavar": "DAY", "nargs": "?", "help": "to plan, as mon or 2026-03-09"}),
            ("note", {"metavar": "NOTE", "nargs": "?", "default": "", "help": "what is done then"}),
            ("--remove", {"metavar": "DAY", "help": "take that day out"}),
            ("--ics", {"action": "store_true", "help": "print iCalendar (RFC 5545)"}),
            JSON,
        ),
    ),
}

SHEET: tuple[Word, ...] = (
    JOB,
    (
        "parts",
        {
            "metavar": "PART",
            "nargs": "*",
            "help": "cuts, batches, readings, progress, cautions, or labels by themselves; "
            "without any, all of them but the labels",
        },
    ),
    ("--beam", {"metavar": "NAME", "help": "of one beam: its cuts and form, or PART"}),
    ("--paper", {"metavar": "SIZE", "help": "letter or A4, not the shop's"}),
    ("--labels", {"metavar": "COUNT", "help": "how many labels stand on a sheet of them"}),
    (
        "--first",
        {"metavar": "N", "type": whole_number, "help": "begin at the Nth label of a begun sheet"},
    ),
    ("--day", {"metavar": "DAY", "help": "what was done on another day than today"}),
    (
        "--to",
        {"metavar": "FILE.pdf", "type": file_name, "help": "a new file; else it is named here"},
    ),
)

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
                "--bought",
                {
                    "metavar": "NUMBERS",
                    "help": "note boards as bought, as 1,3-5 or all; again: not",
                },
            ),
            ("--cut", {"metavar": "NUMBERS", "help": "note boards as cut; again: not"}),
            (
                "--spoiled",
                {
                    "metavar": "N[:FROM..TO]",
                    "help": "note a board as spoiled, all or from..to inches, and plan the rest",
                },
            ),
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
                {
                    "metavar": "S",
                    "type": whole_number,
                    "default": 30,
                    "help": "longest search (30)",
                },
            ),
            JSON,
        ),
    ),
    "stock": (
        "the shop's boards: those that can be had, and those on hand",
        (
            (
                "--take",
                {"metavar": "FILE.json", "type": file_name, "help": "add the boards of a list"},
            ),
            JSON,
        ),
    ),
}

SCRIBE_CUT: tuple[Word, ...] = (
    JOB,
    ("beam", {"metavar": "BEAM", "nargs": "?", "help": "for example 'Great room 2'"}),
    ("piece", {"metavar": "SIDE", "nargs": "?", "help": "A or B"}),
    (
        "way",
        {
            "metavar": "WAY",
            "nargs": "?",
            "help": "table saw, circular saw, track saw or plane; 'by the board' goes by its "
            "length, cut depth and ceiling again",
        },
    ),
    ("--reason", {"metavar": "TEXT", "default": "", "help": "why"}),
    JSON,
)

TRUST: dict[str, tuple[str, tuple[Word, ...]]] = {
    "undo": (
        "take the latest change of a job back, or of the shop: a payment, a customer, a rate",
        (
            ("job", {"metavar": "JOB", "nargs": "?", "help": "its name or id; else the shop"}),
            ("--redo", {"action": "store_true", "help": "make what was taken back again"}),
        ),
    ),
    "check": ("look whether every file is sound; exit status 1 where one is not", (JSON,)),
    "restore": (
        "bring a job back whose file can't be read, or take one back to a time",
        (
            ("job", {"metavar": "JOB", "nargs": "?", "help": "its name or id; else the shop"}),
            ("--to", {"metavar": "WHEN", "help": "how it stood then, as '2026-03-02 14:00'"}),
        ),
    ),
    "settle": (
        "show or choose what was changed in two places at once",
        (
            ("job", {"metavar": "JOB", "nargs": "?", "help": "its name or id; else the shop"}),
            (
                "number",
                {"metavar": "N", "nargs": "?", "type": whole_number, "help": "which of them"},
            ),
            (
                "--keep",
                {
                    "choices": ("standing", "other"),
                    "help": "leave what stands, or put the other in its place",
                },
            ),
            JSON,
        ),
    ),
    "held": (
        "cuts that today's readings would make otherwise; keep one, cut it again, or put the "
        "readings back",
        (
            JOB,
            ("beam", {"metavar": "BEAM", "nargs": "?", "help": "for example 'Great room 2'"}),
            ("piece", {"metavar": "PIECE", "nargs": "?", "help": "A, B, bottom, top or cleats"}),
            ("step", {"metavar": "STEP", "nargs": "?", "help": "where a piece has several"}),
            ("--keep", {"metavar": "REASON", "help": "keep it as it was cut, and say why"}),
            ("--again", {"action": "store_true", "help": "open the cut and what follows again"}),
            (
                "--new-board",
                {"action": "store_true", "help": "with --again: open every step of the piece"},
            ),
            ("--back", {"action": "store_true", "help": "put back what it was cut by"}),
            JSON,
        ),
    ),
}
