"""What each word of the `crewdesk` command does, once it was read."""

import json
import os
import sys
import tempfile
from argparse import Namespace
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.commands.words import BOARDS, BOOKS, JOB, JSON, Word
from crewdesk.job.refused import Refused
from crewdesk.paper.plain import plain

if TYPE_CHECKING:
    from crewdesk.paper.figures import Figure
    from crewdesk.paper.sheet import Sheet
    from crewdesk.store.desk import Desk

SAMPLE, SAMPLE_STOCK = "tamarack-bend.json", "stock.json"

COMMANDS: dict[str, tuple[str, tuple[Word, ...]]] = {
    "demo": ("open the program on a fresh copy of the sample job", ()),
    "import": (
        "take a job in out of a file",
        (("file", {"metavar": "FILE.json", "type": Path, "help": "what export wrote"}),),
    ),
    "export": (
        "give a whole job out, with its history",
        (JOB, ("--to", {"metavar": "FILE", "type": Path, "help": "a new file, not the screen"})),
    ),
    "cutlist": (
        "each piece's marks",
        (JOB, ("--beam", {"metavar": "NAME", "help": "of one beam alone"}), JSON),
    ),
    "progress": ("how far the job has come and what is ready to batch", (JOB, JSON)),
    **BOARDS,
    **BOOKS,
    "restore": ("bring a job back whose file can't be read", (JOB,)),
}


def run(args: Namespace) -> None:
    """Do what the words ask for; raises `Refused`, `Refusal` or `OSError`."""
    if args.command == "figure":
        _print(args.module.figure(args), args.json)
    elif args.command == "demo":
        _demo()
    else:
        from crewdesk.store.desk import Desk

        desk = Desk(data_folder(args.data))
        if args.command in BOOKS:
            from crewdesk.commands import books

            put_out(books.run(desk, args, datetime.now().astimezone()))
        elif args.command in BOARDS:
            from crewdesk.commands import boards

            _print(boards.run(desk, args, datetime.now().astimezone()), args.json)
        else:
            _ON_THE_DESK[args.command](desk, args)


def data_folder(named: Path | None) -> Path:
    """Where the jobs lie: as named, else as CREWDESK_DATA says, else the system's place."""
    if named is not None:
        return named
    if told := os.environ.get("CREWDESK_DATA"):
        return Path(told)
    from platformdirs import user_data_path

    return user_data_path("crewdesk", appauthor=False)


def _open(desk: "Desk", _args: Namespace) -> None:
    _on_screen(desk)


def _demo() -> None:
    from crewdesk.job.lumber.stock_list import take_stock_in
    from crewdesk.paper.job_document import read_document
    from crewdesk.store.desk import Desk
    from crewdesk.store.shipped import shipped

    _needs_terminal()
    document = read_document(shipped("sample_data") / SAMPLE)
    stock = read_document(shipped("sample_data") / SAMPLE_STOCK)
    folder = Path(tempfile.mkdtemp(prefix="crewdesk-demo-"))
    desk = Desk(folder)
    id_ = desk.take_in(document, datetime.now(UTC))
    desk.shop.make(lambda books, at: take_stock_in(books, stock, at), datetime.now(UTC))
    put_out(f"A fresh copy of the sample job lies in {folder}; no job of yours is touched.\n")
    _on_screen(desk, id_)
    put_out(
        f"The sample job is still in {folder}: go on with `crewdesk --data {folder}`, "
        "or delete that folder.\n"
    )


def _on_screen(desk: "Desk", job: str | None = None) -> None:
    _needs_terminal()
    from platformdirs import user_config_path

    from crewdesk.screens.app import CrewdeskApp

    themes = user_config_path("crewdesk", appauthor=False) / "themes"
    app = CrewdeskApp(desk, open_job=job, themes_folder=themes)
    app.run()
    if app.return_code:
        raise SystemExit(app.return_code)


def _needs_terminal() -> None:
    if not (
        sys.__stdin__ and sys.__stdin__.isatty() and sys.__stdout__ and sys.__stdout__.isatty()
    ):
        raise Refused("The program needs a terminal; see `crewdesk --help` for what prints.")


def _import(desk: "Desk", args: Namespace) -> None:
    from crewdesk.paper.job_document import read_document

    id_ = desk.take_in(read_document(args.file), datetime.now(UTC))
    put_out(f"Took {plain(desk.open(id_, writing=False).record.job.name)} in as {id_}.\n")


def _export(desk: "Desk", args: Namespace) -> None:
    from crewdesk.paper.job_document import document_text, write_document

    id_ = desk.find(args.job)
    document = desk.give_out(id_)
    if args.to is None:
        put_out(document_text(document))
    else:
        write_document(args.to, document)
        put_out(f"Gave {id_} out to {plain(str(args.to))}.\n")


def _cutlist(desk: "Desk", args: Namespace) -> None:
    from crewdesk.paper.cutlist import cut_list

    id_ = desk.find(args.job)
    _print(cut_list(id_, desk.open(id_, writing=False).record, args.beam), args.json)


def _progress(desk: "Desk", args: Namespace) -> None:
    from crewdesk.paper.progress import progress

    id_ = desk.find(args.job)
    _print(progress(id_, desk.open(id_, writing=False).record), args.json)


def _restore(desk: "Desk", args: Namespace) -> None:
    id_ = desk.find(args.job)
    copy = desk.bring_back(id_, datetime.now(UTC))
    put_out(
        f"Brought {id_} back from {copy.path.name} as it stood at "
        f"{copy.until.astimezone():%Y-%m-%d %H:%M %z}, after {copy.changes} "
        f"change{'' if copy.changes == 1 else 's'}; what could not be read is kept beside it.\n"
    )


_ON_THE_DESK: dict[str | None, Callable[["Desk", Namespace], None]] = {
    None: _open,
    "import": _import,
    "export": _export,
    "cutlist": _cutlist,
    "progress": _progress,
    "restore": _restore,
}


def _print(sheet: "Sheet | Figure", as_json: bool) -> None:
    put_out((json.dumps(sheet.values) if as_json else "\n".join(sheet.lines)) + "\n")


def put_out(text: str) -> None:
    """Print, and make sure that it went out; what the terminal can't show becomes a `?`."""
    if sys.stdout is None:
        raise Refused("There is nowhere to print to.")
    coded = sys.stdout.encoding or "utf-8"
    sys.stdout.write(text.encode(coded, "replace").decode(coded))
    sys.stdout.flush()
