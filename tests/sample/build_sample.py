"""Builds the sample job by the job's own commands, so that its history is true.

The house, the people and every reading are invented. After a change of the record's
format:  python -m tests.sample.build_sample > sample_data/tamarack-bend.json
"""

import json
import sys
import tempfile
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.gaps import keep_gap, typed_gap
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.books import job_lists as orders
from crewdesk.job.books.job_lists import typed_material
from crewdesk.job.books.pricing import accept, price_job
from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change, Doc
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.lumber.boards import change_rules, rows_named, spoil, tick_bought, tick_cut
from crewdesk.job.lumber.kept import keep
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.stock_list import take_stock_in
from crewdesk.job.lumber.task import task_of
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.time import clock
from crewdesk.job.time import other_work as plan_days
from crewdesk.paper.job_document import document_text
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from crewdesk.trade.cuts.section import Section

ZONE = ZoneInfo("America/Denver")
DAYS = {"mon": 2, "tue": 3, "wed": 4, "thu": 5}
GREAT = Section(Fraction(8), Fraction(10))
DINING = Section(Fraction(6), Fraction(8))
STUDY = Section(Fraction(11, 2), Fraction(29, 4), flat=Fraction(3, 16))
ROOMS = (
    ("Great room", "1234", GREAT, ("hearth wall", "window wall"), Fraction(213)),
    ("Dining room", "12", DINING, ("kitchen wall", "garden wall"), Fraction(161)),
    ("Study", "123", STUDY, ("door wall", "shelf wall"), Fraction(111)),
)
MATERIALS = (
    ("White oak 1x12, clear, 18 ft", "8", "118.50", "materials"),
    ("White oak 1x10, clear, 14 ft", "6", "84.00", "materials"),
    ("White oak 1x8, clear, 10 ft", "9", "52.00", "materials"),
    ("Adhesive, tube", "12", "8.40", "consumables"),
    ("Painter's tape, roll", "6", "7.25", "consumables"),
)
STOCK = Path(__file__).parents[2] / "sample_data" / "stock.json"
SIDES = ("A", "B")
EVERY = tuple(f"{room} {name}" for room, names, *_ in ROOMS for name in names)
DINING_BOTH = ("Dining room 1", "Dining room 2")
LEVEL = "24"
WHO = "Wren"
BAD_CEILING = (
    ("0", "14-1/8", "14-5/16"),
    ("53", "14-11/32", "14-3/8"),
    ("106", "14-7/8", "14-11/16"),
    ("159", "14-17/32", "14-9/16"),
    ("212", "14-7/32", "15-1/4"),
)
DINING_CEILINGS = (
    (("0", "12-3/16", "12-7/32"), ("80", "12-5/16", "12-9/32"), ("160", "12-1/4", "12-3/16")),
    (("0", "12-1/4", "12-3/16"), ("80", "12-7/32", "12-5/16"), ("160", "12-11/32", "12-9/32")),
)
FAIR_CEILING = (
    ("0", "14-3/16", "14-1/4"),
    ("53", "14-1/4", "14-5/16"),
    ("106", "14-7/16", "14-13/32"),
    ("159", "14-3/8", "14-5/16"),
    ("212", "14-5/32", "14-3/16"),
)


def stock_list(now: datetime) -> ShopRecord:
    """The boards that the lumber yard has, as in the shop's sample list; none on hand."""
    books = ShopRecord({})
    listed = json.loads(STOCK.read_text())
    books.make(take_stock_in(books, {**listed, "on_hand": []}, now))
    return books


class Site:
    """The job on the bench: its clock, and the acts of one working day after another."""

    def __init__(self, job: JobFile) -> None:
        self.job = job
        self.time = datetime(2026, 3, 1, tzinfo=ZONE)

    def at(self, day: str, hour: int, minute: int = 0) -> None:
        """Let the time become that of a day of the week; it never runs back."""
        now = datetime(2026, 3, DAYS[day], hour, minute, tzinfo=ZONE)
        assert now > self.time, now
        self.time = now

    def make(self, change: Change) -> None:
        self.job.make(change)

    def beam(self, label: str) -> Beam:
        return beams.find_beam(self.job.record, label)

    def spots(self, labels: Iterable[str], pieces: Iterable[str]) -> list[Spot]:
        return [Spot(self.beam(label).row, piece) for label in labels for piece in pieces]

    def tick(self, step: str, labels: Iterable[str], pieces: Iterable[str] = SIDES) -> None:
        spots = self.spots(labels, pieces)
        self.make(ticks.tick_all(self.job.record, spots, step, self.time))

    def clock(self, stage: str, labels: Iterable[str] = (), pieces: Iterable[str] = SIDES) -> None:
        spots = self.spots(labels, pieces)
        self.make(clock.start(self.job.record, stage, self.time, pieces=spots))

    def plan(self) -> None:
        """Keep the cheapest plan of boards around what is cut already."""
        takeoff = solve(task_of(self.job.record, stock_list(self.time), self.job.id))
        self.make(keep(self.job.record, takeoff, self.time))

    def boards_cut(self, labels: Iterable[str], cupped: str) -> None:
        """Note the boards of these beams as cut, and of the one whose side B is cupped that
        of side A; the cupped one is spoiled, and the rest is planned anew."""
        rows = {self.beam(label).row for label in labels}
        last = self.beam(cupped).row
        cut, spoiled = [], ""
        for board in self.job.record.boards:
            pieces = {(one.beam, one.piece) for one in board.pieces}
            if (last, "B") in pieces:
                spoiled = board.row
            elif (last, "A") in pieces or any(row in rows for row, _ in pieces):
                cut.append(board.row)
        self.make(tick_cut(self.job.record, cut, self.time))
        self.make(spoil(self.job.record, spoiled, "", self.time))
        self.plan()

    def stop(self) -> None:
        self.make(clock.stop(self.job.record, self.time))

    def ceiling(self, label: str, stations: Sequence[tuple[str, str, str]]) -> None:
        """Read the ceiling over a beam: place from end 1, height over A, over B."""
        typed = typed_stations(self.job.record, stations)
        self.make(read_ceiling(self.job.record, self.beam(label).row, typed, self.time, who=WHO))

    def squares(self, label: str, *typed: TypedSquare) -> None:
        """Read a beam's walls with the square."""
        self.make(read_squares(self.job.record, self.beam(label).row, typed, self.time, who=WHO))

    def gap(self, label: str, piece: str, width: str, where: str, cure: str, cause: str) -> None:
        """Note a gap found at the fix-up."""
        typed = {"width": width, "where": where, "cause": cause, "cure": cure}
        typed |= {"stock": "3/4", "bevel": "5"}
        (spot,) = self.spots((label,), (piece,))
        made = typed_gap(self.job.record, spot, typed, self.time, who=WHO)
        self.make(keep_gap(self.job.record, spot, made, self.time))

    def read(self, label: str, piece: str, what: str, text: str) -> None:
        """Take a reading; at an end the text is GAP:LEAN."""
        gap, _, lean = text.partition(":")
        reading = take.typed_reading(
            self.job.record,
            what,
            gap,
            self.time,
            lean=lean,
            level=LEVEL if lean else "",
            who=WHO,
        )
        spot = Spot(self.beam(label).row, piece)
        self.make(take.take(self.job.record, spot, what, reading))

    def read_side(self, label: str, piece: str, run: str, end1: str, end2: str) -> None:
        for what, text in (("run", run), ("end1", end1), ("end2", end2)):
            self.read(label, piece, what, text)


def monday(site: Site) -> None:
    """Rip what is there, begin to ease."""
    here = EVERY[:-1]
    site.at("mon", 7, 5)
    for room, names, section, ends, rough in ROOMS:
        for name in names:
            site.make(
                beams.add_beam(
                    site.job.record,
                    name,
                    room,
                    site.time,
                    section=section,
                    ends=ends,
                    rough=rough,
                )
            )
    for text, quantity, price, sort in MATERIALS:
        site.make(
            typed_material(site.job.record, text, quantity, price, site.time, sort=sort, waste="10")
        )
    site.at("mon", 7, 12)
    site.plan()
    site.at("mon", 7, 15)
    site.make(tick_bought(site.job.record, rows_named(site.job.record, "all"), site.time))
    site.at("mon", 7, 20)
    priced = price_job(site.job.record, Shop(), ())
    day = site.time.date()
    site.make(accept(site.job.record, priced, "M. Quillfeather", day, site.time, today=day))
    site.at("mon", 7, 30)
    site.clock("rip")
    site.at("mon", 10, 40)
    site.tick("rip-side", here)
    site.tick("rip-side", ("Study 3",), "A")
    site.make(
        ticks.set_aside(
            site.job.record,
            *site.spots(("Study 3",), "B"),
            "rip-side",
            "blocked",
            "board cupped 1/4 in across; a new one comes on Friday",
            site.time,
        )
    )
    site.at("mon", 12, 0)
    site.stop()
    site.at("mon", 12, 45)
    site.clock("rip")
    site.at("mon", 14, 5)
    site.tick("rip-bottom", here, ("bottom",))
    site.tick("rip-cleats", here, ("cleats",))
    site.boards_cut(here, cupped="Study 3")
    site.at("mon", 14, 10)
    site.clock("ease")
    site.at("mon", 16, 15)
    site.tick("ease", EVERY[:6])
    site.at("mon", 16, 20)
    site.stop()


def tuesday(site: Site) -> None:
    """Ease, sand and tape; the dining room goes up first."""
    eased = EVERY[:7]
    site.at("tue", 7, 40)
    site.clock("ease")
    site.at("tue", 8, 10)
    site.tick("ease", ("Study 1",))
    site.tick("ease", ("Study 2",), "A")
    site.at("tue", 9, 20)
    site.tick("sand", eased, ("A", "B", "bottom"))
    site.at("tue", 9, 55)
    site.tick("cleat-line", EVERY[:6])
    site.tick("cleat-line", ("Study 1",), "B")
    site.at("tue", 10, 5)
    site.clock("tape")
    site.at("tue", 10, 50)
    site.tick("tape", EVERY[:6])
    site.make(
        ticks.tick(
            site.job.record,
            *site.spots(("Study 1",), "A"),
            "tape",
            site.time,
            override="stacked inside down; the cleat line is marked when it is turned",
        )
    )
    site.at("tue", 11, 0)
    site.clock("tack")
    site.at("tue", 11, 40)
    site.tick("scrape", DINING_BOTH)
    site.at("tue", 12, 0)
    site.stop()
    site.at("tue", 12, 40)
    site.clock("tack", DINING_BOTH)
    site.at("tue", 12, 55)
    site.read_side("Dining room 1", "A", "13' 4-3/16", "1/16:out", "5/32:in")
    site.read_side("Dining room 1", "B", "13' 4-1/4", "3/32:out", "5/32:in")
    site.at("tue", 13, 5)
    site.read_side("Dining room 2", "A", "160-11/32", "1/16:out", "1/8:in")
    site.read_side("Dining room 2", "B", "160-13/32", "1/32:out", "3/32:in")
    site.at("tue", 14, 10)
    site.tick("cut-side", DINING_BOTH)
    site.at("tue", 14, 40)
    site.tick("back-bevel", DINING_BOTH)
    site.at("tue", 15, 50)
    site.tick("tack", DINING_BOTH)
    site.at("tue", 16, 5)
    for label, stations in zip(DINING_BOTH, DINING_CEILINGS, strict=True):
        site.ceiling(label, stations)
    site.at("tue", 16, 30)
    site.tick("level", DINING_BOTH)
    site.at("tue", 16, 35)
    site.stop()


def wednesday(site: Site) -> None:
    """Scribe and close the dining room; read and cut in the great room."""
    site.at("wed", 8, 0)
    site.clock("scribe", DINING_BOTH)
    site.at("wed", 8, 35)
    site.tick("scribe", DINING_BOTH)
    site.at("wed", 8, 50)
    site.tick("take-down", DINING_BOTH)
    site.at("wed", 10, 20)
    site.tick("cut-scribe", DINING_BOTH)
    site.at("wed", 10, 30)
    site.clock("nail", DINING_BOTH, ("A", "B", "cleats"))
    site.at("wed", 11, 10)
    site.tick("fix-cleats", DINING_BOTH, ("cleats",))
    site.at("wed", 12, 5)
    site.tick("nail-side", DINING_BOTH)
    site.at("wed", 12, 10)
    site.stop()
    site.at("wed", 12, 50)
    site.clock("nail", DINING_BOTH, ("bottom",))
    site.at("wed", 12, 55)
    site.read("Dining room 1", "bottom", "opening", "160-7/32")
    site.read("Dining room 2", "bottom", "opening", "13' 4-3/8")
    site.at("wed", 13, 20)
    site.tick("cut-bottom", DINING_BOTH, ("bottom",))
    site.at("wed", 14, 0)
    site.tick("nail-bottom", DINING_BOTH, ("bottom",))
    site.at("wed", 14, 10)
    site.clock("tack")
    site.at("wed", 14, 25)
    site.read_side("Great room 1", "A", "17' 8-5/32", "3/16:in", "7/32:out")
    site.read_side("Great room 1", "B", "17' 8-7/32", "5/32:in", "3/16:out")
    site.at("wed", 14, 40)
    site.read_side("Great room 2", "A", "17' 8-9/32", "1/8:in", "3/32:out")
    site.read_side("Great room 2", "B", "17' 8-7/8", "5/32:in", "1/16:out")
    site.at("wed", 14, 45)
    site.read("Great room 2", "B", "run", "17' 8-3/8")
    site.at("wed", 14, 50)
    site.read("Great room 2", "B", "run", "17' 8-3/8")
    site.ceiling("Great room 1", BAD_CEILING)
    site.ceiling("Great room 2", FAIR_CEILING)
    site.at("wed", 15, 0)
    site.tick("scrape", EVERY[:4])
    site.at("wed", 15, 20)
    site.clock("fix-up", DINING_BOTH, ("A", "B", "bottom"))
    site.at("wed", 16, 30)
    site.gap("Dining room 1", "A", "1/16", "end 2", "caulk", "corner bead stands proud")
    site.gap("Dining room 2", "B", "3/32", "end 1", "wedge", "level held on a bulge")
    site.tick("gaps", DINING_BOTH, ("A", "B", "bottom"))
    site.at("wed", 16, 35)
    site.tick("tape-off", DINING_BOTH)
    site.at("wed", 16, 36)
    site.job.undo(site.time)
    site.at("wed", 16, 40)
    site.tick("tape-off", ("Dining room 1",))
    site.at("wed", 16, 45)
    site.stop()


def thursday(site: Site) -> None:
    """The great room: beam 1 up to its bottom board, beam 2 scribed, 3 and 4 begun."""
    first, two = ("Great room 1",), ("Great room 1", "Great room 2")
    three = (*two, "Great room 3")
    site.at("thu", 7, 35)
    site.clock("tack")
    site.at("thu", 7, 50)
    site.read_side("Great room 3", "A", "17' 8-1/2", "1/16:in", "0:in")
    site.read_side("Great room 3", "B", "17' 8-17/32", "1/16:in", "1/32:out")
    site.at("thu", 8, 0)
    site.read_side("Great room 4", "A", "17' 8-11/16", "1/32:out", "5/32:in")
    site.read("Great room 4", "B", "run", "17' 8-23/32")
    site.read("Great room 4", "B", "end1", "1/16:out")
    site.at("thu", 8, 5)
    site.read("Study 1", "A", "run", "9' 2-7/32")
    site.read("Study 1", "B", "run", "9' 2-15/32")
    site.squares("Study 1", TypedSquare(1, "0", "24", "A"), TypedSquare(2, "1-1/8", "24", "B"))
    site.at("thu", 8, 15)
    site.make(
        beams.add_beam(
            site.job.record,
            "4",
            "Study",
            site.time,
            section=STUDY,
            ends=("door wall", "window wall"),
            ceiling="sloped",
            pitch="4/12",
            low=2,
        )
    )
    site.at("thu", 8, 20)
    site.read_side("Study 4", "A", "9' 1-3/4", "1/8:in", "1/16:out")
    site.read_side("Study 4", "B", "9' 1-25/32", "1/8:in", "3/32:out")
    site.squares("Study 4", TypedSquare(1, "5/16", "24", "B"), TypedSquare(2, "0", "24", "A"))
    site.at("thu", 8, 50)
    site.tick("cut-side", three)
    site.tick("cut-side", ("Great room 4",), "A")
    site.at("thu", 9, 10)
    site.tick("back-bevel", two)
    site.tick("back-bevel", ("Great room 3",), "A")
    site.make(
        ticks.set_aside(
            site.job.record,
            *site.spots(("Great room 3",), "B"),
            "back-bevel",
            "skipped",
            "goes up square, window casing is still off",
            site.time,
        )
    )
    site.at("thu", 10, 0)
    site.tick("tack", three)
    site.at("thu", 10, 20)
    site.tick("level", two)
    site.tick("level", ("Great room 3",), "A")
    site.at("thu", 10, 25)
    site.clock("scribe", two)
    site.at("thu", 10, 55)
    site.tick("scribe", two)
    site.at("thu", 11, 10)
    site.tick("take-down", two)
    site.at("thu", 12, 10)
    site.tick("cut-scribe", first)
    site.tick("cut-scribe", ("Great room 2",), "A")
    site.at("thu", 12, 15)
    site.stop()
    site.at("thu", 13, 0)
    site.clock("nail", first, ("A", "B", "cleats"))
    site.at("thu", 13, 50)
    site.tick("fix-cleats", first, ("cleats",))
    site.at("thu", 15, 20)
    site.tick("nail-side", first)
    site.at("thu", 15, 35)
    site.read("Great room 1", "bottom", "opening", "17' 8-3/16")
    site.at("thu", 15, 50)
    site.stop()
    site.at("thu", 16, 35)
    begin, end = (site.time.replace(hour=h, minute=m) for h, m in ((15, 55), (16, 30)))
    site.make(
        clock.add(
            site.job.record,
            "fix-up",
            begin,
            end,
            site.time,
            note="caulk in the dining room; clock forgotten",
            pieces=site.spots(DINING_BOTH, SIDES),
        )
    )
    site.at("thu", 16, 40)
    record = site.job.record
    site.make(orders.typed_order(record, "Wrap the header over the patio door", "240", site.time))
    today = site.time.date()
    site.make(orders.accept_order(record, "1", "M. Quillfeather", today, site.time, today=today))
    site.make(orders.typed_order(record, "Move a light box off beam 4's line", "78/h", site.time))
    for days, note in ((1, "great room: nail 2, tack 3 and 4"), (4, "great room, study")):
        site.make(plan_days.plan_day(record, today + timedelta(days), site.time, note=note))


def build() -> Doc:
    """The sample job as one document."""
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(Path(folder))
        begun = datetime(2026, 3, 1, 18, 0, tzinfo=ZONE)
        id_ = desk.create(
            beams.new_job(
                "Tamarack Bend",
                GREAT,
                begun,
                customer="Quillfeather Homes",
                site="lot 14, Tamarack Bend",
            )
        )
        job = desk.open(id_)
        notes = "White oak, clear finish. Dust sheets down before scraping. Keys in the blue box."
        fields = {"zone": ZONE.key, "notes": notes, "hour": Decimal("78.00")}
        job.make(beams.change_job(job.record, fields, begun))
        job.make(change_rules(job.record, {"species": "White oak", "spare_count": "1"}, begun))
        site = Site(job)
        site.time = begun
        for day in (monday, tuesday, wednesday, thursday):
            day(site)
        job.close(site.time)
        return desk.give_out(id_)


if __name__ == "__main__":
    sys.stdout.write(document_text(build()))
