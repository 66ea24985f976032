"""How a job's boards are cut: its saws, splices, matching, spare boards and packs."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.parsing import fraction, read_quantity
from crewdesk.job.row import SHORT, Kind, Row, field, one_of
from crewdesk.job.text_limits import brief, quoted
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


INCHES = "exact inches"
_THIN = Fraction(1, 64)


def _length(least: Fraction | int, most: Fraction | int = LONGEST) -> Kind:
    def read(value: Any, what: str) -> Fraction:
        found = fraction(value, what)
        if not least <= found <= most:
            raise NotAllowed(
                "The {what} is {found} in; it must be from {least} in to {most} in.",
                what=what,
                found=found,
                least=Fraction(least),
                most=Fraction(most),
            )
        return found

    return Kind(read, str, INCHES)


def _number(least: Fraction | int, most: int) -> Kind:
    def read(value: Any, what: str) -> Fraction:
        found = read_quantity(value, what)
        if not least <= found <= most:
            raise NotAllowed(f"The {what} must be from {least} to {most}, not {brief(value)}.")
        return found

    return Kind(read, str, "exact number")


def _whole(least: int, most: int) -> Kind:
    def read(value: Any, what: str) -> int:
        if not isinstance(value, str) or not value.isascii() or not value.isdecimal():
            raise NotAllowed(f"The {what} must be a whole number, not {brief(value)}.")
        if len(value) > 9 or not least <= int(value) <= most:
            raise NotAllowed(f"The {what} must be from {least} to {most}, not {quoted(value)}.")
        return int(value)

    return Kind(read, str, "whole number")


def _rows(value: Any, _what: str) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise NotAllowed(f"Matched beams in this file must be a list of rows, not {brief(value)}.")
    return tuple(value)


MATCH = Kind(_rows, list, "list of beams' rows")


class CuttingRules(Row, noun="set of cutting rules", closed=True):
    """Lengths are in inches.

    `species` and `grade` choose among the stock list, "" for whatever it has. `kerf` is the
    crosscut saw's and `rip_kerf` the ripping saw's; `end_trim` goes off each end of a board and
    `edge_trim` off each edge; `allowance` is added to each end of a piece that was not measured
    yet. `saws` says which cut comes first: "rip", "crosscut" or "either". `splices` is how boards
    are spliced, "none" where they must not be; `apart`, `from_centre` and `shortest` as in
    `SpliceRule`. `match` names the beams (by row, or "all") whose pieces shall come from one board.
    `spare_percent` or `spare_count` more boards of each size are bought, whichever is more. `cleat`
    is the cleats' width, none being shorter than `cleat_shortest`. A leftover of at least `keep`
    goes into the stock.

    What is used up: nails every `nail_spacing`, `nail_box` to a box; `bead` is the
    adhesive's and `tube` a tube's fluid ounces; `glue` is how thick glue is spread, in
    thousandths of an inch, and `bottle` a bottle's fluid ounces; `tape_roll` yards to a
    roll; `sheet` is how many square feet a sheet of sandpaper lasts for, in each of
    `grits`; `gaps` percent of the joints take a wedge.
    """

    species: str = field(SHORT, "species", default="")
    grade: str = field(SHORT, "grade", default="")
    kerf: Fraction = field(_length(0, 1), "kerf", default=Fraction(1, 8))
    rip_kerf: Fraction = field(_length(0, 1), "kerf of the rip", default=Fraction(1, 8))
    end_trim: Fraction = field(_length(0, 12), "trim off each end", default=Fraction(1, 4))
    edge_trim: Fraction = field(_length(0, 2), "trim off each edge", default=Fraction(1, 8))
    allowance: Fraction = field(_length(0, 24), "allowance at each end", default=Fraction(1, 2))
    saws: str = field(one_of(SAWS), "first cut", default="either")
    splices: str = field(one_of(JOINTS), "kind of splice", default="none")
    apart: Fraction = field(_length(0), "distance to the partner's splice", default=Fraction(24))
    from_centre: Fraction = field(_length(0), "splice to center", default=Fraction(12))
    shortest: Fraction = field(_length(1), "shortest part of a spliced board", default=Fraction(24))
    match: tuple[str, ...] = field(MATCH, "matched beams", default=())
    spare_percent: Fraction = field(_number(0, 100), "spare percentage", default=Fraction(0))
    spare_count: int = field(_whole(0, 100), "number of spare boards", default=0)
    cleat: Fraction = field(_length(_THIN, 6), "width of a cleat", default=Fraction(3, 4))
    cleat_shortest: Fraction = field(_length(1), "shortest cleat", default=Fraction(12))
    keep: Fraction = field(_length(1), "shortest cutoff to keep", default=Fraction(24))
    nail_spacing: Fraction = field(_length(1), "spacing of nails", default=Fraction(8))
    nail_box: int = field(_whole(1, 100_000), "number of nails in a box", default=1000)
    bead: Fraction = field(_length(_THIN, 2), "thickness of the bead", default=Fraction(1, 4))
    tube: Fraction = field(_number(1, 200), "fluid ounces in a tube", default=Fraction(10))
    glue: Fraction = field(
        _number(1, 100),
        "glue in thousandths of an inch",
        default=Fraction(6),
    )
    bottle: Fraction = field(_number(1, 1000), "fluid ounces in a bottle", default=Fraction(16))
    tape_roll: Fraction = field(_number(1, 1000), "yards on a roll of tape", default=Fraction(60))
    sheet: Fraction = field(
        _number(Fraction(1, 10), 1000), "square feet a sheet lasts for", default=Fraction(15)
    )
    grits: int = field(_whole(1, 6), "number of grits", default=2)
    gaps: int = field(_whole(0, 100), "percent of joints with a gap", default=25)

    @property
    def spare(self) -> Spare:
        """Return the number of spare boards of each size."""
        return Spare(self.spare_percent, self.spare_count)

    def splice_rule(self, thickness: Fraction) -> SpliceRule | None:
        """Return the splice rule for boards of a thickness; None if splices are off."""
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
        """Return whether a beam's pieces must come from one board."""
        return ALL in self.match or row in self.match
