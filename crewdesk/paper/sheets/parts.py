"""Which parts are printed, on which paper, put together as one PDF."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.job.text_limits import quoted
from crewdesk.job.time.today import today
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.batch_pages import (
    DECORATIVE_FOOT,
    DRAWN_FOOT,
    FEET,
    draw_batch_pages,
    draw_caution_pages,
)
from crewdesk.paper.sheets.cut_pages import draw_cut_pages
from crewdesk.paper.sheets.labels import LABEL_SHEETS, LabelSheet, draw_labels
from crewdesk.paper.sheets.pages import Pages
from crewdesk.paper.sheets.pen import PAPERS, PaperSize
from crewdesk.paper.sheets.progress_pages import draw_progress_pages
from crewdesk.paper.sheets.readings_form import draw_readings_form, needs_readings
from crewdesk.paper.sheets.yard_pages import draw_yard_pages
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine

PARTS = {
    "cuts": "Cut list",
    "batches": "Batches",
    "readings": "Readings",
    "progress": "Progress",
    "cautions": "Cautions",
    "yard": "Yard list",
    "labels": "Labels",
}
"""By the word for it, the head of each part."""
EVERYTHING = "everything"
"""The word for all that goes on plain paper, with what is done."""
WHOLE = ("cuts", "batches", "readings", "progress", "cautions")
"""All that goes on plain paper; labels go on sheets of their own."""
TO_DO = ("batches", "cuts", "readings", "cautions")
"""What is printed where no part is named, each with what is still to do alone."""
OF_BEAMS = ("cuts", "readings")
"""What is printed of chosen beams where no parts were named."""


@dataclass(frozen=True)
class Printing:
    """What is to be printed: `parts` in any order, of `beams` (none: all), on `paper`;
    `labels` from the place `first` of the first sheet on; `batches` (None: all that are
    ready), set on the shop's `machine`; what was done on `day`, with the job's progress. Days are
    those of the business's time zone, `zone`; None for the zone of each moment. `packs` are the
    shop's prices of what is used up."""

    day: date
    paper: PaperSize = PAPERS["letter"]
    parts: Sequence[str] = ()
    beams: Sequence[Beam] = ()
    labels: LabelSheet | None = None
    first: int = 1
    batches: Sequence[Batch] | None = None
    machine: ShopMachine = USUAL_MACHINE
    zone: tzinfo | None = None
    packs: Mapping[str, Decimal] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for part in self.parts:
            if part not in (*PARTS, EVERYTHING):
                known = _known((*PARTS, EVERYTHING))
                raise NotAllowed(f"There is no part {quoted(part)} to print. {known}.")
        if "labels" in self.parts and len(set(self.parts)) > 1:
            raise NotAllowed("Labels go on their own sheets. Print them by themselves.")
        if not 1 <= self.first <= self.sheet.count:
            raise NotAllowed(
                f"A sheet of these labels has {self.sheet.count}. Start with 1 to "
                f"{self.sheet.count}, not with {self.first}."
            )

    @property
    def sheet(self) -> LabelSheet:
        """The sheet of labels; the usual one of the paper where none was chosen."""
        return self.labels or next(iter(LABEL_SHEETS[self.paper.name].values()))


def paper_named(name: str) -> PaperSize:
    """The paper of that name, however it is spelled; raises `NotAllowed`."""
    for size in PAPERS.values():
        if size.name.casefold() == name.strip().casefold():
            return size
    raise NotAllowed(f"There is no sheet {quoted(name)}. {_known(PAPERS)}.")


def label_sheet_named(name: str, paper: PaperSize) -> LabelSheet:
    """The sheet with so many labels on that paper; raises `NotAllowed`."""
    sheets = LABEL_SHEETS[paper.name]
    if (found := sheets.get(name.strip())) is None:
        told = [f"{count} ({sheet.told})" for count, sheet in sheets.items()]
        raise NotAllowed(
            f"There is no sheet of {quoted(name)} labels on {paper.name} paper. {_known(told)}."
        )
    return found


def _known(names: Iterable[str]) -> str:
    return f"there are {', '.join(names)}"


def printed(record: Record, want: Printing, now: datetime) -> tuple[bytes, int]:
    """The PDF and how many pages it has; raises `NotAllowed` where there is nothing to print."""
    if not record.beams:
        raise NotAllowed("There is no beam in this job. Add one, then print.")
    beams = [one for one in record.beams if not want.beams or one in want.beams]
    to_do = not want.parts and not want.beams
    parts = WHOLE if EVERYTHING in want.parts else want.parts
    parts = [one for one in PARTS if one in (parts or OF_BEAMS)] if not to_do else list(TO_DO)
    job = record.job
    name = ", ".join(plain(one) for one in (job.name, job.site) if one)
    pages = Pages(want.paper, name, _texts(record), now)
    beside = f"{name}  {today(now, want.zone)}"

    def begin(part: str, *feet: str) -> None:
        pages.part(PARTS[part], beside, (*feet, DECORATIVE_FOOT))

    for part in parts:
        if part == "cuts":
            begin(part, DRAWN_FOOT, FEET["saw"])
            draw_cut_pages(pages, record, beams, want.machine, to_do=to_do)
        elif part == "batches":
            batches = RunSheet(record).batches() if want.batches is None else want.batches
            batches = _of_beams(batches, beams)
            feet = (beside, FEET["saw"], DECORATIVE_FOOT)
            draw_batch_pages(pages, record, batches, feet, want.machine, flowing=to_do)
        elif part == "readings":
            if to_do and not any(map(needs_readings, beams)):
                continue
            begin(part, FEET["ladder"])
            draw_readings_form(pages, record, beams, to_do=to_do)
        elif part == "progress":
            begin(part)
            draw_progress_pages(pages, record, want.day, want.zone)
        elif part == "yard":
            begin(part)
            draw_yard_pages(pages, record, want.packs)
        elif part == "cautions":
            begin(part)
            draw_caution_pages(pages, record)
        else:
            draw_labels(pages, record, beams, want.sheet, want.first)
    return pages.data(), pages.pdf.page_no()


def _of_beams(batches: Sequence[Batch], beams: Sequence[Beam]) -> list[Batch]:
    """Batches with the pieces of some beams alone."""
    rows = {beam.row for beam in beams}
    kept = [
        one._replace(spots=tuple(spot for spot in one.spots if spot.beam in rows))
        for one in batches
    ]
    return [one for one in kept if one.spots]


def _texts(record: Record) -> list[str]:
    """All that the user wrote and that may be printed."""
    rows = [record.tables["job"][JOB_ROW], *record.tables["beams"].values()]
    return [json.dumps(row, ensure_ascii=False) for row in rows]
