"""The door: the `crewdesk` command."""

import argparse
import json
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from crewdesk.job.sentences import sentence
from crewdesk.paper.figures import NAMES as FIGURES
from crewdesk.trade.refusal import Refusal

WRONG = 2


class _Parser(argparse.ArgumentParser):
    """Says one sentence to stderr about words it can't take, and exits with 2."""

    def error(self, message: str) -> NoReturn:
        self.exit(WRONG, f"crewdesk: {message}; see `{self.prog} --help`.\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit status is 0, or 2 where something was refused."""
    words = list(sys.argv[1:] if argv is None else argv)
    args = _parser(words).parse_args(words)
    try:
        return int(args.run(args))
    except Refusal as refusal:
        print(f"crewdesk: {sentence(refusal)}", file=sys.stderr)
        return WRONG


def _parser(words: Sequence[str]) -> _Parser:
    parser = _Parser(prog="crewdesk", description="The whole job of hanging box beams.")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    figure = commands.add_parser("figure", help="reckon one figure, without a job")
    figures = figure.add_subparsers(dest="figure", metavar="FIGURE", required=True)
    for name in FIGURES:
        module = import_module(f"crewdesk.paper.figures.{name}") if name in words else None
        one = figures.add_parser(name, help=module.ABOUT if module else None)
        if module:
            module.arguments(one)
            one.add_argument("--json", action="store_true", help="print one JSON object")
            one.set_defaults(run=_figure, module=module)
    return parser


def _figure(args: argparse.Namespace) -> int:
    figure = args.module.figure(args)
    print(json.dumps(figure.values, ensure_ascii=False) if args.json else "\n".join(figure.lines))
    return 0
