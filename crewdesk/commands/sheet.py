"""The command that writes the sheets for the saw."""

from argparse import Namespace
from datetime import datetime
from pathlib import Path

from crewdesk.commands.streams import in_lines
from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beams import find_beam
from crewdesk.paper.job_document import check_new, free_name, write_new
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.parts import Printing, label_sheet_named, paper_named, printed
from crewdesk.paper.text.yard_list import yard_lines
from crewdesk.store.desk import Desk
from crewdesk.trade.books.dates import read_day


def write_sheet(desk: Desk, args: Namespace, now: datetime) -> str:
    """Write the requested PDF; return the sentence that names the file.

    Raises `NotAllowed`, `BadInput` or `OSError`.
    """
    id_ = desk.find(args.job)
    record = desk.open(id_, writing=False).record
    labels_asked = args.labels is not None or args.first is not None
    parts = tuple(args.parts) or (("labels",) if labels_asked else ())
    if labels_asked and "labels" not in parts:
        raise NotAllowed("Use --labels and --first only with the part labels.")
    books = desk.shop.record()
    paper = paper_named(args.paper or books.shop.paper)
    day = books.today(now)
    want = Printing(
        read_day(args.day, day) if args.day else day,
        paper,
        parts,
        (find_beam(record, args.beam),) if args.beam else (),
        None if args.labels is None else label_sheet_named(args.labels, paper),
        1 if args.first is None else args.first,
        machine=books.shop.machine,
        zone=books.zone,
        packs=books.shop.packs,
    )
    path = args.to or free_name(Path(), file_stem(id_, parts), ".pdf")
    if parts == ("yard",) and path.suffix.lower() == ".txt":
        check_new(path)
        write_new(path, in_lines(*yard_lines(record, books.shop.packs)).encode())
        return f"Wrote {plain(str(path.absolute()))}.\n"
    if path.suffix.lower() != ".pdf":
        raise NotAllowed(
            f"A sheet is a PDF. Type a file name that ends in .pdf, not {path.suffix}."
        )
    check_new(path)
    data, count = printed(record, want, now)
    write_new(path, data)
    pages = f"{count} page{'' if count == 1 else 's'}"
    text = f"Wrote {plain(str(path.absolute()))}: {pages} of {paper.name} paper"
    if parts == ("labels",):
        return (
            f"{text}, {want.sheet.count} labels of {want.sheet.told} each; print it at full size.\n"
        )
    more = "" if parts else ": what is still to do; name `everything` or `labels` for more"
    return f"{text}{more}.\n"


def file_stem(id_: str, parts: tuple[str, ...]) -> str:
    """Return the file name, without suffix, for those parts of a job."""
    return "-".join((id_, *(parts or ("sheet",))))
