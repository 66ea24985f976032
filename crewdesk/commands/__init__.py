"""Run each command of `crewdesk` after its arguments are parsed."""

import os
import sys
from argparse import Namespace
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.commands.book_words import BOOKS, LISTS
from crewdesk.commands.streams import in_json, in_lines, put_out, read_in
from crewdesk.commands.words import (
    BOARDS,
    CSV,
    JOB,
    JOBS,
    JSON,
    SCRIBE_CUT,
    SHEET,
    TRUST,
    Word,
    file_name,
)
from crewdesk.errors import CrewdeskError, Damaged, NotAllowed
from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.paper.plain import plain

if TYPE_CHECKING:
    from crewdesk.paper.figures import Figure
    from crewdesk.paper.sheet import Sheet
    from crewdesk.store.desk import Desk
    from crewdesk.store.machine_clock import Clock

MOST_READ = 100_000
"""The most characters that are read of a list that comes in by a pipe."""

COMMANDS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "demo": ("open the program on a fresh copy of the sample job", ()),
    "jobs": ("list the jobs; put one away, remove one or bring it back", JOBS),
    "import": (
        "add a job from an exported file",
        (
            (
                "file",
                {"metavar": "FILE.json", "type": file_name, "help": "a file that export wrote"},
            ),
        ),
    ),
    "export": (
        "print a whole job, with its history, or write it to a file",
        (
            JOB,
            ("--to", {"metavar": "FILE", "type": file_name, "help": "write a new file"}),
        ),
    ),
    "cutlist": (
        "list the marks of every piece",
        (JOB, ("--beam", {"metavar": "NAME", "help": "one beam only"}), JSON),
    ),
    "dryfit": (
        "show whether each board goes in, before it is cut",
        (JOB, ("--beam", {"metavar": "NAME", "help": "one beam only"}), JSON),
    ),
    "scribecut": ("show or choose how each side is cut to its scribe line", SCRIBE_CUT),
    "beams": (
        'add beams from a list, for example "Great room: 4 beams 16\' 7-1/4x6"',
        (
            JOB,
            ("lines", {"metavar": "LINE", "nargs": "*", "help": "read from stdin if left out"}),
        ),
    ),
    "readings": (
        "list what was measured, and when, by whom and with what",
        (JOB, ("--beam", {"metavar": "NAME", "help": "one beam only"}), JSON, CSV),
    ),
    "progress": ("show what is done, ready to batch, blocked or skipped", (JOB, JSON)),
    "sheet": ("print to PDF: cut list, batches, forms, labels", SHEET),
    "keys": ("list every action and its key, in the form of keys.toml", (JSON,)),
    **BOARDS,
    **BOOKS,
    **LISTS,
    **TRUST,
}


SAVING = {*BOOKS, *LISTS, *BOARDS, *TRUST, "import", "jobs", "beams", "scribecut"} - {
    "took",
    "accounts",
    "check",
    "backup",
}
"""The commands that may change something."""


def run(args: Namespace, clock: "Clock") -> int:
    """Run a command; return the exit status.

    clock: returns the time in the computer's zone. Every command gets that time in the business's
    zone. Raises `NotAllowed`, `BadInput` or `OSError`.
    """
    if args.command == "figure":
        _print(args.module.figure(args), args.json)
    elif args.command == "demo":
        from crewdesk.commands.on_screen import demo

        demo(clock, large=args.large)
    else:
        from crewdesk.store.desk import Desk

        folder = data_folder(args.data)
        named = args.data is not None or bool(_told_folder())
        if args.command is None:
            _ask_to_make(folder, named=named)
        if args.command == "keys" and not named:
            _keys(folder, args)  # they exist before any data
            return 0
        desk = Desk(folder, make=_makes_folder(args))
        if args.command is not None and not getattr(args, "now_is_right", False):
            _watch_clock(desk, clock)
        try:
            return _on_desk(desk, args, clock)
        except CrewdeskError as refused:
            refused.step = _step_of(desk, args) if refused.facts else refused.step
            raise
        finally:
            asked = getattr(args, "job", None)
            if desk.arrived or desk.shop_news or (asked and desk.has_copies):
                from crewdesk.commands.trust import say_arrived

                say_arrived(desk, args)
    return 0


def _step_of(desk: "Desk", args: Namespace) -> Step:
    """Return the length step of the job that the arguments name; inches if none can be read."""
    try:
        return desk.open(desk.find(args.job), writing=False).record.job.step
    except (AttributeError, CrewdeskError, OSError):
        return DEFAULT_STEP


def _on_desk(desk: "Desk", args: Namespace, clock: "Clock") -> int:
    """Run a command on a data folder; return the exit status."""
    if args.command in TRUST:
        from crewdesk.commands import trust

        return trust.run(desk, args, _now(desk, clock))
    if args.command in LISTS:
        from crewdesk.commands import lists

        put_out(lists.run(desk, args, _now(desk, clock)))
    elif args.command in BOOKS:
        from crewdesk.commands import books

        put_out(books.run(desk, args, _now(desk, clock)))
    elif args.command in BOARDS:
        from crewdesk.commands import boards

        _print(boards.run(desk, args, _now(desk, clock)), args.json)
    else:
        _ON_THE_DESK[args.command](desk, args, clock)
    return 0


def _watch_clock(desk: "Desk", clock: "Clock") -> None:
    """Refuse to save if the computer's clock can't be right, as the screens do."""

    def check(last: datetime | None) -> None:
        from crewdesk.job.time.clock import check_clock  # only for saving

        check_clock(_now(desk, clock), last, desk.latest)

    desk.check_clock = check


def _makes_folder(args: Namespace) -> bool:
    """Return whether a command may create a data folder: it writes and needs no existing job."""
    return (
        args.command in (None, "import")
        or (args.command == "shop" and bool(args.values))
        or (args.command == "customers" and args.name is not None and not args.remove)
        or (args.command == "stock" and args.take is not None)
        or (args.command == "restore" and args.missing)
    )


def _ask_to_make(folder: Path, *, named: bool) -> None:
    """Ask whether to create a named data folder that doesn't exist: it may be a typo, or a missing
    disk. Raises `NotAllowed` if the answer is no."""
    if not named or folder.exists():
        return
    from crewdesk.commands.on_screen import needs_terminal

    needs_terminal()
    put_out(f"There is no data folder {plain(str(folder))}. Make it? [y/n] ")
    if sys.stdin.readline().strip().casefold() not in ("y", "yes"):
        raise NotAllowed("Nothing was made. Name an existing folder with --data DIR.")


def _now(desk: "Desk", clock: "Clock") -> datetime:
    """Return the time in the business's zone; commands that only print don't call it."""
    from crewdesk.job.time.today import at_business

    return at_business(clock(), desk.shop.zone())


def data_folder(named: Path | None) -> Path:
    """Return the data folder: the named one, else CREWDESK_DATA's, else the system's place."""
    if text := named or _told_folder():
        return Path(text)
    from platformdirs import user_data_path

    return user_data_path("crewdesk", appauthor=False)


def _told_folder() -> str:
    return os.environ.get("CREWDESK_DATA", "")


def _open(desk: "Desk", args: Namespace, clock: "Clock") -> None:
    from crewdesk.commands.on_screen import on_screen

    on_screen(desk, clock, large=args.large)


def _import(desk: "Desk", args: Namespace, clock: "Clock") -> None:
    from crewdesk.commands.cuts import contradictions_listed
    from crewdesk.paper.job_document import read_document

    now = _now(desk, clock)
    if desk.check_clock is not None:
        desk.check_clock(desk.latest())
    try:
        id_ = desk.take_in_whole(args.file, now)
    except (Damaged, OSError):
        id_ = desk.take_in(read_document(args.file), now)
    job = desk.open(id_, writing=False)
    put_out(f"Imported {plain(job.record.job.name)} as {id_}.\n{contradictions_listed(job)}")


def _export(desk: "Desk", args: Namespace, _clock: "Clock") -> None:
    from crewdesk.paper.job_document import document_text, write_document

    id_ = desk.find(args.job)
    document = desk.give_out(id_)
    if args.to is None:
        put_out(document_text(document))
    else:
        write_document(args.to, document)
        put_out(f"Exported {id_} to {plain(str(args.to))}.\n")


def _jobs(desk: "Desk", args: Namespace, clock: "Clock") -> None:
    from crewdesk.commands.jobs import jobs

    put_out(jobs(desk, args, _now(desk, clock)))


def _dryfit(desk: "Desk", args: Namespace, _clock: "Clock") -> None:
    from crewdesk.paper.text.dry_fit import dry_fit_sheet

    id_ = desk.find(args.job)
    _print(dry_fit_sheet(id_, desk.open(id_, writing=False).record, args.beam), args.json)


def _cutlist(desk: "Desk", args: Namespace, _clock: "Clock") -> None:
    from crewdesk.paper.text.cutlist import cut_list, cut_list_values, folded

    id_ = desk.find(args.job)
    record = desk.open(id_, writing=False).record
    what = (id_, record, args.beam, desk.shop_machine())
    if args.json:
        put_out(in_json(cut_list_values(*what)))
        return
    lines = cut_list(*what).lines
    if sys.stdout.isatty():
        lines = folded(lines, os.get_terminal_size().columns)
    put_out(in_lines(*lines))


def _scribecut(desk: "Desk", args: Namespace, clock: "Clock") -> None:
    from crewdesk.commands.cuts import scribe_cut

    put_out(scribe_cut(desk, args, _now(desk, clock)))


def _progress(desk: "Desk", args: Namespace, _clock: "Clock") -> None:
    from crewdesk.paper.text.progress import progress

    id_ = desk.find(args.job)
    _print(progress(id_, desk.open(id_, writing=False).record), args.json)


def _readings(desk: "Desk", args: Namespace, _clock: "Clock") -> None:
    from crewdesk.paper.text.readings_list import readings_csv, readings_sheet

    id_ = desk.find(args.job)
    record = desk.open(id_, writing=False).record
    if args.csv:
        put_out(readings_csv(record, args.beam))
    else:
        _print(readings_sheet(id_, record, args.beam), args.json)


def _keys(folder: Path, args: Namespace) -> None:
    from crewdesk.screens.parts.own_keys import keys_sheet

    _print(keys_sheet(folder), args.json)


def _beams(desk: "Desk", args: Namespace, clock: "Clock") -> None:
    from crewdesk.job.beams.beams import add_listed
    from crewdesk.trade.beam_list import read_beam_list

    now = _now(desk, clock)
    job = desk.open(desk.find(args.job))
    try:
        text = "\n".join(args.lines) if args.lines else read_in(MOST_READ)
        lines = read_beam_list(text, unit="mm" if job.record.job.step.mm else "in")
        change = add_listed(job.record, lines, now)
        job.make(change)
        put_out(f"{plain(change.what[:1].upper() + change.what[1:])}.\n")
    finally:
        job.close(now)


def _sheet(desk: "Desk", args: Namespace, clock: "Clock") -> None:
    from crewdesk.commands.sheet import write_sheet

    put_out(write_sheet(desk, args, _now(desk, clock)))


_ON_THE_DESK: dict[str | None, Callable[["Desk", Namespace, "Clock"], None]] = {
    None: _open,
    "import": _import,
    "export": _export,
    "beams": _beams,
    "cutlist": _cutlist,
    "dryfit": _dryfit,
    "jobs": _jobs,
    "keys": lambda desk, args, _: _keys(desk.folder, args),
    "progress": _progress,
    "readings": _readings,
    "scribecut": _scribecut,
    "sheet": _sheet,
}


def _print(sheet: "Sheet | Figure", as_json: bool) -> None:
    put_out(in_json(sheet.values) if as_json else in_lines(*sheet.lines))
