"""The buying list of a takeoff: boards by size with spares, their lines in the estimate, and
supplies: tape, nails, adhesive, glue, sandpaper, wedge stock."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from math import cos, hypot, radians

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.books.job_rows import TAKEOFF
from crewdesk.job.books.shop import Shop
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.cuts.as_built import (
    board_as_cut,
    cleat_projection,
    section_at_edge,
    section_to_nail,
)
from crewdesk.job.cuts.nails import edge_nail, nail_for
from crewdesk.job.lumber.blanks import boards_to_cut
from crewdesk.job.lumber.spliced import Spliced, spliced
from crewdesk.job.lumber.stock import board_feet_of
from crewdesk.job.lumber.takeoff import Board, Takeoff
from crewdesk.job.record import Record
from crewdesk.job.time.logged import piece_length
from crewdesk.length import feet_and_inches, show_length
from crewdesk.trade.boards.consumables import (
    Packs,
    Spare,
    adhesive,
    glue,
    nails,
    sandpaper,
    tape,
    wedges,
    with_spare,
)
from crewdesk.trade.cuts.forms import FormBoard

FROM_END = Fraction(2)
"""The distance of the first nail from an end, in inches (common practice, no source)."""
WEDGE, WEDGE_BOARD = Fraction(12), Fraction(96)
"""Wedge stock for a joint, and the board it is ripped from, in inches (common practice,
no source)."""
NAIL_WASTE = Fraction(5)
EDGE = "edge"
"""The pieces nailed through the sides into their edges, without a cleat behind."""
JOINTS = 2
"""Ends of a board that meet a wall."""


@dataclass(frozen=True)
class UsedUp:
    """A supply: its amount in `unit`, and whole packs of it, each a `pack_name`; its `sort` is one
    of `crewdesk.job.books.shop.PACKS`."""

    sort: str
    name: str
    unit: str
    packs: Packs
    pack_name: str

    def cost(self, prices: Mapping[str, Decimal]) -> Decimal | None:
        """Return the cost of its packs; None if the shop has no price for one."""
        each = prices.get(self.sort)
        return None if each is None else each * self.packs.buy


def used_up(record: Record, boards: "Iterable[Board]") -> tuple[UsedUp, ...]:
    """Return the supplies for the beams.

    Painter's tape goes along the foot of each side that is scribed to a ceiling; adhesive
    and nails go along each cleat and each edge of a bottom board that cleats hold; nails go
    along the edges of a top and of a mitered bottom; glue goes into splices and miters, each
    miter once; sandpaper is for every show face, wedges are for the joints with gaps.

    `boards` have the splices. Beams of unknown length are left out, and supplies that a job doesn't
    need.
    """
    rules = record.job.cutting
    taped: list[Fraction] = []
    glued: list[Fraction] = []
    nailed: dict[Fraction, list[Fraction]] = {}
    area, joints = Fraction(0), 0
    faces = sum((_splice_faces(record, one) for one in spliced(record, boards)), Fraction(0))
    for beam in record.beams:
        for key, board in boards_to_cut(beam).items():
            length = piece_length(beam, key)
            if length is None:
                continue
            piece = beam.pieces[key]
            area += length * board.width
            joints += JOINTS
            if piece.kind != "side":
                faces += length * _miters(beam, board)
            elif "ceiling" in piece.traits:
                taped.append(length)
            for held, times in _held(beam, piece):
                if held != EDGE:
                    glued += [length] * times
                if (size := _nail(record, beam, held, key)) is not None:
                    nailed.setdefault(size, []).extend([length] * times)
    found = []
    if taped:
        found.append(UsedUp("tape", "Painter's tape", "in", tape(taped, rules.tape_roll), "roll"))
    for size, runs in sorted(nailed.items()):
        packs = nails(runs, rules.nail_spacing, FROM_END, rules.nail_box, NAIL_WASTE)
        name = f"18 gauge nails, {show_length(size)} in"
        found.append(UsedUp("nails", name, "nails", packs, "box"))
    if glued:
        tubes = adhesive(glued, rules.bead, rules.tube)
        found.append(UsedUp("adhesive", "Adhesive", "ft of bead", tubes, "tube"))
    if faces:
        bottles = glue(faces, rules.glue, rules.bottle)
        found.append(UsedUp("glue", "Wood glue", "fl oz", bottles, "bottle"))
    if area:
        sheets = sandpaper(area, rules.sheet, rules.grits)
        found.append(UsedUp("sandpaper", "Sandpaper", "sq ft", sheets, "sheet"))
    if joints and rules.gaps:
        strips = wedges(joints, Fraction(rules.gaps), WEDGE, WEDGE_BOARD)
        found.append(UsedUp("wedges", "Wedge stock", "in", strips, "8 ft strip"))
    return tuple(found)


def _held(beam: Beam, piece: Piece) -> tuple[tuple[str, int], ...]:
    """Return what nails hold at a piece, and along how many edges: the cleat on a side, the bottom
    on its cleats, or the edges of a mitered bottom or a top at the sides."""
    sides = sum(one.kind == "side" for one in beam.pieces.values())
    on_edge = piece.kind == "top" or (piece.kind == "bottom" and "glued miters" in piece.traits)
    if on_edge:
        return ((EDGE, sides),) if sides else ()
    if "cleats" not in beam.pieces:
        return ()
    return (("cleats", 1),) if piece.kind == "side" else (("bottom", 2),)


def _miters(beam: Beam, board: FormBoard) -> Fraction:
    """Return the total width of a board's glued mitered faces. Bottoms and tops meet the sides with
    them, so every miter counts once; without the side there is none."""
    edges = (
        ("A", board.first_edge, board.first_blade),
        ("B", board.second_edge, board.second_blade),
    )
    thick = float(board.thickness)
    wide = (
        thick / cos(radians(float(blade)))
        for side, joint, blade in edges
        if joint == "mitre" and side in beam.pieces
    )
    return Fraction(sum(wide, 0.0))


def _splice_faces(record: Record, one: Spliced) -> Fraction:
    """Return the square inches of a piece's splices: a scarf's face is as long as its slope."""
    board = board_as_cut(record.beam(one.row), one.piece)
    rule = record.job.cutting.splice_rule(board.thickness)
    lap = Fraction(0) if rule is None else rule.overlap
    return Fraction(hypot(board.thickness, lap)) * board.width * len(one.places)


def _nail(record: Record, beam: Beam, held: str, key: str) -> Fraction | None:
    """Return the nail length for a beam's cleats or bottom: your own or the longest that stays
    inside; None if none fits. The edges of the piece `key` take the longest."""
    try:
        if held == EDGE:
            mitered = "glued miters" in beam.pieces[key].traits
            return edge_nail(section_at_edge(beam, key), mitered=mitered).length
        chosen = record.job.nails.get(held)
        cleat = cleat_projection(beam, record.job.cutting.cleat)
        return nail_for(held, section_to_nail(beam, held), chosen, cleat).length
    except BadInput:
        return None


KEPT = ("waste", "markup")


@dataclass(frozen=True)
class Buy:
    """`count` boards of one size and length, `bought` ones included, plus `spare` ones; `each` is
    the unit price."""

    label: str
    size: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    count: int
    bought: int
    spare: int
    each: Decimal
    rows: tuple[str, ...]

    @property
    def left(self) -> int:
        """How many are still to be bought, without the spare ones."""
        return self.count - self.bought

    @property
    def cost(self) -> Decimal:
        """For all but the spare ones."""
        return self.each * self.count

    @property
    def board_feet(self) -> Fraction:
        """For all but the spare ones."""
        return board_feet_of(self.size, self.thickness, self.width, [self.length] * self.count)


def buying_list(takeoff: Takeoff, spare: Spare) -> tuple[Buy, ...]:
    """Return the boards to buy by size, widest and longest first. A size's spare boards have its
    longest length."""
    groups: dict[tuple[str, Fraction, Fraction, Fraction, Decimal], list[Board]] = {}
    for board in takeoff.boards:
        if not board.hand:
            key = (board.label, board.thickness, board.width, board.length, board.price)
            groups.setdefault(key, []).append(board)
    sizes = Counter((k[0], k[1], k[2]) for k, boards in groups.items() for _ in boards)
    found, had = [], set()
    for key, boards in sorted(groups.items(), key=lambda g: (-g[0][2], g[0][0], -g[0][3], g[0][4])):
        label, thickness, width, length, each = key
        size = (label, thickness, width)
        more = 0 if size in had else with_spare(sizes[size], spare) - sizes[size]
        had.add(size)
        found.append(
            Buy(
                label,
                boards[0].size,
                thickness,
                width,
                length,
                len(boards),
                sum(one.state != "to buy" for one in boards),
                more,
                each,
                tuple(one.row for one in boards),
            )
        )
    return tuple(found)


def into_estimate(record: Record, takeoff: Takeoff, shop: Shop, now: datetime) -> Change:
    """Return the change that puts the boards to buy, spares included, and packs of supplies into
    the material, replacing an earlier takeoff's lines.

    Quantities include waste, so none is added. A pack costs the shop's price, else the price typed
    here before, else nothing yet. Typed waste and markup of a line stay. Raises `NotAllowed`.
    """
    materials = record.tables.get("materials", {})
    old = sorted((row for row, doc in materials.items() if doc.get("of") == TAKEOFF), key=int)
    before = {materials[row]["text"]: materials[row] for row in old}
    rules = record.job.cutting
    lines = [_board(one) for one in buying_list(takeoff, rules.spare) if one.count]
    lines += [
        _pack(one, shop.packs, before) for one in used_up(record, takeoff.boards) if one.packs.buy
    ]
    for doc in lines:
        was = before.get(doc["text"], {})
        doc.update({key: was[key] for key in KEPT if key in was})
    if [materials[row] for row in old] == lines:
        raise NotAllowed("The estimate already has all of the takeoff. Nothing was changed.")
    first = int(record.new_row("materials"))
    edits = [edit(record.tables, ("materials", row), ABSENT) for row in old]
    edits += [
        edit(record.tables, ("materials", str(first + place)), doc)
        for place, doc in enumerate(lines)
    ]
    what = "copied the takeoff into the estimate"
    if by_hand := len(materials) - len(old):
        what += f", beside {by_hand} line{'' if by_hand == 1 else 's'} typed by hand"
    return Change(what, tuple(edits), now)


def _board(one: Buy) -> Doc:
    return {
        "text": f"{one.label}, {feet_and_inches(one.length)}",
        "quantity": str(one.count + one.spare),
        "price": str(one.each),
        "sort": "materials",
        "waste": "0",
        "of": TAKEOFF,
    }


def _pack(one: UsedUp, packs: Mapping[str, Decimal], before: Mapping[str, Doc]) -> Doc:
    text = f"{one.name}, {one.pack_name}"
    price = packs.get(one.sort)
    return {
        "text": text,
        "quantity": str(one.packs.buy),
        "price": before.get(text, {}).get("price", "0.00") if price is None else str(price),
        "sort": "consumables",
        "waste": "0",
        "of": TAKEOFF,
    }
