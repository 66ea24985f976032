"""The cut of a piece in lines for the screen, as it would be from what is typed."""

from collections.abc import Iterator, Mapping, Sequence

from textual.content import Content

from crewdesk.job.beam import Beam
from crewdesk.job.marks import BottomMarks, CleatMarks, Marks, SideMarks
from crewdesk.job.piece import Piece
from crewdesk.job.readings import Reading
from crewdesk.job.sentences import sentence
from crewdesk.paper.board_marks import edges_told, end_told, top_told
from crewdesk.paper.cutlist import wall
from crewdesk.paper.lengths import with_unit, with_unit_at_most
from crewdesk.paper.plain import plain
from crewdesk.paper.plan_told import plan_lines
from crewdesk.paper.sure_told import sure_cautions, sure_line
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.side_board import SideCut, ends_left_to_right
from crewdesk.trade.cuts.sureness import SideSureness
from crewdesk.trade.length import INCHES_PER_FOOT, Length, Step, rounded_down, show_length

Parts = list[tuple[str, str]]
_LABEL = "$muted"
_VALUE = "bold"


def cut_told(
    beam: Beam,
    piece: Piece,
    made: Marks,
    step: Step,
    missing: Sequence[str],
    sure: SideSureness | None,
    *,
    typed: Mapping[str, Reading],
) -> Content:
    """The marks; `missing` names the readings that more of them would need, `sure` how far
    they can be off, `typed` are the readings that are typed and not yet saved."""
    lines = [_head(step, typed=bool(typed))]
    lines += _lines(beam, piece, made, step)
    if sure is not None:
        lines.append([(sure_line(sure), _LABEL)])
        lines += [[(f"! {plain(one)}", "$warning")] for one in sure_cautions(sure)]
    lines += [[(plain(one), "$accent")] for one in plan_lines(beam, piece, step, typed)]
    if piece.gaps:
        lines.append([(_gaps_told(piece), "$accent")])
    if missing:
        lines.append([(f"Not read yet: {'; '.join(missing)}.", "$warning")])
    return joined(lines)


def _gaps_told(piece: Piece) -> str:
    where = ", ".join(dict.fromkeys(gap.where for gap in piece.gaps))
    return f"Gaps noted at {where}: F10 shows them"


def trouble_told(sentence: str, step: Step) -> Content:
    """What stands in the cut's place where no cut can be made."""
    return joined([_head(step, typed=True), [(f"! {plain(sentence)}", "$error bold")]])


def joined(lines: Sequence[Parts]) -> Content:
    """Lines of parts, each with its style, as one."""
    return Content("\n").join(Content.assemble(*line) for line in lines)


def _head(step: Step, *, typed: bool) -> Parts:
    to = "the millimetre" if step.mm else f"{step.name} in"
    saved: Parts = [("as typed, not saved", "$accent bold")] if typed else [("", "")]
    return [
        ("Cut ", "$primary bold"),
        *saved,
        (f"  to {to}; + is a little more, - a little less", _LABEL),
    ]


def _lines(beam: Beam, piece: Piece, made: Marks, step: Step) -> Iterator[Parts]:
    if isinstance(made, SideMarks):
        side = _told("side", made.height, step)
        if made.cleat_line is not None:
            side += _told("  cleat line", made.cleat_line, step, "up inside")
        if made.top_blade:
            yield [(top_told(made, step), _VALUE)]
        if made.blade:
            side += [("  edge mitred, blade ", _LABEL), (f"{float(made.blade):g}\u00b0", _VALUE)]
        if made.cut is None:
            yield side
        else:
            yield from _side(made.cut, piece.key, beam, step, side)
    elif isinstance(made, BottomMarks):
        yield [
            *_told("show face", made.width, step, "wide"),
            *_told("  back", made.back_width, step, "wide"),
        ]
        yield [(edges_told(made, step), _VALUE)]
        if made.cut is not None:
            yield from _bottom(made, made.cut, beam, step)
    elif isinstance(made, CleatMarks):
        yield _told("lower edge", made.line, step, "up the inside of each side")
        sides = [one.name for one in beam.pieces.values() if one.kind == "side"]
        for name, length in zip(sides, made.lengths, strict=True):
            if length is not None:
                yield _long(f"on {name}", length, step)


def _bottom(made: BottomMarks, cut: BottomCut, beam: Beam, step: Step) -> Iterator[Parts]:
    less = f"  the reading less {with_unit(beam.section.undercut, step)}"
    from_ = "  your own" if made.own else less
    one = cut.edge_a == cut.edge_b
    edges = [("length" if one else "edge A", cut.edge_a, cut.back_a)]
    if not one:
        edges.append(("edge B", cut.edge_b, cut.back_b))
    for name, edge, back in edges:
        feet = show_length(rounded_down(edge, step.size), step, feet=True)
        behind = f" = {feet}" if not step.mm and edge >= INCHES_PER_FOOT else ""
        at_back = f"  back {with_unit_at_most(back, step)}" if back != edge else ""
        yield [
            (f"{name} ", _LABEL),
            (with_unit_at_most(edge, step), _VALUE),
            (behind, _LABEL),
            (from_ if one else "", _LABEL),
            (at_back, _VALUE),
        ]
    if not one:
        yield [(from_.strip(), _LABEL)]
    for told in cut.cautions:
        yield [(f"! {plain(sentence(told))}", "$override")]


def _side(cut: SideCut, key: str, beam: Beam, step: Step, side: Parts) -> Iterator[Parts]:
    left, right = ends_left_to_right("A" if key == "A" else "B")
    ends = (cut.end1, cut.end2)
    yield [
        *_long("edges  bottom", cut.bottom_length, step),
        *_long("  top", cut.top_length, step),
    ]
    yield [*_long("blank ", cut.blank, step), ("  ", ""), *side]
    for at, end in (("left ", left), ("right", right)):
        told = end_told(ends[end - 1], step)
        yield [(f"{at} {plain(wall(beam, end))}: ", _LABEL), (told, _VALUE)]


def _told(name: str, value: Length, step: Step, behind: str = "") -> Parts:
    return [(f"{name} ", _LABEL), (with_unit(value, step), _VALUE), (f" {behind}".rstrip(), _LABEL)]


def _long(name: str, value: Length, step: Step) -> Parts:
    """A length, and behind it the same in feet and inches where it has any."""
    feet = not step.mm and value >= INCHES_PER_FOOT
    return _told(name, value, step, f"= {show_length(value, step, feet=True)}" if feet else "")
