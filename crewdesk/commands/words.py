"""The arguments and help of the commands."""

from argparse import ArgumentTypeError
from pathlib import Path
from typing import Any

Word = tuple[str, dict[str, Any]]


def whole_number(text: str) -> int:
    """Return a whole number from an argument; raises `ArgumentTypeError`."""
    try:
        return int(text)
    except ValueError:
        raise ArgumentTypeError(
            f"'{text}' isn't a whole number. Type one, for example 12"
        ) from None


def file_name(text: str) -> Path:
    """Return a file or folder from an argument; raises `ArgumentTypeError`."""
    if not text.strip():
        raise ArgumentTypeError("the name is empty")
    return Path(text)


JOB: Word = ("job", {"metavar": "JOB", "help": "the job's name or id, or how it begins"})
JSON: Word = ("--json", {"action": "store_true", "help": "print one JSON object"})
CSV: Word = ("--csv", {"action": "store_true", "help": "print CSV (RFC 4180)"})


JOBS: tuple[Word, ...] = (
    ("--all", {"action": "store_true", "help": "also those put away and those removed"}),
    ("--put-away", {"metavar": "JOB", "help": "take a job out of the list; nothing of it changes"}),
    ("--back", {"metavar": "JOB", "help": "put a job that was put away back into the list"}),
    (
        "--remove",
        {"metavar": "JOB", "help": "move a job to removed/ in the data folder, after a question"},
    ),
    ("--yes", {"action": "store_true", "help": "with --remove: don't ask"}),
    ("--bring-back", {"metavar": "NAME", "help": "bring a removed job back, see --all"}),
    JSON,
)

SHEET: tuple[Word, ...] = (
    JOB,
    (
        "parts",
        {
            "metavar": "PART",
            "nargs": "*",
            "help": "cuts, batches, readings, progress, yard, cautions, labels, or everything; "
            "what is still to do if none is named",
        },
    ),
    ("--beam", {"metavar": "NAME", "help": "one beam only"}),
    ("--paper", {"metavar": "SIZE", "help": "letter or A4"}),
    ("--labels", {"metavar": "COUNT", "help": "labels a sheet: 30 or 21"}),
    (
        "--first",
        {"metavar": "N", "type": whole_number, "help": "start at the Nth label of a used sheet"},
    ),
    ("--day", {"metavar": "DAY", "help": "the day of the progress report, if it isn't today"}),
    (
        "--to",
        {"metavar": "FILE.pdf", "type": file_name, "help": "the new file's name"},
    ),
)

BOARDS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "takeoff": (
        "list the boards to buy and each one's cuts",
        (
            JOB,
            (
                "rules",
                {
                    "metavar": "NAME=VALUE",
                    "nargs": "*",
                    "help": "a cutting rule to change, for example kerf=1/8 splices=scarf",
                },
            ),
            ("--anew", {"action": "store_true", "help": "plan again around what is cut"}),
            ("--keep", {"action": "store_true", "help": "keep the plan in the job"}),
            (
                "--bought",
                {
                    "metavar": "NUMBERS",
                    "help": "mark boards as bought, for example 1,3-5 or all; again to unmark",
                },
            ),
            ("--cut", {"metavar": "NUMBERS", "help": "mark boards as cut; again to unmark"}),
            (
                "--spoiled",
                {
                    "metavar": "N[:FROM..TO]",
                    "help": "mark a board as ruined, all of it or FROM..TO inches; plan the rest",
                },
            ),
            (
                "--estimate",
                {"action": "store_true", "help": "copy its boards and supplies into the estimate"},
            ),
            (
                "--leftovers",
                {"action": "store_true", "help": "put the job's cutoffs into stock"},
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
        "list the boards you can buy and those on hand",
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
            "help": "table saw, circular saw, track saw or plane; 'by the board' lets "
            "crewdesk choose again",
        },
    ),
    ("--reason", {"metavar": "TEXT", "default": "", "help": "why"}),
    JSON,
)

TRUST: dict[str, tuple[str, tuple[Word, ...]]] = {
    "undo": (
        "undo the latest change of a job, or of the business: a payment, a customer, a rate",
        (
            (
                "job",
                {
                    "metavar": "JOB",
                    "nargs": "?",
                    "help": "the job's name or id; the business if left out",
                },
            ),
            ("--redo", {"action": "store_true", "help": "redo what was undone"}),
        ),
    ),
    "backup": (
        "copy all jobs and the business to a folder of their own, and check the copy",
        (
            (
                "--to",
                {
                    "metavar": "FOLDER",
                    "type": file_name,
                    "help": "where to, for example a stick; else backups/ in the data folder",
                },
            ),
            JSON,
        ),
    ),
    "check": ("check every file; exit status 1 if one is damaged", (JSON,)),
    "restore": (
        "recover a job whose file can't be read, or return one to an earlier time or a backup",
        (
            (
                "job",
                {
                    "metavar": "JOB",
                    "nargs": "?",
                    "help": "the job's name or id; the business if left out",
                },
            ),
            ("--to", {"metavar": "WHEN", "help": "the time, for example '2026-03-02 14:00'"}),
            (
                "--from",
                {
                    "metavar": "FOLDER",
                    "type": file_name,
                    "dest": "backup",
                    "help": "a backup: show how it differs; with JOB return that job to it",
                },
            ),
            (
                "--missing",
                {"action": "store_true", "help": "copy what the backup has and is missing here"},
            ),
        ),
    ),
    "settle": (
        "list what was changed in two places at once; choose what to keep",
        (
            (
                "job",
                {
                    "metavar": "JOB",
                    "nargs": "?",
                    "help": "the job's name or id; the business if left out",
                },
            ),
            (
                "number",
                {
                    "metavar": "N",
                    "nargs": "?",
                    "type": whole_number,
                    "help": "its number in the list",
                },
            ),
            (
                "--keep",
                {
                    "choices": ("standing", "other"),
                    "help": "keep the current value, or take the other",
                },
            ),
            JSON,
        ),
    ),
    "held": (
        "list cuts that no longer match their readings; keep one, cut it again, or put the "
        "readings back",
        (
            JOB,
            ("beam", {"metavar": "BEAM", "nargs": "?", "help": "for example 'Great room 2'"}),
            ("piece", {"metavar": "PIECE", "nargs": "?", "help": "A, B, bottom, top or cleats"}),
            ("step", {"metavar": "STEP", "nargs": "?", "help": "if the piece has several"}),
            ("--keep", {"metavar": "REASON", "help": "keep it as it was cut, for this reason"}),
            (
                "--again",
                {"action": "store_true", "help": "cut it again: open the cut and what follows"},
            ),
            (
                "--new-board",
                {"action": "store_true", "help": "with --again: open every step of the piece"},
            ),
            ("--back", {"action": "store_true", "help": "put back the readings it was cut by"}),
            JSON,
        ),
    ),
}
