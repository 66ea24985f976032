"""`crewdesk figure ridge`: the two sides of a beam along a ridge, and the bottom between them."""

from argparse import ArgumentParser, Namespace
from typing import Any

from crewdesk.length import Step, exact
from crewdesk.paper.figures import Figure, lengths_by_default, read_section, step_of
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.ridge import RidgeBeam, RidgeBottom, RidgeSide, ridge_beam, ridge_bottom
from crewdesk.trade.read_length import read_length

ABOUT = "a ridge beam's sides, their top bevels, and the bottom board between them"


def arguments(parser: ArgumentParser) -> None:
    """Add the beam's width, its drops from the ridge, both slopes, and the bottom board."""
    parser.add_argument("--width", required=True, metavar="W", help="over the outside of the sides")
    parser.add_argument("--drop", required=True, metavar="D", help="ridge to the bottom edges")
    parser.add_argument("--drop-b", metavar="D", help="the same at side B, where it differs")
    parser.add_argument("--pitch", required=True, metavar="P", help="slope over side A: 6/12")
    parser.add_argument("--pitch-b", metavar="P", help="slope over side B, where it differs")
    parser.add_argument("--toward-a", default="0", metavar="L", help="middle off the ridge (0)")
    parser.add_argument("--toward-b", default="0", metavar="L", help="the same, the other way (0)")
    lengths_by_default(
        parser,
        ("side-thickness", "3/4", "thickness of a side board"),
        ("bottom-thickness", "3/4", "thickness of the bottom board"),
        ("flat", "1/4", "left square at the bottom board's show face"),
        ("fit", "0", "clearance, off the bottom board's width"),
    )
    parser.add_argument("--bevel", default="15", metavar="DEG", help="tilt of its relief (15)")


def figure(args: Namespace) -> Figure:
    """Return both sides, and the width to rip the bottom board to, with its parts."""
    drop, pitch, step = read_length(args.drop), read_pitch(args.pitch), step_of(args)
    width, thick = read_length(args.width), read_length(args.side_thickness)
    made = ridge_beam(
        width,
        drop,
        drop if args.drop_b is None else read_length(args.drop_b),
        pitch,
        pitch if args.pitch_b is None else read_pitch(args.pitch_b),
        off_centre=read_length(args.toward_a) - read_length(args.toward_b),
        side_thickness=thick,
    )
    bottom = ridge_bottom(read_section(args), made)
    return Figure(
        (
            f"side A        {_side_line(made.side_a, step)}",
            f"side B        {_side_line(made.side_b, step)}",
            f"difference    {_difference(made, step)}",
            *_bottom_lines(made, bottom, step),
        ),
        {
            "side_a": _side_json(made.side_a, step),
            "side_b": _side_json(made.side_b, step),
            **lengths_json(made, step, "uneven", "bottom_out"),
            "bottom_tilt_deg": made.bottom_tilt_deg,
            **lengths_json(made, step, "bottom_width", way="down"),
            "bottom": {
                **lengths_json(bottom, step, "rip=width", "back_width", "slant", way="down"),
                **lengths_json(bottom, step, "flat_loss=lost", way="up"),
                **lengths_json(bottom, step, "fit"),
                "lower_side": bottom.lower,
            },
        },
    )


def _side_line(side: RidgeSide, step: Step) -> str:
    """Return the line as on the cut list: the back's width, which the board is ripped to, rounded
    up; the show face's to the nearest."""
    return (
        f"rip to {with_unit(side.back_height, step, 'up')} at the back, top edge at "
        f"{degrees_shown(side.bevel_deg)}, so that the show face is "
        f"{with_unit(side.show_height, step)}"
    )


def _difference(made: RidgeBeam, step: Step) -> str:
    if made.uneven == 0:
        return "none; both show faces are of one width"
    wider = "A" if made.uneven > 0 else "B"
    return f"side {wider} is {with_unit(abs(exact(made.uneven)), step)} wider at its show face"


def _bottom_lines(made: RidgeBeam, bottom: RidgeBottom, step: Step) -> list[str]:
    tilt = (
        "it lies level"
        if bottom.lower is None
        else f"it tilts {degrees_shown(abs(made.bottom_tilt_deg))}, down toward side {bottom.lower}"
    )
    lines = [f"bottom board  rip to {with_unit(bottom.width, step, 'down')}; {tilt}"]
    less = []
    if bottom.lost:
        less.append(f"{with_unit(bottom.lost, step, 'up')} that its square flat takes")
    if bottom.fit:
        less.append(f"{with_unit(bottom.fit, step)} of clearance")
    between = f"{with_unit(bottom.slant, step, 'down')} between the sides' inner faces"
    along = "" if bottom.lower is None else ", along the tilt"
    lines.append(f"              {between}{along}{', less ' if less else ''}{' and '.join(less)}")
    return lines


def _side_json(side: RidgeSide, step: Step) -> dict[str, Any]:
    return {
        **lengths_json(side, step, "show_height"),
        **lengths_json(side, step, "back_height", way="up"),
        "bevel_deg": side.bevel_deg,
    }
