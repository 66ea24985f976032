"""`crewdesk figure sureness`: how far each mark of a side board can be off."""

from argparse import ArgumentParser, Namespace

from crewdesk.job.sentences import sentence
from crewdesk.paper.figures import Figure
from crewdesk.paper.figures.end import read_end
from crewdesk.paper.lengths import length_json
from crewdesk.trade.cuts.side_board import side_cut
from crewdesk.trade.cuts.sureness import Steps, must_agree, side_sureness
from crewdesk.trade.length import STEPS, rounded_up, show_length
from crewdesk.trade.read_length import read_length

ABOUT = "how far each mark of a side board can be off"

_FINE = STEPS["1/64"]


def arguments(parser: ArgumentParser) -> None:
    """Add the side's readings, the instruments' steps, and a second reading of the run."""
    parser.add_argument("--length", required=True, metavar="L", help="run along the bottom line")
    parser.add_argument("--again", metavar="L", help="the run, read a second time")
    parser.add_argument("--height", required=True, metavar="H", help="height of the side board")
    for end in ("end1", "end2"):
        parser.add_argument(
            f"--{end}", required=True, metavar="GAP:in|out", help="gap at the level, and the lean"
        )
    parser.add_argument("--level", required=True, metavar="L", help="length of the level")
    parser.add_argument("--tape-step", default="1/16", metavar="S", help="tape's step (1/16)")
    parser.add_argument("--gap-step", default="1/32", metavar="S", help="gap's step (1/32)")


def figure(args: Namespace) -> Figure:
    """Each mark with the most it can be off, to the next 1/64 in."""
    steps = Steps(tape=read_length(args.tape_step), gap=read_length(args.gap_step))
    length, level = read_length(args.length), read_length(args.level)
    if args.again is not None:
        must_agree(length, read_length(args.again), steps.tape, steps.tape)
    end1, end2 = read_end(args.end1, level), read_end(args.end2, level)
    cut = side_cut(length, read_length(args.height), end1, end2)
    off = side_sureness(cut, end1, end2, steps)
    marks = (
        ("bottom_length", cut.bottom_length, off.bottom_length),
        ("top_length", cut.top_length, off.top_length),
        ("blank", cut.blank, off.blank),
        ("end1", cut.end1.offset, off.end1),
        ("end2", cut.end2.offset, off.end2),
    )
    warnings = [sentence(one) for one in off.cautions]
    return Figure(
        (
            *(
                f"{name.replace('_', ' '):<15}{show_length(mark)} in, "
                f"give or take {show_length(rounded_up(by, _FINE.size), _FINE)}"
                for name, mark, by in marks
            ),
            *warnings,
        ),
        {
            **{name: {"mark": length_json(m), "off": length_json(b)} for name, m, b in marks},
            "warnings": warnings,
        },
    )
