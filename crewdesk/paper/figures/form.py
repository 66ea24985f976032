"""`crewdesk figure form`: the boards of a beam in one of its forms."""

from argparse import ArgumentParser, Namespace

from crewdesk.paper.figures import Figure
from crewdesk.paper.lengths import degrees_shown, length_json
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.forms import (
    FormBoard,
    against_wall,
    four_sided,
    four_sided_mitred,
    mitred,
    three_board,
)
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.length import show_length
from crewdesk.trade.read_length import read_length
from crewdesk.trade.refusal import Refusal

ABOUT = "which boards a form of beam is made of, their widths and blade tilts"

FORMS = ("three-board", "against-wall", "mitred", "four-sided", "four-sided-mitred")


def arguments(parser: ArgumentParser) -> None:
    """Add the form and the section's measures."""
    parser.add_argument("--form", default="three-board", metavar="FORM", help=", ".join(FORMS))
    parser.add_argument("--width", required=True, metavar="W", help="over the outside")
    parser.add_argument("--height", required=True, metavar="H", help="of the sides")
    parser.add_argument("--height-b", metavar="H", help="of side B, where it differs")
    for name, usual, about in (
        ("side-thickness", "3/4", "thickness of a side board"),
        ("bottom-thickness", "3/4", "thickness of the bottom board"),
        ("reveal", "1/4", "bottom board's height over the sides' bottom edges"),
        ("flat", "1/4", "left square at the bottom board's show face"),
        ("fit", "0", "taken off the bottom board's width"),
    ):
        parser.add_argument(f"--{name}", default=usual, metavar="LENGTH", help=f"{about} ({usual})")
    parser.add_argument("--bevel", default="15", metavar="DEG", help="tilt of the relief (15)")
    parser.add_argument("--corner", default="90", metavar="DEG", help="a mitred corner (90)")


def figure(args: Namespace) -> Figure:
    """The form's boards."""
    boards = _boards(args)
    return Figure(
        tuple(_told(board) for board in boards),
        {
            "form": args.form,
            "boards": [
                {
                    "name": board.name,
                    "width": length_json(board.width),
                    "back_width": length_json(board.back_width),
                    "thickness": length_json(board.thickness),
                    "first_edge": {
                        "joint": board.first_edge,
                        "blade_deg": float(board.first_blade),
                    },
                    "second_edge": {
                        "joint": board.second_edge,
                        "blade_deg": float(board.second_blade),
                    },
                }
                for board in boards
            ],
        },
    )


def _boards(args: Namespace) -> tuple[FormBoard, ...]:
    if args.form not in FORMS:
        raise Refusal("form-unknown", name=args.form[:20], known=FORMS)
    if args.height_b is not None and args.form != "three-board":
        raise Refusal("form-one-height", name=args.form)
    width, height = read_length(args.width), read_length(args.height)
    thickness = read_length(args.side_thickness)
    if args.form == "mitred":
        return mitred(width, height, thickness, read_angle(args.corner, 180))
    if args.form == "four-sided-mitred":
        return four_sided_mitred(width, height, thickness)
    section = Section(
        width=width,
        height=height,
        side_thickness=thickness,
        bottom_thickness=read_length(args.bottom_thickness),
        reveal=read_length(args.reveal),
        flat=read_length(args.flat),
        bevel=read_angle(args.bevel),
        fit=read_length(args.fit),
    )
    if args.form == "against-wall":
        return against_wall(section)
    if args.form == "four-sided":
        return four_sided(section)
    return three_board(section, None if args.height_b is None else read_length(args.height_b))


def _told(board: FormBoard) -> str:
    edges = " and ".join(
        joint if blade == 0 else f"{joint} at {degrees_shown(float(blade))}"
        for joint, blade in (
            (board.first_edge, board.first_blade),
            (board.second_edge, board.second_blade),
        )
    )
    back = f", {show_length(board.back_width)} in at the back"
    return (
        f"{board.name:<8}{show_length(board.width)} in"
        f"{back if board.back_width != board.width else ''}; edges {edges}"
    )
