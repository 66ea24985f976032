"""Figures that need no job: `crewdesk figure NAME ...`.

Each file in here is one figure, loaded only when it is asked for. It has

- `ABOUT`, one line for the help,
- `arguments(parser)`, which adds its options,
- `figure(args) -> Figure`, which works it out or raises `BadInput`. `args.step` names the step
  that lengths are rounded to where they are shown; `step_of(args)` is it. A length is rounded
  down where a board must go in and up where it must be cut from.

A new figure is a new file and its name in `NAMES`.
"""

from argparse import ArgumentParser, Namespace
from typing import Any, NamedTuple

from crewdesk.length import STEPS, Step

NAMES = (
    "length",
    "end",
    "section",
    "ceiling",
    "wedge",
    "slope",
    "ridge",
    "compound",
    "skew",
    "bottom",
    "sureness",
    "nails",
    "form",
    "settings",
    "boards",
)


class Figure(NamedTuple):
    """A figure: `lines` for people, `values` as one JSON object."""

    lines: tuple[str, ...]
    values: dict[str, Any]


def lengths_by_default(parser: ArgumentParser, *options: tuple[str, str, str]) -> None:
    """Add lengths that have a usual value, each as its name, that value and what it is."""
    for name, usual, about in options:
        parser.add_argument(f"--{name}", default=usual, metavar="LENGTH", help=f"{about} ({usual})")


def step_of(args: Namespace) -> Step:
    """Return the step that a figure's lengths are shown to."""
    return STEPS[args.step]
