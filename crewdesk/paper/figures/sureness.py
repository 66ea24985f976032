"""`crewdesk figure sureness`: how far each mark of a side board can be off."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction

from crewdesk.length import Step, exact, exact_text, show_at_most, show_up
from crewdesk.paper.figures import Figure, step_of, warned
from crewdesk.paper.figures.end import read_end
from crewdesk.paper.text.mark_text import within, within_json
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, apart_off, read_own
from crewdesk.trade.cuts.measured import Measured
from crewdesk.trade.cuts.side_board import SideCut, side_cut
from crewdesk.trade.cuts.sureness import must_agree, side_sureness
from crewdesk.trade.read_length import read_length

ABOUT = "how far each mark of a side board can be off"


def arguments(parser: ArgumentParser) -> None:
    """Add the side's readings, the instruments' steps and own errors, and a second reading of
    the length."""
    parser.add_argument("--length", required=True, metavar="L", help="wall to wall, bottom edge")
    parser.add_argument("--again", metavar="L", help=("the same length, measured a second time"))
    parser.add_argument("--height", required=True, metavar="H", help=("width of the side board"))
    for end in ("end1", "end2"):
        parser.add_argument(
            f"--{end}",
            required=True,
            metavar="GAP:in|out",
            help=("gap at the level, and in or out at the top"),
        )
    parser.add_argument("--level", required=True, metavar="L", help="level's length")
    parser.add_argument("--tape-step", default="1/16", metavar="S", help="tape's step (1/16)")
    parser.add_argument("--gap-step", default="1/32", metavar="S", help="gap's step (1/32)")
    parser.add_argument("--tape-error", default="1/16", metavar="E", help="tape's own error (1/16)")
    parser.add_argument(
        "--level-error", default="0.0005", metavar="E", help="level's own, inch per inch (0.0005)"
    )


def figure(args: Namespace) -> Figure:
    """Return each mark with its uncertainty, rounded up."""
    tape = USUAL_INSTRUMENTS.tape._replace(
        step=read_length(args.tape_step), own=read_own("tape", args.tape_error)
    )
    level = USUAL_INSTRUMENTS.level._replace(
        step=read_length(args.gap_step), own=read_own("level", args.level_error)
    )
    length, over = read_length(args.length), read_length(args.level)
    if args.again is not None:
        must_agree(length, read_length(args.again), apart_off(tape, tape))
    ends = (read_end(args.end1, over), read_end(args.end2, over))
    cut = side_cut(length, read_length(args.height), *ends)
    off = side_sureness(Measured(length, tape.length_off), cut.height, ends, (level, level))
    step = step_of(args)
    unit = "" if step.mm else " in"
    marks = [(name, mark, shown, getattr(off, name)) for name, mark, shown in _marks(cut, step)]
    return warned(
        (
            *(
                f"{name.replace('_', ' '):<15}{shown}{unit}, within {within(by, step)}"
                for name, _, shown, by in marks
            ),
        ),
        {
            **{
                name: {
                    "mark": {"exact": exact_text(mark), "shown": shown},
                    "off": within_json(by, step),
                }
                for name, mark, shown, by in marks
            },
        },
        off.cautions,
    )


def _marks(cut: SideCut, step: Step) -> list[tuple[str, Fraction, str]]:
    """Return each mark by name, exact and as shown: an edge rounded down, the blank up, an offset
    so that the board is never too long."""
    marks = (
        ("bottom_length", cut.bottom_length, show_at_most),
        ("top_length", cut.top_length, show_at_most),
        ("blank", cut.blank, show_up),
        ("end1", cut.end1.offset, show_up),
        ("end2", cut.end2.offset, show_up),
    )
    return [(name, exact(mark), shown(mark, step)) for name, mark, shown in marks]
