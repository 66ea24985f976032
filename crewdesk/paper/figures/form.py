"""`crewdesk figure form`: the boards of a beam of one type."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import Step
from crewdesk.paper.figures import Figure, lengths_by_default, read_section, step_of
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.forms import (
    FormBoard,
    Joint,
    against_wall,
    check_one_thickness,
    four_sided,
    four_sided_mitred,
    mitred,
    three_board,
)
from crewdesk.trade.read_length import read_length

ABOUT = "which boards a beam type is made of, their widths and bevel settings"

FORMS = {
    "three-board": "three-board",
    "against-wall": "against-wall",
    "mitered": "mitred",
    "four-sided": "four-sided",
    "four-sided-mitered": "four-sided-mitred",
}
"""The beam types as typed, each with its JSON name, which can be typed too."""
_RIGHT = Fraction(90)
_JOINTS: dict[Joint, str] = {
    "square": "square",
    "relief": "relieved",
    "mitre": "mitered",
    "scribed": "scribed to the wall",
}


def arguments(parser: ArgumentParser) -> None:
    """Add the form and the section's measures."""
    parser.add_argument("--form", default="three-board", metavar="FORM", help=", ".join(FORMS))
    parser.add_argument("--width", required=True, metavar="W", help="over the outside")
    parser.add_argument("--height", required=True, metavar="H", help="of the sides")
    parser.add_argument("--height-b", metavar="H", help="of side B, where it differs")
    parser.add_argument(
        "--bottom-thickness",
        metavar="LENGTH",
        help="thickness of the bottom board (3/4; with mitered corners that of the sides)",
    )
    lengths_by_default(
        parser,
        ("side-thickness", "3/4", "thickness of a side board"),
        ("reveal", "1/4", "bottom board's height over the sides' bottom edges"),
        ("flat", "1/4", "left square at the bottom board's show face"),
        ("fit", "0", "clearance, off the bottom board's width"),
    )
    parser.add_argument("--bevel", default="15", metavar="DEG", help="tilt of the relief (15)")
    parser.add_argument("--corner", default="90", metavar="DEG", help="a mitered corner (90)")


def figure(args: Namespace) -> Figure:
    """Return the form's boards; widths are rounded down, since they go between or against
    others."""
    form, step = _form(args.form), step_of(args)
    boards = _boards(args, form)
    return Figure(
        tuple(_line(board, step) for board in boards),
        {
            "form": form,
            "boards": [
                {
                    "name": board.name,
                    **lengths_json(board, step, "width", "back_width", way="down"),
                    **lengths_json(board, step, "thickness"),
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


def _form(typed: str) -> str:
    if typed in FORMS.values():
        return typed
    if typed not in FORMS:
        raise BadInput(
            "{name} isn't a beam type. Use {known}.", name=typed[:20], known=tuple(FORMS)
        )
    return FORMS[typed]


def _boards(args: Namespace, form: str) -> tuple[FormBoard, ...]:
    if args.height_b is not None and form != "three-board":
        raise BadInput(
            "A {name} beam has sides of one width. Use --height-b only with three-board.",
            name=args.form,
        )
    width, height = read_length(args.width), read_length(args.height)
    sides = read_length(args.side_thickness)
    corner = read_angle(args.corner, 180)
    if corner != _RIGHT and form != "mitred":
        raise BadInput(
            f"A {args.form} beam has square corners. Leave out --corner, or use --form mitered.",
            field="corner",
        )
    if form in ("mitred", "four-sided-mitred"):
        if args.bottom_thickness is not None:
            check_one_thickness(sides, read_length(args.bottom_thickness))
        if form == "mitred":
            return mitred(width, height, sides, corner)
        return four_sided_mitred(width, height, sides)
    if args.bottom_thickness is None:
        args.bottom_thickness = "3/4"
    section = read_section(args, height)
    if form == "against-wall":
        return against_wall(section)
    if form == "four-sided":
        return four_sided(section)
    return three_board(section, None if args.height_b is None else read_length(args.height_b))


def _line(board: FormBoard, step: Step) -> str:
    first, second = (
        _JOINTS[joint] if blade == 0 else f"{_JOINTS[joint]} at {degrees_shown(float(blade))}"
        for joint, blade in (
            (board.first_edge, board.first_blade),
            (board.second_edge, board.second_blade),
        )
    )
    if board.name.startswith("side"):
        edges = "both edges " + first if first == second else f"bottom edge {first}, top {second}"
    else:
        edges = "both edges " + first if first == second else f"edge A {first}, edge B {second}"
    back = f", {with_unit(board.back_width, step, 'down')} at the back"
    return (
        f"{board.name:<8}{with_unit(board.width, step, 'down')} wide"
        f"{back if board.back_width != board.width else ''}; {edges}"
    )
