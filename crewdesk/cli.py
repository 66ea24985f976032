"""The entry point: parse the `crewdesk` command line, and report errors."""

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, NoReturn

from crewdesk.commands import COMMANDS, SAVING, run
from crewdesk.commands.streams import is_broken_pipe, let_go_of, printable
from crewdesk.commands.words import file_name
from crewdesk.errors import CrewdeskError
from crewdesk.length import DEFAULT_STEP, STEPS
from crewdesk.paper.figures import NAMES as FIGURES
from crewdesk.paper.plain import plain
from crewdesk.store import machine_clock

WRONG = 2
STOPPED = 130
LONGEST_TOLD = 300


class _Help(argparse.HelpFormatter):
    """Help as wide as the terminal; argparse would import the archive formats to measure it."""

    def __init__(self, prog: str) -> None:
        try:
            columns = int(os.environ.get("COLUMNS") or os.get_terminal_size().columns)
        except (OSError, ValueError):
            columns = 80
        super().__init__(prog, width=max(columns, 40) - 2)


class _Parser(argparse.ArgumentParser):
    """Prints one sentence to stderr about invalid arguments, and exits with 2."""

    def __init__(self, **words: Any) -> None:
        super().__init__(formatter_class=_Help, **words)

    def error(self, message: str) -> NoReturn:
        told = plain(message)
        if len(told) > LONGEST_TOLD:
            told = f"{told[:LONGEST_TOLD]}..."
        self.exit(WRONG, f"crewdesk: {told}; see `{self.prog} --help`.\n")


def main(argv: Sequence[str] | None = None, *, clock: machine_clock.Clock | None = None) -> int:
    """Run one command; return the exit status: 0, 1 if a check found something, 2 if something was
    refused.

    clock: returns the time in the computer's time zone; None for the computer's own clock.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    parser = _parser(words)
    for word in words:
        if word.startswith("--") and word.endswith("=--"):  # argparse would parse it as a list
            parser.error(f"argument {word[:-3]}: expected one argument")
    args = parser.parse_args(words)
    try:
        return run(args, clock or machine_clock.machine_now)
    except CrewdeskError as refusal:
        return _wrong(str(refusal))
    except OSError as error:
        _let_go_of_stdout()
        if is_broken_pipe(error):
            return _wrong("The program reading this stopped before the end.")
        where = f" {error.filename}:" if error.filename else ""
        return _wrong(f"The system stopped this:{where} {error.strerror or error}.")
    except KeyboardInterrupt:
        return STOPPED


def _wrong(sentence: str) -> int:
    if sys.stderr is not None:
        sys.stderr.write(printable(f"crewdesk: {plain(sentence)}\n", sys.stderr))
    return WRONG


def _let_go_of_stdout() -> None:
    if sys.stdout is not None:
        let_go_of(sys.stdout)


class _Version(argparse.Action):
    """Print the versions for a bug report, and exit."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from crewdesk.commands.version import version_text

        print(version_text())
        parser.exit()


def _parser(words: Sequence[str]) -> _Parser:
    parser = _Parser(
        prog="crewdesk",
        description="The whole job of installing box beams. Without a COMMAND it opens on screen.",
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, help="print the versions that a bug report needs"
    )
    _data(parser, default=None)
    _large(parser)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", prog=parser.prog)
    asked = _asked(words)
    for name, (about, words_of) in COMMANDS.items():
        if asked in (name, None):
            command = commands.add_parser(name, help=about, description=about)
            for word, options in words_of:
                command.add_argument(word, **options)
            _data(command)
            if name in SAVING:
                command.add_argument(
                    "--now-is-right",
                    action="store_true",
                    default=argparse.SUPPRESS,
                    help="save even if the computer's clock seems wrong",
                )
            if name == "demo":
                _large(command, default=argparse.SUPPRESS)
    if asked in ("figure", None):
        _figures(commands.add_parser("figure", help="work out one figure, without a job"), words)
    return parser


def _asked(words: Sequence[str]) -> str | None:
    """Return the command, if it is clear before parsing: then the other commands' arguments aren't
    set up."""
    first = 2 if words[:1] == ["--data"] else 0
    word = words[first] if len(words) > first else ""
    return word if word in COMMANDS or word == "figure" else None


def _figures(parser: argparse.ArgumentParser, words: Sequence[str]) -> None:
    """Return the figures; only the one asked for is imported, alone if that is clear."""
    _data(parser)
    figures = parser.add_subparsers(dest="figure", metavar="FIGURE", required=True)
    after = [*words[words.index("figure") + 1 :], ""][0] if "figure" in words else ""
    for name in (after,) if after in FIGURES else FIGURES:
        module = import_module(f"crewdesk.paper.figures.{name}") if name in words else None
        one = figures.add_parser(name, help=module.ABOUT if module else None)
        if module:
            module.arguments(one)
            one.add_argument("--json", action="store_true", help="print one JSON object")
            one.add_argument(
                "--step",
                choices=list(STEPS),
                default=DEFAULT_STEP.name,
                help="round shown lengths to this step (1/32)",
            )
            one.set_defaults(module=module)
            _data(one)


def _large(parser: argparse.ArgumentParser, default: object = False) -> None:
    about = "use large letters and keys, for gloves or a touch screen"
    parser.add_argument("--large", action="store_true", default=default, help=about)


def _data(parser: argparse.ArgumentParser, default: object = argparse.SUPPRESS) -> None:
    parser.add_argument(
        "--data",
        metavar="DIR",
        type=file_name,
        default=default,
        help="the data folder (default: CREWDESK_DATA, then the system's)",
    )
