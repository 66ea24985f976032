"""A gap found at the fix-up: how wide, where, why, and how it is closed."""

from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.readings import fraction, moment
from crewdesk.job.words import LONGEST_LINE, LONGEST_NAME, brief, checked_line
from crewdesk.trade.cuts.caution import Caution
from crewdesk.trade.cuts.gap import Against, gap_cautions
from crewdesk.trade.cuts.wedge import Wedge, wedge

CURES = ("wedge", "caulk")
PLACES: dict[str, tuple[str, ...]] = {
    "side": ("end 1", "end 2", "ceiling", "bottom"),
    "bottom": ("end 1", "end 2", "edge A", "edge B"),
    "top": ("end 1", "end 2", "edge A", "edge B"),
    "cleats": (),
}
"""Where a gap can be, by the piece's kind: at an end's wall, along an edge, at the ceiling;
`bottom` is a side's joint with the bottom board."""
USUAL_STOCK, USUAL_BEVEL = Fraction(3, 4), Fraction(5)
"""A wedge's scrap in inches and its bevel in degrees (common practice, no source)."""


class Gap(NamedTuple):
    """One gap: `width` in inches, `where` one of `PLACES`, `cause` in words, `cure` one of
    `CURES`; `stock` in inches and `bevel` in degrees of the wedge."""

    width: Fraction
    where: str
    cause: str
    cure: str
    when: datetime
    who: str = ""
    stock: Fraction = USUAL_STOCK
    bevel: Fraction = USUAL_BEVEL

    @property
    def against(self) -> Against:
        """Whether wood meets wood there, or a wall or ceiling."""
        return "wood" if self.where in ("bottom", "edge A", "edge B") else "other"

    @property
    def wedge(self) -> Wedge | None:
        """The wedge that closes it, where that is its cure; raises `BadInput`."""
        return wedge(self.stock, self.bevel, self.width) if self.cure == "wedge" else None

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What it must be told with; raises `BadInput` where its width makes no sense."""
        return gap_cautions(self.width, self.against)

    def to_doc(self) -> Doc:
        """As JSON, lengths and degrees exact."""
        doc: Doc = {
            "width": str(self.width),
            "where": self.where,
            "cause": self.cause,
            "cure": self.cure,
            "when": self.when.isoformat(),
        }
        if self.who:
            doc["who"] = self.who
        if self.cure == "wedge":
            doc |= {"stock": str(self.stock), "bevel": str(self.bevel)}
        return doc

    @staticmethod
    def from_doc(kind: str, doc: Doc) -> "Gap":
        """The gap of a piece of that kind, as `to_doc` wrote it; raises `NotAllowed`,
        `BadInput`."""
        gap = Gap(
            fraction(doc["width"], "width of a gap"),
            _one_of(doc["where"], PLACES[kind], "place of a gap"),
            checked_line(doc["cause"], "cause of a gap", most=LONGEST_LINE),
            _one_of(doc["cure"], CURES, "cure of a gap"),
            moment(doc["when"], "gap"),
            checked_line(doc.get("who", ""), "'who' of a gap", most=LONGEST_NAME),
            fraction(doc.get("stock", str(USUAL_STOCK)), "stock of a wedge"),
            fraction(doc.get("bevel", str(USUAL_BEVEL)), "bevel of a wedge"),
        )
        _ = gap.cautions, gap.wedge
        return gap


def _one_of(value: object, known: tuple[str, ...], what: str) -> str:
    if not isinstance(value, str) or value not in known:
        said = f"it is {', '.join(known)}" if known else "these pieces have none"
        raise NotAllowed(f"{brief(value)} is no {what}; {said}, nothing was changed.")
    return value
