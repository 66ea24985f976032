"""The figures that a board was cut to, as its check-off keeps them."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.parsing import fraction
from crewdesk.job.row import NOTE, OVER_ZERO, TIME, Kind, Row, as_is, field, one_of
from crewdesk.job.text_limits import LONGEST_NOTE, brief, checked_note
from crewdesk.length import STEPS
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instrument, Instruments
from crewdesk.trade.cuts.shop_machine import WAYS, Scribers, Way

MOST_FIGURES = 100
_SIZES = (
    *("height", "width", "thickness", "projection", "bottom_length", "edge_a", "edge_b"),
    *("wall_width", "bevel_from"),
)
NAMES = (
    *_SIZES,
    *("back_height", "back_width", "top_length", "cleat_line", "setting"),
    *("blade_deg", "top_blade_deg", "bevel_deg", "end1_bevel_deg", "end2_bevel_deg"),
    *("bevel1_deg", "bevel2_deg"),
    *("end1_offset", "end2_offset", "relief1", "relief2"),
    *("length_A", "length_B", "length_wall", "start_A", "start_B", "start_wall"),
)
"""Every figure of a cut, except heights at spots, which are named `height@` and their place."""
_POSITIVE = frozenset(_SIZES)
_TOGETHER = (
    ("bottom_length", "top_length", "end1_offset", "end2_offset"),
    ("edge_a", "edge_b"),
    ("edge_b", "edge_a"),
)
"""The figures that determine a board's size, required together with the first of them."""
_LARGEST = 100_000
CHECK_OFF, HISTORY, READINGS = SOURCES = ("check-off", "history", "readings")
"""Where the figures of a cut come from."""


class Figure(NamedTuple):
    """One figure of a cut: exact, in inches (in degrees where its name ends in `_deg`), and
    the text that it was shown as."""

    exact: Fraction
    shown: str


Figures = Mapping[str, Figure]
"""Figures by their names, the main one first."""


def _check_texts(value: Any) -> None:
    """Raise `NotAllowed` if a text in it can't be shown or is too long. Content is checked when it
    is restored into the record.

    Such a text has a backslash in its `repr`, so most cuts need no closer look.
    """
    seen = repr(value)
    if "\\" not in seen and len(seen) <= LONGEST_NOTE:
        return
    if isinstance(value, dict):
        for key, one in value.items():
            _check_texts(key)
            _check_texts(one)
    elif isinstance(value, list):
        for one in value:
            _check_texts(one)
    elif isinstance(value, str):
        checked_note(value, "text in a cut")


def figures_to_doc(figures: Figures) -> Doc:
    """Return figures as JSON: by name, `exact` and `shown`."""
    return {name: {"exact": str(one.exact), "shown": one.shown} for name, one in figures.items()}


def figures_from_doc(doc: Any, *, whole: bool = True) -> Figures:
    """Return the figures that `figures_to_doc` wrote; raises `NotAllowed` and `BadInput`.

    whole: require every figure that determines a board's size.
    """
    if not isinstance(doc, dict) or len(doc) > MOST_FIGURES:
        raise NotAllowed(f"A cut can have up to {MOST_FIGURES} figures.")
    _check_texts(doc)
    if not all(isinstance(one["shown"], str) for one in doc.values()):
        raise NotAllowed("A cut's figure must be text.")
    found = {
        name: Figure(fraction(one["exact"], "cut's figure"), one["shown"])
        for name, one in doc.items()
    }
    for name, one in found.items():
        _check_figure(name, one.exact)
    for first, *others in _TOGETHER if whole else ():
        if first in found and (lacking := [name for name in others if name not in found]):
            raise BadInput(
                f"A cut with the figure {first} needs {' and '.join(lacking)} too. "
                "Without them the board's size isn't known.",
                field="figures",
            )
    return found


def _check_figure(name: str, value: Fraction) -> None:
    """Raise `BadInput` for an unknown figure or an impossible value."""
    what, at, place = name.partition("@")
    if (what, at) != ("height", "@") and name not in NAMES:
        raise BadInput(
            f"A cut can't have the figure {brief(name)}. It has {', '.join(NAMES)}, and "
            "height@PLACE.",
            field="figures",
        )
    if at and not 0 <= fraction(place, "place of a cut's figure") <= _LARGEST:
        raise BadInput(
            f"A cut's height can't be at {brief(place)}. Its place is inches from end 1.",
            field="figures",
        )
    if (name in _POSITIVE and value <= 0) or abs(value) > _LARGEST:
        raise BadInput(
            f"A board can't be cut to {name} {brief(str(value))}. A cut's figures are "
            f"in inches, more than zero and up to {_LARGEST}.",
            field="figures",
        )


def _document(value: Any, what: str) -> Doc:
    """Return a document that a cut was made from; raises `NotAllowed`."""
    if not isinstance(value, dict):
        raise NotAllowed(f"The {what} can't be {brief(value)}.")
    _check_texts(value)
    return value


def _within(value: Any, what: str) -> Mapping[str, Fraction]:
    if not isinstance(value, dict) or len(value) > MOST_FIGURES:
        raise NotAllowed(f"The {what} can't be {brief(value)}.")
    found = {name: fraction(off, what) for name, off in value.items()}
    if any(off < 0 for off in found.values()):
        raise NotAllowed(f"The {what} can't be less than zero.")
    return found


def _scribed_with(value: Any, _what: str) -> Scribers:
    try:
        return tuple(
            (checked_note(name, "tool's name"), OVER_ZERO.read(offset, "tool's offset"))
            for name, offset in value
        )
    except (TypeError, ValueError):
        raise NotAllowed(f"What a side was scribed with can't be {brief(value)}.") from None


def _instruments(value: Any, _what: str) -> Instruments:
    if not value and isinstance(value, dict):
        return USUAL_INSTRUMENTS
    if not isinstance(value, dict) or not set(value) <= set(Instruments._fields):
        raise NotAllowed(f"The instruments of a cut can't be {brief(value)}.")
    positive = OVER_ZERO.read
    return USUAL_INSTRUMENTS._replace(
        **{
            name: Instrument(
                name,
                positive(one["step"], f"{name}'s step"),
                positive(one["own"], f"{name}'s own error"),
            )
            for name, one in value.items()
        }
    )


def _instruments_doc(instruments: Instruments) -> Doc:
    """Return the instruments that aren't the usual ones, by name: each one's step and own error."""
    pairs = zip(instruments, USUAL_INSTRUMENTS, strict=True)
    return {
        one.name: {"step": str(one.step), "own": str(one.own)}
        for one, usual in pairs
        if one != usual
    }


FIGURES = Kind(
    lambda value, _: figures_from_doc(value),
    figures_to_doc,
    "object of figures by name, each `exact` and `shown`",
)
ANY_FIGURES = FIGURES._replace(read=lambda value, _: figures_from_doc(value, whole=False))
"""Figures that don't determine a board, so some may be missing."""
DOCUMENT = Kind(_document, as_is, "object")


class AsCut(Row, noun="cut"):
    """What a piece was cut to, and what that came from.

    `step` is the name of the step that lengths were shown to. `section`, `readings` (by name;
    those of another piece as `A.run`) and `settings` are documents as the record holds them.
    `instruments` are what the readings were taken with, by what makers or the crew say of
    them then: what they are said to be good for later changes nothing about this cut.

    `within` is how far each figure could be off then, in inches, by the readings of then: later
    ones never widen it. It is None in records made before that was kept.

    `scribed_with` is the crew's tool that a side was scribed with, none for a scriber that is
    set; it is None for other cuts, and in records made before that was kept.

    `way` is how a side was cut to its scribe line, one of `WAYS`; "" for other cuts and in
    records made before that was kept.

    `source` is `CHECK_OFF` where the check-off kept the figures, `HISTORY` where they were computed
    of the record as the history has it of that time, `READINGS` where only the readings of that
    time are known, and the section and settings are later ones.
    """

    figures: Figures = field(FIGURES)
    step: str = field(one_of(STEPS), "step that lengths are shown to")
    section: Doc = field(DOCUMENT, "section that a board was cut by")
    readings: Doc = field(DOCUMENT, "readings that a board was cut by")
    settings: Doc = field(DOCUMENT, "settings that a board was cut by")
    instruments: Instruments = field(
        Kind(_instruments, _instruments_doc, "object of `step` and `own` by instrument"),
        default=USUAL_INSTRUMENTS,
    )
    source: str = field(one_of(SOURCES), default=CHECK_OFF)
    within: Mapping[str, Fraction] | None = field(
        Kind(
            _within,
            lambda within: {name: str(off) for name, off in within.items()},
            "object of exact numbers by figure",
        ),
        "cut's accuracy",
        default=None,
        given=lambda cut: cut.within,
    )
    scribed_with: Scribers | None = field(
        Kind(
            _scribed_with,
            lambda tools: [[name, str(offset)] for name, offset in tools],
            "list of tools, each its name and its offset",
        ),
        default=None,
    )
    way: Way | Literal[""] = field(one_of(WAYS), "way a side is cut to its scribe line", default="")


class KeptCut(Row, noun="kept cut"):
    """The answer to keep a cut though today's figures differ: reason, time, and those figures, so
    that a further change asks again. `section` and `settings` are of that time, as in `AsCut`; None
    in records made before they were kept."""

    reason: str = field(NOTE, "reason to keep a cut")
    when: datetime = field(TIME, "step")
    figures: Figures = field(ANY_FIGURES)
    section: Doc | None = field(DOCUMENT, "section that a board was kept by", default=None)
    settings: Doc | None = field(DOCUMENT, "settings that a board was kept by", default=None)
