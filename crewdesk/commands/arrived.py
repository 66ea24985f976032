"""What commands say of changes that came in from elsewhere."""

from argparse import Namespace

from crewdesk.commands.held import how_to_answer
from crewdesk.commands.printed import in_lines, put_beside, put_out
from crewdesk.commands.words import BOARDS, BOOKS, LISTS, TRUST
from crewdesk.job.sync.came_in import CameIn
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import would_come_in


def say_arrived(desk: Desk, args: Namespace) -> None:
    """Say what came in from elsewhere while a command was done, and what it did to cuts that
    were made; also where the command only reads. It is said beside the
    output where a program reads that."""
    lines: list[str] = []
    for id_, came in desk.arrived:
        lines += came_lines(id_, came)
    if named := getattr(args, "job", None):
        for id_, came in would_come_in(desk, named):
            lines.append(
                f"{id_}: another machine changed it. That is shown here; "
                "its next change takes it in."
            )
            lines += came_lines(id_, came)
    desk.arrived.clear()
    if args.command in {*BOARDS, *BOOKS, *LISTS, *TRUST}:  # those that may change the shop
        lines += desk.shop_news
    read = any(getattr(args, way, None) for way in ("json", "csv", "ics"))
    whole = args.command == "export" and args.to is None
    if lines:
        (put_beside if read or whole else put_out)(in_lines(*lines))


def came_lines(id_: str, came: CameIn) -> list[str]:
    """Return what came into a job, as lines to print."""
    lines = [f"{id_}: {came.changes}"] if came.changes else []
    if came.apart:
        lines.append(f"{came.apart} `crewdesk settle {id_}` shows what came in.")
    if came.cuts:
        lines += [came.cuts, *([how_to_answer(id_)] if came.asks else [])]
    return lines
