"""Sheets of labels as they are sold, as data (common practice, no source): how many, how
large and where. Nothing tells them apart but the paper and how many stand on it."""

from dataclasses import dataclass

from crewdesk.paper.taped.type_sizes import INCH, MM, PAPERS, PaperSize


@dataclass(frozen=True)
class LabelSheet:
    """Labels of `width` by `height` in `columns` and `rows`, from `left` and `top` on, each
    `across` and `down` from the one before; all in points."""

    paper: PaperSize
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    across: float
    down: float
    told: str

    @property
    def count(self) -> int:
        """How many labels stand on a sheet."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """The top left corner of a label, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.across, self.top + row * self.down


Pair = tuple[float, float]


def _sheet(
    paper: str,
    unit: float,
    count: tuple[int, int],
    size: Pair,
    corner: Pair,
    pitch: Pair,
    told: str,
) -> LabelSheet:
    """A sheet out of its columns and rows, a label's size, the first one's corner and how
    far it is to the next, in inches or millimetres."""
    width, height, left, top, across, down = (one * unit for one in (*size, *corner, *pitch))
    return LabelSheet(PAPERS[paper], *count, width, height, left, top, across, down, told)


_US, _ISO = ("letter", INCH), ("A4", MM)
_SHEETS = (
    _sheet(*_US, (3, 10), (2.625, 1), (0.1875, 0.5), (2.75, 1), "2-5/8 x 1 in"),
    _sheet(*_US, (2, 10), (4, 1), (0.15625, 0.5), (4.1875, 1), "4 x 1 in"),
    _sheet(*_US, (2, 7), (4, 4 / 3), (0.15625, 5 / 6), (4.1875, 4 / 3), "4 x 1-1/3 in"),
    _sheet(*_US, (2, 5), (4, 2), (0.15625, 0.5), (4.1875, 2), "4 x 2 in"),
    _sheet(*_US, (2, 3), (4, 10 / 3), (0.15625, 0.5), (4.1875, 10 / 3), "4 x 3-1/3 in"),
    _sheet(*_ISO, (3, 7), (63.5, 38.1), (7.21, 15.15), (66.04, 38.1), "63.5 x 38.1 mm"),
    _sheet(*_ISO, (3, 8), (70, 37), (0, 0.5), (70, 37), "70 x 37 mm"),
    _sheet(*_ISO, (2, 7), (99.1, 38.1), (4.63, 15.15), (101.64, 38.1), "99.1 x 38.1 mm"),
    _sheet(*_ISO, (2, 4), (99.1, 67.7), (4.63, 13.1), (101.64, 67.7), "99.1 x 67.7 mm"),
)
LABEL_SHEETS = {
    name: {str(sheet.count): sheet for sheet in _SHEETS if sheet.paper.name == name}
    for name in PAPERS
}
"""By the paper's name and the count of labels on it; the first of each is the usual one."""
