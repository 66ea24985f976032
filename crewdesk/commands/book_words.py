"""The arguments of the commands about money and hours, customers, orders and material."""

from crewdesk.commands.words import CSV, JOB, JSON, Word, file_name, whole_number

_TEXT: Word = ("--text", {"action": "store_true", "help": "print plain text (the default)"})
_PDF: Word = ("--pdf", {"metavar": "FILE", "type": file_name, "help": "write a new PDF file"})
_NUMBER: Word = (
    "number",
    {"metavar": "NUMBER", "type": whole_number, "help": "the invoice number"},
)
_WHOSE: Word = (
    "--customer",
    {
        "metavar": "NAME",
        "default": "",
        "help": "the customer or job, if two invoices have that number",
    },
)
_ON: Word = ("--on", {"metavar": "DAY", "help": "the day, if it isn't today"})
_REMOVE: Word = ("--remove", {"metavar": "N", "type": whole_number, "help": "remove that line"})
_BY: Word = ("--by", {"metavar": "NAME", "help": "who accepted it, if not the customer"})


BOOKS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "estimate": (
        "show the price of a job: low, likely and high, with the reasons",
        (
            JOB,
            JSON,
            _TEXT,
            _PDF,
            ("--accept", {"action": "store_true", "help": "record that the customer accepted it"}),
            _BY,
            _ON,
        ),
    ),
    "invoice": (
        "show a job's next invoice, issue it, or show one that was issued",
        (
            JOB,
            (
                "--kind",
                {"choices": ("deposit", "progress", "final"), "help": "the kind of invoice"},
            ),
            (
                "--issue",
                {
                    "action": "store_true",
                    "help": "issue it under the next number; this can't be undone",
                },
            ),
            (
                "--extra",
                {
                    "metavar": "N",
                    "help": "where extra time that is on no change order goes: change order N, "
                    "unbilled, or later",
                },
            ),
            (
                "--number",
                {"metavar": "N", "type": whole_number, "help": "show that issued invoice"},
            ),
            JSON,
            _TEXT,
            _PDF,
        ),
    ),
    "pay": (
        "show an invoice's payments; enter a payment, a refund or applied credit",
        (
            _NUMBER,
            _WHOSE,
            ("amount", {"metavar": "AMOUNT", "nargs": "?", "help": "for example 1,250.00"}),
            _ON,
            ("--refund", {"action": "store_true", "help": "enter it as a refund"}),
            (
                "--from",
                {
                    "metavar": "INVOICE",
                    "type": whole_number,
                    "dest": "source",
                    "help": "apply the credit balance of that invoice; without AMOUNT, as much "
                    "as is due",
                },
            ),
            (
                "--remove",
                {
                    "metavar": "N",
                    "type": whole_number,
                    "help": "remove that payment, entered by mistake",
                },
            ),
            ("--note", {"metavar": "TEXT", "default": "", "help": "for example a check number"}),
        ),
    ),
    "credit": (
        "credit an invoice, or part of it, by a document with its own number",
        (
            _NUMBER,
            _WHOSE,
            (
                "--line",
                {
                    "metavar": "N=AMOUNT",
                    "action": "append",
                    "default": [],
                    "help": "credit this much of line N, before tax; can be repeated",
                },
            ),
            ("--reason", {"metavar": "TEXT", "required": True, "help": "why"}),
            (
                "--void",
                {"action": "store_true", "help": "void an invoice that nothing was paid on"},
            ),
        ),
    ),
    "hours": (
        "list time entries, worked and billed, with totals by stage; add one",
        (
            JOB,
            ("--from", {"metavar": "DAY", "dest": "since", "help": "from that day"}),
            ("--to", {"metavar": "DAY", "dest": "until", "help": "through that day"}),
            (
                "--add",
                {
                    "metavar": "WHEN",
                    "help": "add time, for example '8-12, 12:30-16' or 'mon 2pm for 1h20'",
                },
            ),
            ("--stage", {"metavar": "STAGE", "help": "the added time's stage, by number or name"}),
            ("--note", {"metavar": "TEXT", "default": "", "help": "the added time's note"}),
            (
                "--order",
                {"metavar": "N", "default": "", "help": "the added time's change order"},
            ),
            ("--unbilled", {"action": "store_true", "help": "the added time is non-billable"}),
            ("--round", {"metavar": "RULE", "help": "rounding, for example '15 nearest day'"}),
            CSV,
            JSON,
        ),
    ),
    "took": ("compare what a job took with its estimate and with all jobs", (JOB, JSON)),
    "accounts": (
        "show what is owed, hours by week, totals by year",
        (
            ("--year", {"metavar": "YEAR", "type": whole_number, "help": "one year only"}),
            ("--on", {"metavar": "DAY", "help": "as of the end of that day"}),
            (
                "--csv",
                {
                    "action": "store_true",
                    "help": "print CSV, a line a year; with --year every document and payment",
                },
            ),
            JSON,
        ),
    ),
    "shop": (
        "show or change Business settings: rates, tax, terms",
        (
            (
                "values",
                {
                    "metavar": "NAME=VALUE",
                    "nargs": "*",
                    "help": "a setting to change, for example hour=85 tax=7.5",
                },
            ),
            JSON,
        ),
    ),
}


LISTS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "customers": (
        "list customers; add, change or remove one",
        (
            ("name", {"metavar": "NAME", "nargs": "?", "help": "the customer's name"}),
            (
                "values",
                {
                    "metavar": "FIELD=VALUE",
                    "nargs": "*",
                    "help": "for example phone=555-0140 terms=14",
                },
            ),
            ("--remove", {"action": "store_true", "help": "remove the customer"}),
            JSON,
        ),
    ),
    "orders": (
        "list a job's change orders; add, accept or remove one",
        (
            JOB,
            ("text", {"metavar": "TEXT", "nargs": "?", "help": "the extra work"}),
            ("price", {"metavar": "PRICE", "nargs": "?", "help": "for example 240, or 85/h"}),
            (
                "--accept",
                {"metavar": "N", "type": whole_number, "help": "mark it as accepted"},
            ),
            _BY,
            _ON,
            _REMOVE,
            JSON,
        ),
    ),
    "materials": (
        "list a job's material; add or remove a line",
        (
            JOB,
            ("text", {"metavar": "TEXT", "nargs": "?", "help": "the material"}),
            (
                "quantity",
                {"metavar": "N", "nargs": "?", "help": "the quantity, for example 12, 2.5 or 3/4"},
            ),
            (
                "price",
                {"metavar": "PRICE", "nargs": "?", "help": "the price of one, for example 84.00"},
            ),
            (
                "--consumable",
                {"action": "store_true", "help": "it is a supply, used up on the job"},
            ),
            (
                "--waste",
                {
                    "metavar": "PERCENT",
                    "default": "",
                    "help": "if it differs from Business settings",
                },
            ),
            (
                "--markup",
                {
                    "metavar": "PERCENT",
                    "default": "",
                    "help": "if it differs from Business settings",
                },
            ),
            _REMOVE,
            JSON,
        ),
    ),
    "planned": (
        "list the planned days; add or remove one",
        (
            JOB,
            (
                "day",
                {
                    "metavar": "DAY",
                    "nargs": "?",
                    "help": "the day to plan, for example mon or 2026-03-09",
                },
            ),
            (
                "note",
                {"metavar": "NOTE", "nargs": "?", "default": "", "help": "a note for that day"},
            ),
            ("--remove", {"metavar": "DAY", "help": "remove that day"}),
            ("--ics", {"action": "store_true", "help": "print an iCalendar file (RFC 5545)"}),
            JSON,
        ),
    ),
}
