"""A beam's figures as its page of the cut sheet has them.

What a page leaves out (a cleat's own size, how much shorter a relieved back is) stays as the
JSON has it; all that is printed stands in for it.
"""

import re
from collections.abc import Iterator

from tests.dry_fit.cut_list import (
    Beam,
    BoardEnd,
    BoardFigures,
    Cleat,
    Compound,
    SideEnd,
    SideFigures,
)
from tests.dry_fit.printed import ANGLE, LENGTH, PrintedBeam, angle_of, marked
from tests.dry_fit.shown import shown_length

_SMALL = rf"((?:under )?{LENGTH})"
_END = rf"(?:square|top {_SMALL} (back|out) {ANGLE})"
_ENDS = re.compile(rf"{_END} {_END} (?:top edge, to the ceiling )?SHOW FACE OF SIDE")
_RELIEF = re.compile(rf"(left|right) end, back {_SMALL} or more off the back face \({ANGLE}\)")
_COMPOUND = re.compile(
    rf"end (\d) \((?:low|high)\) compound: miter {ANGLE}"
    r"(?: \((top cut back|top out past|edge A longer|edge B longer)\))?"
    rf", blade {ANGLE}(?: \((show face|back) longer\))?"
)
_SLANT = re.compile(rf"square across|slant not known|miter {ANGLE}, edge ([AB]) longer by {_SMALL}")
_JOINT = re.compile(rf"blade square|(relief|bevel), blade {ANGLE}(, back shorter)?")
_STARTS = re.compile(rf"on (?:side ([AB])|the (wall)) it starts {_SMALL}( out past)?")
_CLEAT = (
    "on {where}: lower edge(?: over side A's bottom edge, level with its cleat)? "
    f"({LENGTH}) length ({LENGTH})"
)
_BACK = ("top cut back", "edge A longer")


class Unread(ValueError):
    """What is printed could not be read as it is meant to be."""


def printed_beam(page: PrintedBeam, beam: Beam) -> Beam:
    """The beam with every figure that is printed in place of its own; raises `Unread`."""
    for key in beam.sides:
        if f"Side {key}" not in page.boards:
            raise Unread(f"side {key} is not on the page")
    scribe = beam.scribe
    if scribe is not None:
        setting = re.search(rf"set the scriber to ({LENGTH})", page.text)
        if setting is None:
            raise Unread("no scriber's setting")
        scribe = scribe._replace(setting=_inches(setting[1]))
    return beam._replace(
        sides={k: _side(one, page.boards[f"Side {k}"]) for k, one in beam.sides.items()},
        bottom=beam.bottom and _flat_board(beam.bottom, page.boards["bottom"]),
        top=beam.top and _flat_board(beam.top, page.boards["top"]),
        cleats=tuple(_cleats(beam, page)),
        scribe=scribe,
        compounds=dict(_compounds(page)),
    )


def _side(figures: SideFigures, text: str) -> SideFigures:
    found = _ENDS.search(text)
    if found is None:
        raise Unread(f"no ends in {text!r}")
    seen = re.search(r"left, end (\d): .*? right, end (\d): ", text)
    if seen is None:
        raise Unread(f"no walls in {text!r}")
    reliefs = {side: (_inches(by), angle_of(deg)) for side, by, deg in _RELIEF.findall(text)}
    left, right = (
        _side_end(int(seen[at + 1]), found.groups()[3 * at : 3 * at + 3], reliefs.get(side))
        for at, side in enumerate(("left", "right"))
    )
    line = figures.cleat_line
    return figures._replace(
        height=_needed(text, "side width(?: at the show face)?"),
        bottom_length=_needed(text, "bottom edge"),
        top_length=_needed(text, "top edge"),
        blank=_needed(text, "blank"),
        cleat_line=None if line is None else _needed(text, "cleat line"),
        left=left,
        right=right,
    )


def _side_end(number: int, offset: tuple[str, ...], relief: tuple[float, float] | None) -> SideEnd:
    by, way, deg = offset
    sign = 1 if way == "back" else -1
    return SideEnd(
        number,
        sign * _inches(by) if by else 0.0,
        sign * angle_of(deg) if by else 0.0,
        *(relief or (0.0, 0.0)),
    )


def _flat_board(figures: BoardFigures, text: str) -> BoardFigures:
    slants, joints = list(_SLANT.finditer(text)), list(_JOINT.finditer(text))
    left = re.search(r"left, end (\d): ", text)
    if len(slants) != 2 or len(joints) != 2 or left is None:
        raise Unread(f"no two ends in {text!r}")
    numbers = (1, 2) if left[1] == "1" else (2, 1)
    ends = {
        number: _board_end(figures.ends[number - 1], slant, joint)
        for number, slant, joint in zip(numbers, slants, joints, strict=True)
    }
    edge_a, edge_b = marked(text, "edge A"), marked(text, "edge B")
    if edge_a is None or edge_b is None:
        edge_a = edge_b = _needed(text, "length")
    face = "show" if "Bottom" in text else "outer"
    tilt = re.search(rf"lies with edge ([AB]) lower, tilted {ANGLE} off level", text)
    return figures._replace(
        width=_needed(text, f"{face} face width"),
        edge_a=edge_a,
        edge_b=edge_b,
        length=max(edge_a, edge_b),
        ends=(ends[1], ends[2]),
        tilt=angle_of(tilt[2]) if tilt else 0.0,
        lower_side=tilt[1] if tilt else None,
    )


def _board_end(old: BoardEnd, slant: re.Match[str], joint: re.Match[str]) -> BoardEnd:
    """An end as its words say: its slant, then how it is cut."""
    offset: float | None = 0.0
    miter: float | None = 0.0
    if slant[0] == "slant not known":
        offset = miter = None
    elif slant[1]:
        sign = 1 if slant[2] == "A" else -1
        offset, miter = sign * _inches(slant[3]), sign * angle_of(slant[1])
    how = joint[1] or "square"
    if (how == "bevel") != bool(joint[3]):
        raise Unread(f"which face is the shorter in {joint[0]!r}")
    blade = angle_of(joint[2]) if joint[2] else 0.0
    return BoardEnd(old.number, offset, miter, how, blade, old.flat, old.back_short)


def _cleats(beam: Beam, page: PrintedBeam) -> Iterator[Cleat]:
    text = page.boards.get("cleats", "")
    starts = {
        side or wall: _inches(by) * (-1 if way else 1)
        for side, wall, by, way in _STARTS.findall(text)
    }
    for cleat in beam.cleats:
        where = "the wall" if cleat.on == "wall" else f"side {cleat.on}"
        found = re.search(_CLEAT.replace("{where}", where), text)
        if found is None or cleat.on not in starts:
            raise Unread(f"no cleat on {where} in {text!r}")
        yield cleat._replace(
            line=_inches(found[1]), length=_inches(found[2]), start=starts.get(cleat.on)
        )


def _compounds(page: PrintedBeam) -> Iterator[tuple[tuple[str, int], Compound]]:
    for name, key in (("Side A", "A"), ("Side B", "B"), ("bottom", "bottom")):
        for end, miter, way, blade, face in _COMPOUND.findall(page.boards.get(name, "")):
            yield (
                (key, int(end)),
                Compound(
                    angle_of(miter) * (1 if way in _BACK else -1),
                    angle_of(blade) * (1 if face == "show face" else -1),
                ),
            )


def _needed(text: str, label: str) -> float:
    found = marked(text, label)
    if found is None:
        raise Unread(f"no {label} in {text!r}")
    return found


def _inches(text: str) -> float:
    """A length as it is printed; one that is `under` a step counts as nothing."""
    return 0.0 if text.startswith("under ") else float(shown_length(text))
