"""Figures that need no job: `crewdesk figure NAME ...`.

Each file in here is one figure, loaded only when it is asked for. It has

- `ABOUT`, one line for the help,
- `arguments(parser)`, which adds its options,
- `figure(args) -> Figure`, which computes it or raises `BadInput`. `args.step` names the step
  that lengths are rounded to where they are shown; `step_of(args)` is it. A length is rounded
  down where a board must go in and up where it must be cut from.

A new figure is a new file and its name in `NAMES`.
"""

from argparse import ArgumentParser, Namespace
from collections.abc import Iterable
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.length import STEPS, Step
from crewdesk.sentence import Caution
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.read_length import read_length

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
    """Add length arguments with defaults, each as name, default and help."""
    for name, usual, about in options:
        parser.add_argument(f"--{name}", default=usual, metavar="LENGTH", help=f"{about} ({usual})")


def warned(lines: Iterable[str], values: dict[str, Any], cautions: Iterable[Caution]) -> Figure:
    """Return a figure with its warnings below the lines, and as its last value."""
    warnings = [one.shown() for one in cautions]
    return Figure((*lines, *warnings), {**values, "warnings": warnings})


def read_section(args: Namespace, height: Fraction | None = None) -> Section:
    """Return the section of a figure's arguments; sides without a height get a sufficient one.
    Raises `BadInput`."""
    thickness = read_length(args.bottom_thickness)
    reveal = read_length(getattr(args, "reveal", "0"))
    return Section(
        width=read_length(args.width),
        height=reveal + thickness + 1 if height is None else height,
        side_thickness=read_length(args.side_thickness),
        bottom_thickness=thickness,
        reveal=reveal,
        flat=read_length(args.flat),
        bevel=read_angle(args.bevel),
        fit=read_length(args.fit),
        undercut=read_length(getattr(args, "undercut", "1/32")),
    )


def step_of(args: Namespace) -> Step:
    """Return the step of a figure's shown lengths."""
    return STEPS[args.step]
