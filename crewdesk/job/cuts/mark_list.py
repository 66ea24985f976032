"""The marks of a piece as one list, which screens, paper and JSON all show.

Add a mark here: its name, place, rounding and note. Nothing else decides those.
"""

from collections.abc import Iterable, Iterator, Mapping

from crewdesk.job.cuts.mark import Mark, as_cut_and_today, if_held, stock_mark
from crewdesk.job.cuts.marks import BackRelief, BottomMarks, CleatMarks, Marks, SideMarks
from crewdesk.length import Length
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.cleat import CleatCut
from crewdesk.trade.cuts.forms import Joint
from crewdesk.trade.cuts.side_board import EndCut, Side, SideCut, ends_left_to_right

NO_SLANT_KNOWN = "slant not known, measure the walls with the square"


def mark_list(
    made: Marks, key: str, within: Mapping[str, Length] | None = None
) -> tuple[Mark, ...]:
    """Return a piece's marks in the order they are read; `key` is the piece's, `within` how
    far marks can be off, in inches, by their ids."""
    found = _found(made, key)
    if isinstance(made, BottomMarks) and made.built is not None:
        # Both are listed alike, so that each mark as cut has its own of today.
        lists = (made, made.built)
        lengths_differ = made.cut is not None and made.cut.edge_a != made.cut.edge_b
        edges = lengths_differ or _edges_differ(made.built)
        ends = not all(map(_as_the_edges, lists))
        found, cut = (_flat_board(one, edges=edges, ends=ends) for one in lists)
        found = as_cut_and_today(found, cut, made.kept)
    elif made.built is not None:
        found = as_cut_and_today(found, _found(made.built, key), made.kept)
    if made.built is not None:
        found = (*found, *stock_mark(made))
    off = within or {}
    found = (one._replace(within=off.get(one.id)) for one in found)
    return tuple(if_held(one, made) for one in found)


def _found(made: Marks, key: str) -> Iterable[Mark]:
    if isinstance(made, SideMarks):
        return _side(made, "A" if key == "A" else "B")
    if isinstance(made, BottomMarks):
        return _flat_board(made)
    return _cleats(made)


def _side(made: SideMarks, side: Side) -> Iterator[Mark]:
    sloped_top = made.top_joint == "scribed"
    mitered = "mitre" in (made.bottom_joint, made.top_joint)
    at = "at the show face" if sloped_top or mitered else ""
    yield Mark("height", "side width", made.height, at=at, row="section", large=True)
    if made.cleat_line is not None:
        yield Mark(
            "cleat_line", "cleat line", made.cleat_line, at="up the inside", row="section",
            large=True,
        )  # fmt: skip
    if made.bottom_joint == "mitre":
        yield Mark(
            "bottom_edge", "bottom edge mitered, blade", deg=float(made.blade), row="section",
            large=True,
        )  # fmt: skip
    if made.top_joint == "mitre":
        yield Mark(
            "top_edge", "top edge mitered, blade", deg=float(made.top_blade), row="section",
            large=True,
        )  # fmt: skip
    elif sloped_top:
        yield Mark(
            "back_height", "top edge along the ridge: width at the back", made.back_height, "up",
            deg=float(made.top_blade), row="top edge", large=True,
        )  # fmt: skip
    if made.cut is not None:
        yield from _side_cut(made, made.cut, side)


def _side_cut(made: SideMarks, cut: SideCut, side: Side) -> Iterator[Mark]:
    yield Mark(
        "bottom_length", "bottom edge", cut.bottom_length, "down", row="lengths",
        large=True,
    )  # fmt: skip
    yield Mark("top_length", "top edge", cut.top_length, "down", row="lengths", large=True)
    yield Mark("blank", "blank", cut.blank, "up", row="lengths", large=True)
    ends = (cut.end1, cut.end2)
    for seen, end in zip(("left", "right"), ends_left_to_right(side), strict=True):
        yield end_mark(ends[end - 1], seen, end)
    for seen, end in zip(("left", "right"), ends_left_to_right(side), strict=True):
        if (relief := made.reliefs[end - 1]) is not None:
            yield Mark(
                f"relief{end}", f"{seen} end, back", relief.by, "up",
                at="or more off the back face", deg=relief.deg, row=f"relief{end}", end=end,
                note=_relief_note(relief),
            )  # fmt: skip


def _relief_note(relief: BackRelief) -> str:
    note = "the least, since the show face has more room; set the back bevel's angle"
    return f"{note}; or cut the end with the compound setting" if relief.compound else note


def end_mark(end: EndCut, seen: str, number: int) -> Mark:
    """Return the mark at one end of a side: how far its top goes off the square line drawn
    through the bottom corner, rounded so that the top never comes out longer."""
    row = f"end{number}"
    if end.offset == 0:
        return Mark(row, seen, end=number, row=row, note="square", large=True)
    back = end.offset > 0
    return Mark(
        row,
        f"{seen} end, top",
        end.offset if back else -end.offset,
        "up" if back else "down",
        at="back from the square line" if back else "out past the square line",
        deg=abs(end.angle_deg),
        row=row,
        end=number,
        large=True,
    )


def _flat_board(
    made: BottomMarks, *, edges: bool | None = None, ends: bool | None = None
) -> Iterator[Mark]:
    """Return a flat board's marks: both `edges` and both `ends` separately; None for those of its
    cut."""
    apart = _edges_differ(made) if edges is None else edges
    ends_apart = not _as_the_edges(made) if ends is None else ends
    face = "outer face" if made.top else "show face"
    scribed = made.joints[1] == "scribed"
    note = "with stock to scribe to the wall" if scribed else ""
    yield Mark("width", f"{face} width", made.width, "down", note=note, row="section", large=True)
    if made.back_width != made.width:
        yield Mark("back_width", "back width", made.back_width, "down", row="section", large=True)
    yield _edges(made, ends=not ends_apart)
    if scribed:
        yield Mark(
            "scribe_stock", "edge B square, scribed to the wall; stock to scribe", made.stock,
            row="scribed",
        )  # fmt: skip
        yield Mark(
            "scribed_width", "width left where the wall is straight", made.width - made.stock,
            "down", row="scribed",
        )  # fmt: skip
    if made.tilt:
        lower = "A" if made.tilt > 0 else "B"
        yield Mark(
            "tilt", f"lies with edge {lower} lower, tilted", deg=abs(made.tilt), row="tilt",
            at="off level", note="its flat is square to its own show face",
        )  # fmt: skip
    if made.cut is not None:
        yield from _lengths(made, made.cut, apart=apart)
        first, second = made.cut.ends
        if not ends_apart:
            return
        if ends is None and first._replace(end=2) == second and first.longer is None:
            both = board_end_mark(first, made.joints)
            yield both._replace(id="cuts", name="both ends:", end=0, row="cuts")
        else:
            yield board_end_mark(first, made.joints)
            yield board_end_mark(second, made.joints)


def _as_the_edges(made: BottomMarks) -> bool:
    """Return whether both ends are square and relieved like its edges."""
    ends = () if made.cut is None else made.cut.ends
    return bool(ends) and all(
        end.known and end.longer is None and end.joint == "relief" for end in ends
    )


def _edges_differ(made: BottomMarks) -> bool:
    """Return whether edges A and B have separate marks."""
    cut = made.cut
    return cut is not None and (
        cut.edge_a != cut.edge_b or any(end.longer is not None for end in cut.ends)
    )


def _edges(made: BottomMarks, *, ends: bool) -> Mark:
    """Return how the edges are cut, with the `ends` if both are cut like them."""
    first, second = made.joints
    if first == "mitre":
        return Mark("edges", "both edges mitered, blade", deg=float(made.bevel), row="edges")
    if first != "relief" or made.bevel == 0:
        return Mark("edges", "edges square", row="edges")
    both = "edge A" if second == "scribed" else "both edges"
    both += " and both ends" if ends else ""
    flat = "to a knife edge at the show face" if made.flat == 0 else ""
    return Mark(
        "edges", f"relief bevel on {both},", made.flat if made.flat else None,
        at="left flat" if made.flat else "", deg=float(made.bevel), row="edges", note=flat,
    )  # fmt: skip


EDGES_RULE = "lay out edge A and edge B; the offsets at the ends are a check"
"""Each offset is rounded by itself, so together they can differ from the edges by a step."""


def _lengths(made: BottomMarks, cut: BottomCut, *, apart: bool) -> Iterator[Mark]:
    notes = {True: "your own length" if made.own else "", False: "by the walls' slants"}
    if not apart:
        edges = [("edge_a", "back_a", "length", cut.edge_a, cut.back_a)]
    else:
        edges = [
            ("edge_a", "back_a", "edge A", cut.edge_a, cut.back_a),
            ("edge_b", "back_b", "edge B", cut.edge_b, cut.back_b),
        ]
    for id_, back_id, name, edge, back in edges:
        own = notes[id_ == "edge_a" or made.own_b or not made.own]
        if id_ == "edge_b" and any(end.longer is not None for end in cut.ends):
            own = "; ".join(filter(None, (own, EDGES_RULE)))
        yield Mark(id_, name, edge, "down", note=own, row=id_, large=True)
        if back != edge:
            yield Mark(back_id, f"{name} at the back", back, "down", row=id_, large=True)


def board_end_mark(end: BoardEnd, joints: tuple[Joint, Joint] = ("relief", "relief")) -> Mark:
    """Return the mark at one end of a board that lies flat: its slant, then how it is cut.
    `joints` are its edges' (see `BottomMarks`)."""
    id_ = f"cut{end.end}"
    if end.joint == "bevel":
        how = f"one cut along the wall, blade at {end.blade_deg:.2f}\u00b0, show face longer"
    elif end.joint == "relief":
        how = "then relief as on " + ("edge A" if joints[1] == "scribed" else "the edges")
    else:
        how = "blade square"
    if not end.known:
        note = NO_SLANT_KNOWN if end.joint == "relief" else f"{NO_SLANT_KNOWN}; {how}"
        return Mark(id_, f"end {end.end}:", row=id_, end=end.end, note=note)
    if end.longer is None:
        square = f"square across, {how}"
        return Mark(id_, f"end {end.end}:", row=id_, end=end.end, note=square)
    assert end.offset is not None
    assert end.miter_deg is not None
    return Mark(
        id_, f"end {end.end}: edge {end.longer} runs past by",
        end.offset if end.offset > 0 else -end.offset,
        "up" if end.offset > 0 else "down",
        deg=end.miter_deg,
        row=id_, end=end.end, note=how, large=True, near_to=end.free,
    )  # fmt: skip


def _cleats(made: CleatMarks) -> Iterator[Mark]:
    for one in made.cleats[:1]:
        yield Mark(
            "projection", "ripped to", one.projection,
            at="off the side, sawn face against it", row="stock",
        )  # fmt: skip
        yield Mark("stock", "stock", one.height, at="up the side", row="stock")
    for one in made.cleats:
        yield from _cleat(one)
    starts = [one for one in made.cleats if one.start is not None and one.on != "wall"]
    for one in starts:
        yield _cleat_start(one, last=one is starts[-1])
    for one in made.cleats:
        if one.start is not None and one.on == "wall":
            at = "from the end wall at end 1, along its lower edge"
            yield Mark("start_wall", "on the wall it starts", one.start, "up", at=at, row="starts")


def _cleat(one: CleatCut) -> Iterator[Mark]:
    where = "the wall" if one.on == "wall" else f"side {one.on}"
    row = f"cleat {one.on}"
    at = "over side A's bottom edge, level with its cleat" if one.on == "wall" else "up the inside"
    yield Mark(f"line_{one.on}", f"on {where}: lower edge", one.line, at=at, row=row, large=True)
    if one.length is not None:
        yield Mark(f"length_{one.on}", "length", one.length, "down", row=row, large=True)


def _cleat_start(one: CleatCut, *, last: bool) -> Mark:
    assert one.start is not None
    past = one.start < 0
    way = "out past" if past else "from"
    return Mark(
        f"start_{one.on}",
        f"on side {one.on} it starts",
        -one.start if past else one.start,
        "down" if past else "up",
        at=f"{way} the show face's bottom corner at end 1" if last or past else "",
        row="starts",
    )
