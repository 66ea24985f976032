"""Figures that need no job: `crewdesk figure NAME ...`.

Each file in here is one figure, loaded only when it is asked for. It has

- `ABOUT`, one line for the help,
- `arguments(parser)`, which adds its options,
- `figure(args) -> Figure`, which reckons it or raises `Refusal`.

A new figure is a new file and its name in `NAMES`.
"""

from typing import Any, NamedTuple

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
    """A figure as told: `lines` for people, `values` as one JSON object."""

    lines: tuple[str, ...]
    values: dict[str, Any]
