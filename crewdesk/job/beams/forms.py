"""The types (forms) of a beam: which pieces each one has, and their traits.

A piece's traits follow from its beam's form: "ceiling" if its top edge is scribed to the ceiling,
"cleats" if a cleat holds the bottom board inside the sides, "square edges" if boards are
butt-jointed and edges eased, "glued miters" if they meet in mitered corners, "wall" if the beam is
along one wall. A step may apply to pieces with one trait only.
"""

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.text_limits import brief
from crewdesk.length import exact
from crewdesk.trade.cuts.forms import (
    FormBoard,
    against_wall,
    check_one_thickness,
    four_sided,
    four_sided_mitred,
    mitred,
    three_board,
)
from crewdesk.trade.cuts.pitch import Pitch
from crewdesk.trade.cuts.section import Section

TRAITS = ("ceiling", "cleats", "square edges", "glued miters", "wall")
USUAL_TRAITS = frozenset({"ceiling", "cleats", "square edges"})


class Form(NamedTuple):
    """A form: its id, name, pieces' keys and their traits."""

    id: str
    name: str
    pieces: tuple[str, ...]
    traits: frozenset[str]

    @property
    def typed(self) -> str:
        """The id as people type it."""
        return self.id.replace("mitred", "mitered")


USUAL = "usual"
FORMS: dict[str, Form] = {
    form.id: form
    for form in (
        Form(USUAL, "two sides, bottom between", ("A", "B", "bottom", "cleats"), USUAL_TRAITS),
        Form("uneven", "sides of two heights", ("A", "B", "bottom", "cleats"), USUAL_TRAITS),
        Form(
            "wall",
            "one side, against a wall",
            ("A", "bottom", "cleats"),
            USUAL_TRAITS | {"wall"},
        ),
        Form("ridge", "along a ridge", ("A", "B", "bottom", "cleats"), USUAL_TRAITS),
        Form(
            "mitred",
            "mitered corners",
            ("A", "B", "bottom"),
            frozenset({"ceiling", "glued miters"}),
        ),
        Form(
            "box",
            "four boards, below the ceiling",
            ("A", "B", "bottom", "top", "cleats"),
            frozenset({"cleats", "square edges"}),
        ),
        Form(
            "mitred box",
            "four boards, mitered corners, below the ceiling",
            ("A", "B", "bottom", "top"),
            frozenset({"glued miters"}),
        ),
    )
}
_NAMED = FORMS | {form.typed: form for form in FORMS.values()}
FORM_NAMES = tuple(form.typed for form in FORMS.values())
FORMS_TYPED = ", ".join(FORM_NAMES)
_KEY = {"side A": "A", "side B": "B", "bottom": "bottom", "top": "top"}


def form_of(id_: str) -> Form:
    """Return the form with that id, or as people type it; raises `NotAllowed`."""
    if id_ not in _NAMED:
        raise NotAllowed(f"A beam type can't be {brief(id_)}. It can be {FORMS_TYPED}.")
    return _NAMED[id_]


_CALLED: Mapping[str, str] = {
    "": USUAL,
    "plain": USUAL,
    "standard": USUAL,
    "normal": USUAL,
    "three board": USUAL,
    "3 board": USUAL,
    "uneven sides": "uneven",
    "two heights": "uneven",
    "against wall": "wall",
    "along wall": "wall",
    "one side": "wall",
    "along ridge": "ridge",
    "under ridge": "ridge",
    "miter": "mitred",
    "mitre": "mitred",
    "mitered corners": "mitred",
    "four board": "box",
    "four boards": "box",
    "4 board": "box",
    "box mitered": "mitred box",
    "miter box": "mitred box",
    "mitred box": "mitred box",
}
"""Other names that people type for a beam's type, without articles and the word beam."""
_SLOPED = ("slope", "sloped", "sloping", "pitched", "vaulted", "cathedral", "raked")
_LEVEL = ("flat", "level")
FORM_CHOICES = (
    "usual (two sides, bottom between), uneven (sides of two heights), wall (along a wall), "
    "ridge (along a ridge), mitered, box (four boards, below the ceiling), mitered box"
)


def form_typed(text: str) -> Form:
    """Return the type that a text names, in any of the words people use; raises `NotAllowed`."""
    words = text.casefold().replace("-", " ").split()
    called = " ".join(word for word in words if word not in ("a", "an", "the", "beam", "beams"))
    if called in _SLOPED:
        raise NotAllowed(
            f"A {called} beam is any type under a sloped ceiling. Type usual here, or another "
            "type, and sloped under Ceiling."
        )
    found = _CALLED.get(called, called)
    if found not in _NAMED:
        raise NotAllowed(f"{brief(text)} isn't a beam type. Type one of these: {FORMS_TYPED}.")
    return form_of(found)


def ceiling_typed(text: str) -> str:
    """Return the ceiling that a text names, "flat" or "sloped"; raises `NotAllowed`."""
    called = text.casefold().removesuffix("ceiling").strip()
    if called in _LEVEL:
        return "flat"
    if called in _SLOPED:
        return "sloped"
    raise NotAllowed(f"{brief(text)} isn't a kind of ceiling. Type flat or sloped.")


Pitches = tuple[Pitch | None, Pitch | None]
"""The slopes over side A and over side B."""


@lru_cache(maxsize=256)
def boards(
    form: str, section: Section, height_b: Fraction | None, pitches: Pitches
) -> Mapping[str, FormBoard]:
    """Return each board's widths and edges by piece key; raises `BadInput` if there is no room.

    Along a ridge a height is the drop from the ridge's point to the side's bottom edge. Each side
    is ripped to its back's width, with the top edge beveled to the slope over it. With unequal
    drops the bottom is tilted and loses the width by which its flat, square to its own face, would
    enter the side that its back leans into.
    """
    if form == "ridge":
        made = _along_ridge(section, height_b, pitches)
    elif form == "wall":
        made = against_wall(section)
    elif form == "mitred":
        made = mitred(section.width, section.height, section.side_thickness)
    elif form == "box":
        made = four_sided(section)
    elif form == "mitred box":
        made = four_sided_mitred(section.width, section.height, section.side_thickness)
    else:
        made = three_board(section, height_b if form == "uneven" else None)
    return {_KEY[board.name]: board for board in made}


def check_thickness(form: str, section: Section) -> None:
    """Raise `BadInput` if a mitered type's boards aren't of one thickness: their corners would not
    close at 45 degrees."""
    if "mitred" in form:
        check_one_thickness(section.side_thickness, section.bottom_thickness)


def _along_ridge(
    section: Section, height_b: Fraction | None, pitches: Pitches
) -> tuple[FormBoard, ...]:
    pitch_a, pitch_b = pitches[0], pitches[1] or pitches[0]
    if pitch_a is None or pitch_b is None:
        raise BadInput(
            "A beam along a ridge needs the pitch over side A. Type it like 6/12 or 26.5deg."
        )
    from crewdesk.trade.cuts.ridge import ridge_beam, ridge_bottom

    ridge = ridge_beam(
        section.width,
        section.height,
        height_b or section.height,
        pitch_a,
        pitch_b,
        side_thickness=section.side_thickness,
    )
    side_a, side_b, bottom = three_board(section)
    lies = ridge_bottom(section, ridge)
    return (
        *(
            side._replace(
                width=exact(made.show_height),
                back_width=made.back_height,
                second_edge="scribed",
                second_blade=Fraction(made.bevel_deg),
            )
            for side, made in ((side_a, ridge.side_a), (side_b, ridge.side_b))
        ),
        bottom._replace(
            width=exact(lies.width),
            back_width=exact(lies.back_width),
            tilt=ridge.bottom_tilt_deg,
            narrowed=exact(lies.lost),
        ),
    )
