"""The figures of a board, as they stand in large type on paper."""

from crewdesk.job.marks import BottomMarks, CleatMarks, SideMarks
from crewdesk.paper.lengths import with_unit, with_unit_at_most
from crewdesk.paper.taped.figures_strip import Figures
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.length import Step


def figures_of(made: SideMarks | BottomMarks | CleatMarks, step: Step) -> list[Figures]:
    """The figures of a board, in rows."""
    if isinstance(made, SideMarks):
        figures = []
        if made.cut is not None:
            figures = [
                ("bottom edge", with_unit(made.cut.bottom_length, step)),
                ("top edge", with_unit(made.cut.top_length, step)),
                ("blank", with_unit(made.cut.blank, step)),
            ]
        figures.append(("height", with_unit(made.height, step)))
        if made.cleat_line is None:
            figures.append(("mitre, blade", f"{float(made.blade):g}\u00b0"))
        else:
            figures.append(("cleat line, inside", with_unit(made.cleat_line, step)))
        return [figures]
    if isinstance(made, BottomMarks):
        widths = [
            ("width, show face", with_unit(made.width, step)),
            ("at the back", with_unit(made.back_width, step)),
        ]
        lengths = [] if made.cut is None else _lengths(made.cut, step, own=made.own)
        return [widths, lengths] if len(lengths) > 2 else [widths + lengths]
    known = [one for one in made.lengths if one is not None]
    return [
        [
            ("lower edge, inside", with_unit(made.line, step)),
            *(
                (f"long, on side {name}", with_unit(one, step))
                for name, one in zip("AB", known, strict=False)
            ),
        ]
    ]


def _lengths(cut: BottomCut, step: Step, *, own: bool) -> Figures:
    """A bottom board's lengths, each shown rounded down."""
    edges = [("edge A", cut.edge_a, cut.back_a), ("edge B", cut.edge_b, cut.back_b)]
    if cut.edge_a == cut.edge_b:
        edges = [("length", cut.edge_a, cut.back_a)]
    figures = []
    for name, edge, back in edges:
        figures.append((f"{name}{', your own' if own else ''}", with_unit_at_most(edge, step)))
        if back != edge:
            figures.append(("at the back", with_unit_at_most(back, step)))
    return figures
