"""`crewdesk figure ridge`: the two sides of a beam along a ridge."""

from argparse import ArgumentParser, Namespace
from typing import Any

from crewdesk.paper.figures import Figure
from crewdesk.paper.lengths import degrees_shown, length_json
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.ridge import RidgeSide, ridge_beam
from crewdesk.trade.length import exact, show_length
from crewdesk.trade.read_length import read_length

ABOUT = "heights and top bevels of a ridge beam's two sides"


def arguments(parser: ArgumentParser) -> None:
    """Add the beam's width, its drops from the ridge, and both slopes."""
    parser.add_argument("--width", required=True, metavar="W", help="over the outside of the sides")
    parser.add_argument("--drop", required=True, metavar="D", help="ridge to the bottom edges")
    parser.add_argument("--drop-b", metavar="D", help="the same at side B, where it differs")
    parser.add_argument("--pitch", required=True, metavar="P", help="slope over side A, as 6/12")
    parser.add_argument("--pitch-b", metavar="P", help="slope over side B, where it differs")
    parser.add_argument("--toward-a", default="0", metavar="L", help="middle off the ridge (0)")
    parser.add_argument("--toward-b", default="0", metavar="L", help="the same, the other way (0)")
    parser.add_argument("--side-thickness", default="3/4", metavar="T", help="of a side (3/4)")


def figure(args: Namespace) -> Figure:
    """Both sides, and what the bottom board does between them."""
    drop, pitch = read_length(args.drop), read_pitch(args.pitch)
    made = ridge_beam(
        read_length(args.width),
        drop,
        drop if args.drop_b is None else read_length(args.drop_b),
        pitch,
        pitch if args.pitch_b is None else read_pitch(args.pitch_b),
        off_centre=read_length(args.toward_a) - read_length(args.toward_b),
        side_thickness=read_length(args.side_thickness),
    )
    return Figure(
        (
            f"side A        {_told(made.side_a)}",
            f"side B        {_told(made.side_b)}",
            f"difference    {show_length(abs(exact(made.uneven)))} in at the show faces",
            f"bottom board  {show_length(made.bottom_width)} in between the sides, "
            f"tilted {degrees_shown(abs(made.bottom_tilt_deg))}",
        ),
        {
            "side_a": _json(made.side_a),
            "side_b": _json(made.side_b),
            "uneven": length_json(made.uneven),
            "bottom_out": length_json(made.bottom_out),
            "bottom_tilt_deg": made.bottom_tilt_deg,
            "bottom_width": length_json(made.bottom_width),
        },
    )


def _told(side: RidgeSide) -> str:
    return (
        f"rip to {show_length(side.back_height)} in, top edge at {degrees_shown(side.bevel_deg)}, "
        f"so that the show face is {show_length(side.show_height)} in"
    )


def _json(side: RidgeSide) -> dict[str, Any]:
    return {
        "show_height": length_json(side.show_height),
        "back_height": length_json(side.back_height),
        "bevel_deg": side.bevel_deg,
    }
