"""How a job's boards are cut: its saws, splices, matching, spare boards and packs."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_quantity
from crewdesk.job.change import Doc
from crewdesk.job.readings import fraction
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, quoted
from crewdesk.trade.boards.consumables import Spare
from crewdesk.trade.boards.splices import SpliceRule
from crewdesk.trade.boards.stock import First

SAWS: Mapping[str, tuple[First, ...]] = {
    "either": ("rip", "crosscut"),
    "rip": ("rip",),
    "crosscut": ("crosscut",),
}
JOINTS = ("none", "scarf", "butt")
ALL = "all"
LONGEST = Fraction(120)


@dataclass(frozen=True)
class CuttingRules:
    """Lengths are in inches.

    `species` and `grade` choose among the stock list, "" for whatever it has. `kerf` is the
    crosscut saw's and `rip_kerf` the ripping saw's; `end_trim` goes off each end of a board
    and `edge_trim` off each edge; `allowance` is added to each end of a piece that was not
    read yet. `saws` says which cut comes first: "rip", "crosscut" or "either". `splices` is
    how boards are spliced, "none" where they must not be; `apart`, `from_centre` and
    `shortest` as in `SpliceRule`. `match` names the beams (by row, or "all") whose pieces
    shall come from one board. `spare_percent` or `spare_count` more boards of each size are
    bought, whichever is more. `cleat` is the cleats' width, none being shorter than
    `cleat_shortest`. A leftover of at least `keep` goes into the stock.

    What is used up: nails every `nail_spacing`, `nail_box` to a box; `bead` is the
    adhesive's and `tube` a tube's fluid ounces; `glue` is how thick glue is spread, in
    thousandths of an inch, and `bottle` a bottle's fluid ounces; `tape_roll` yards to a
    roll; `sheet` is how many square feet a sheet of sandpaper lasts for, in each of
    `grits`; `gaps` percent of the joints take a wedge.
    """

    species: str = ""
    grade: str = ""
    kerf: Fraction = Fraction(1, 8)
    rip_kerf: Fraction = Fraction(1, 8)
    end_trim: Fraction = Fraction(1, 4)
    edge_trim: Fraction = Fraction(1, 8)
    allowance: Fraction = Fraction(1, 2)
    saws: str = "either"
    splices: str = "none"
    apart: Fraction = Fraction(24)
    from_centre: Fraction = Fraction(12)
    shortest: Fraction = Fraction(24)
    match: tuple[str, ...] = ()
    spare_percent: Fraction = Fraction(0)
    spare_count: int = 0
    cleat: Fraction = Fraction(3, 4)
    cleat_shortest: Fraction = Fraction(12)
    keep: Fraction = Fraction(24)
    nail_spacing: Fraction = Fraction(8)
    nail_box: int = 1000
    bead: Fraction = Fraction(1, 4)
    tube: Fraction = Fraction(10)
    glue: Fraction = Fraction(6)
    bottle: Fraction = Fraction(16)
    tape_roll: Fraction = Fraction(60)
    sheet: Fraction = Fraction(15)
    grits: int = 2
    gaps: int = 25

    @property
    def spare(self) -> Spare:
        """How many more boards of each size are bought."""
        return Spare(self.spare_percent, self.spare_count)

    def splice_rule(self, thickness: Fraction) -> SpliceRule | None:
        """The rule for boards of a thickness; None where splices are off."""
        if self.splices == "none":
            return None
        return SpliceRule(
            self.splices,  # type: ignore[arg-type]
            self.apart,
            self.from_centre,
            self.shortest,
            thickness=thickness,
        )

    def matched(self, row: str) -> bool:
        """Whether a beam's pieces shall come from one board."""
        return ALL in self.match or row in self.match

    @staticmethod
    def from_doc(doc: Doc) -> "CuttingRules":
        """The rules as they stand in the job; raises `NotAllowed`."""
        if not isinstance(doc, dict):
            raise NotAllowed(f"The rules for cutting are an object, not {brief(doc)}.")
        if strange := [key for key in doc if key not in READERS]:
            raise NotAllowed(
                f"Cutting has no rule {brief(strange[0])}; it has {', '.join(READERS)}."
            )
        return CuttingRules(**{key: READERS[key](value, fraction) for key, value in doc.items()})


Read = Callable[[Any, str], Fraction]


def _text(what: str) -> Callable[[Any, Read], Any]:
    return lambda value, _: checked_line(value, what, most=LONGEST_NAME)


def _length(what: str, least: Fraction, most: Fraction = LONGEST) -> Callable[[Any, Read], Any]:
    def read(value: Any, length: Read) -> Fraction:
        found = length(value, what)
        if not least <= found <= most:
            raise NotAllowed(
                "The {what} is {found} in; from {least} in to {most} in is taken.",
                what=what,
                found=found,
                least=least,
                most=most,
            )
        return found

    return read


def _number(what: str, least: Fraction, most: int) -> Callable[[Any, Read], Any]:
    def read(value: Any, _: Read) -> Fraction:
        found = read_quantity(value, what)
        if not least <= found <= most:
            raise NotAllowed(f"The {what} is from {least} to {most}, not {brief(value)}.")
        return found

    return read


def _whole(what: str, least: int, most: int) -> Callable[[Any, Read], Any]:
    def read(value: Any, _: Read) -> int:
        if not isinstance(value, str) or not value.isascii() or not value.isdecimal():
            raise NotAllowed(f"The {what} is a whole number, not {brief(value)}.")
        if len(value) > 9 or not least <= int(value) <= most:
            raise NotAllowed(f"The {what} is from {least} to {most}, not {quoted(value)}.")
        return int(value)

    return read


def _one_of(what: str, known: tuple[str, ...]) -> Callable[[Any, Read], Any]:
    def read(value: Any, _: Read) -> str:
        if value not in known:
            raise NotAllowed(f"{what} {', '.join(known[:-1])} or {known[-1]}, not {brief(value)}.")
        return str(value)

    return read


def _rows(value: Any, _: Read) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise NotAllowed(f"Matched beams are a list of their rows, not {brief(value)}.")
    return tuple(value)


_NONE, _THIN = Fraction(0), Fraction(1, 64)
READERS: dict[str, Callable[[Any, Read], Any]] = {
    "species": _text("species"),
    "grade": _text("grade"),
    "kerf": _length("kerf", _NONE, Fraction(1)),
    "rip_kerf": _length("kerf of the rip", _NONE, Fraction(1)),
    "end_trim": _length("trim off each end", _NONE, Fraction(12)),
    "edge_trim": _length("trim off each edge", _NONE, Fraction(2)),
    "allowance": _length("allowance at each end", _NONE, Fraction(24)),
    "saws": _one_of("The first cut is", tuple(SAWS)),
    "splices": _one_of("A splice is", JOINTS),
    "apart": _length("distance from the partner's splice", _NONE),
    "from_centre": _length("distance of a splice from the center", _NONE),
    "shortest": _length("shortest part of a spliced board", Fraction(1)),
    "match": _rows,
    "spare_percent": _number("spare in percent", _NONE, 100),
    "spare_count": _whole("number of spare boards", 0, 100),
    "cleat": _length("width of a cleat", _THIN, Fraction(6)),
    "cleat_shortest": _length("shortest cleat", Fraction(1)),
    "keep": _length("shortest leftover to keep", Fraction(1)),
    "nail_spacing": _length("spacing of nails", Fraction(1)),
    "nail_box": _whole("number of nails in a box", 1, 100_000),
    "bead": _length("thickness of the bead", _THIN, Fraction(2)),
    "tube": _number("fluid ounces in a tube", Fraction(1), 200),
    "glue": _number("thickness of glue, in thousandths of an inch,", Fraction(1), 100),
    "bottle": _number("fluid ounces in a bottle", Fraction(1), 1000),
    "tape_roll": _number("yards on a roll of tape", Fraction(1), 1000),
    "sheet": _number("square feet that a sheet lasts for", Fraction(1, 10), 1000),
    "grits": _whole("number of grits", 1, 6),
    "gaps": _whole("share of joints with a gap, in percent,", 0, 100),
}
assert list(READERS) == [one.name for one in fields(CuttingRules)]
