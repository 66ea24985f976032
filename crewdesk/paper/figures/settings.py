"""`crewdesk figure settings`: pieces grouped so that machines are set as seldom as can be."""

from argparse import ArgumentParser, Namespace

from crewdesk.errors import BadInput
from crewdesk.length import Step, show_length
from crewdesk.paper.figures import Figure, step_of
from crewdesk.paper.lengths import length_json
from crewdesk.trade.cuts.settings import Need, SettingGroup, setting_sheet
from crewdesk.trade.read_length import read_length

ABOUT = "group pieces by machine setting, and count the settings"


def arguments(parser: ArgumentParser) -> None:
    """Add the pieces, beam by beam."""
    parser.add_argument(
        "--need",
        required=True,
        action="append",
        metavar="PIECE:MACHINE:LENGTH:PART=VALUE",
        help="a piece and its setting, in the order of the beams; a comma before each further part",
    )


def read_need(text: str) -> Need:
    """Read ``1A:saw:146-3/4:tilt=15,fence=11-1/4``; raises `BadInput`."""
    parts = text.split(":")
    if len(parts) != 4 or not all(part.strip() for part in parts):
        raise BadInput(
            "{text} isn't a piece with its settings. Type "
            "PIECE:MACHINE:LENGTH:PART=VALUE, for example 1A:saw:146-3/4:fence=11-1/4, "
            "with a comma before each further PART=VALUE.",
            text=text[:60],
        )
    piece, machine, length, settings = (part.strip() for part in parts)
    values = []
    for setting in settings.split(","):
        name, sign, value = setting.partition("=")
        if not sign or not name.strip():
            raise BadInput(
                "{text} isn't a piece with its settings. Type "
                "PIECE:MACHINE:LENGTH:PART=VALUE, for example "
                "1A:saw:146-3/4:fence=11-1/4, with a comma before each further "
                "PART=VALUE.",
                text=text[:60],
            )
        values.append((name.strip(), read_length(value)))
    return Need(piece, machine, read_length(length), tuple(values))


def figure(args: Namespace) -> Figure:
    """Return the sheet: each setting, then its pieces, the longest first."""
    step = step_of(args)
    sheet = setting_sheet([read_need(text) for text in args.need])
    lines = []
    for group in sheet.groups:
        lines.append(f"{group.machine}: {_setting(group, step)}")
        lines += [f"  {show_length(need.length, step):<12}{need.piece}" for need in group.needs]
    lines.append(f"set {sheet.times_set} times; beam by beam it would be {sheet.beam_by_beam}")
    return Figure(
        tuple(lines),
        {
            "groups": [
                {
                    "machine": group.machine,
                    "setting": {part: length_json(value, step) for part, value in group.setting},
                    "pieces": [
                        {"piece": need.piece, "length": length_json(need.length, step)}
                        for need in group.needs
                    ],
                }
                for group in sheet.groups
            ],
            "times_set": sheet.times_set,
            "beam_by_beam": sheet.beam_by_beam,
        },
    )


def _setting(group: SettingGroup, step: Step) -> str:
    return ", ".join(f"{part} {show_length(value, step)}" for part, value in group.setting)
