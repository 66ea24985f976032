"""The cautions on paper: of one stage below its work, and of all stages on pages of their own."""

from collections.abc import Sequence

from crewdesk.job.record import Record
from crewdesk.job.steps.cautions import DECORATIVE, SiteCaution, cautions
from crewdesk.job.steps.stages import Stage
from crewdesk.paper.plain import plain
from crewdesk.paper.taped.pages import Block, Pages, Strip, gap
from crewdesk.paper.taped.paragraphs import lines_strip
from crewdesk.paper.taped.pen import lead
from crewdesk.paper.taped.type_sizes import TYPE, TypeSizes

_BESIDE_WORK = TYPE.times(0.85)
DECORATIVE_FOOT = (
    "Beams are decorative. Follow local code; fastening that must carry weight is for licensed "
    "practice."
)
DRAWN_FOOT = "Dashed: the square line and the blank. Dotted: the cleat line, on the other face."
FEET = {
    "saw": "Guard and riving knife on, push stick, glasses, ears, mask. Check a mark against the "
    "wall first.",
    "ladder": "Ladder level and locked, both feet on it, below its top step. Never look into the "
    "laser.",
}
"""What stands at the foot of pages that are used at the saw and on the ladder."""


def draw_caution_pages(pages: Pages, record: Record) -> None:
    """What is true of all of the work, then stage by stage."""
    pages.put(_boxed(pages, DECORATIVE.text), below=8)
    for stage in record.stages:
        every = [one for one in cautions(stage.id) if one is not DECORATIVE]
        if every:
            _put_all(pages, plain(stage.name), every, TYPE)
    told = (
        "Named are the rules and guides of the United States; where you work there may be others."
    )
    pages.put([lines_strip(pages, told, TYPE.word)])


def put_cautions(pages: Pages, stage: Stage) -> None:
    """The cautions of a stage, below its work."""
    _put_all(pages, f"Cautions: {plain(stage.name)}", cautions(stage.id), _BESIDE_WORK)


def _put_all(pages: Pages, head: str, every: Sequence[SiteCaution], size: TypeSizes) -> None:
    """Cautions under a heading, which stays with the first of them."""
    title = lines_strip(pages, head, size.mark, bold=True)
    first, *rest = [_caution(pages, one, size) for one in every]
    pages.put([title, gap(2), *first])
    for block in rest:
        pages.put(block)
    pages.put([gap(8)])


def _caution(pages: Pages, one: SiteCaution, size: TypeSizes) -> Block:
    strips = [lines_strip(pages, one.text, size.word, first="!")]
    if one.source:
        indent = pages.width_of("! ", size.word, True)
        strips.append(lines_strip(pages, f"({one.source})", TYPE.small, indent=indent))
    return [*strips, gap(3)]


def _boxed(pages: Pages, text: str) -> Block:
    """A paragraph in a frame."""
    size, edge = TYPE.word, 8.0
    lines = pages.wrapped(text, size, pages.wide - 2 * edge, bold=True)
    high = len(lines) * lead(size) + 2 * edge

    def draw(pages: Pages, y: float) -> None:
        pages.block(pages.left, y, pages.wide, high, thick=1.5)
        for at, line in enumerate(lines):
            pages.write(pages.left + edge, y + edge + at * lead(size), line, size, bold=True)

    return [Strip(high, draw)]
