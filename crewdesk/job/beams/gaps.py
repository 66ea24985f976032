"""Gaps found on a piece, and the reveals as measured at the end."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.piece import CURES, PLACES, USUAL_BEVEL, USUAL_STOCK, Gap, Piece, Spot
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.cuts.cleats import reveal_of
from crewdesk.job.record import Record
from crewdesk.job.text_limits import checked_line, quoted
from crewdesk.job.time.logged import piece_length
from crewdesk.trade.angle import read_angle
from crewdesk.trade.read_length import read_length, read_off

TYPED = ("width", "where", "along", "cause", "cure", "stock", "bevel")
_MEANT = {"1": "end 1", "2": "end 2", "top": "ceiling", "a": "edge a", "b": "edge b"}


def places(piece: Piece) -> tuple[str, ...]:
    """Return where on a piece a gap can be; a hanging box has none at the ceiling."""
    return tuple(
        place for place in PLACES[piece.kind] if place != "ceiling" or "ceiling" in piece.traits
    )


def typed_gap(
    record: Record, spot: Spot, typed: Mapping[str, str], now: datetime, *, who: str = ""
) -> Gap:
    """Return the gap from typed values, named as in `TYPED`; stock and bevel apply only to a wedge,
    and `along`, its distance from end 1, may be left out. Raises `NotAllowed`, and `BadInput` if a
    wedge would not close it or it would be past the beam's end."""
    beam = record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    unit = "mm" if record.job.step.mm else "in"
    known = places(piece)
    if not known:
        raise NotAllowed(f"No gap shows at the {piece.name}. Enter it with a side or the bottom.")
    where = _meant(typed["where"], known, "where the gap is")
    cure = _meant(typed["cure"], CURES, "its fix")
    wedge = USUAL_STOCK, USUAL_BEVEL
    if cure == "wedge":
        wedge = read_length(typed["stock"], unit=unit), read_angle(typed["bevel"])
    along = typed.get("along", "").strip()
    gap = Gap(
        read_off(typed["width"], unit=unit),
        where,
        checked_line(typed["cause"], "cause"),
        cure,
        now,
        who,
        *wedge,
        read_length(along, unit=unit) if along else None,
    )
    gap.check()
    long = piece_length(beam._replace(rough=None), spot.piece)
    if gap.along is not None and long is not None and gap.along > long:
        raise BadInput(
            "{along} in from end 1 is past the end of {piece}, which is {length} in long. Measure "
            "from end 1.",
            field="along",
            along=gap.along,
            piece=f"the {piece.name}" if piece.kind != "side" else piece.name,
            length=long,
        )
    return gap


def keep_gap(record: Record, spot: Spot, gap: Gap, now: datetime, at: int | None = None) -> Change:
    """Return the change that adds a gap to a piece, or replaces gap `at`."""
    if not gap.cause:
        raise NotAllowed("Type in a few words what made the gap, to avoid the next one.")
    kept = list(_piece(record, spot).gaps)
    if at is None:
        kept.append(gap)
    else:
        kept[_place(kept, at)] = gap
    return _changed(record, spot, kept, "noted" if at is None else "changed", gap, now)


def drop_gap(record: Record, spot: Spot, at: int, now: datetime) -> Change:
    """Return the change that removes gap `at` of a piece."""
    kept = list(_piece(record, spot).gaps)
    gone = kept.pop(_place(kept, at))
    return _changed(record, spot, kept, "removed", gone, now)


def _changed(
    record: Record, spot: Spot, kept: list[Gap], did: str, gap: Gap, now: datetime
) -> Change:
    at = ("beams", spot.beam, "pieces", spot.piece, "gaps")
    made = edit(record.tables, at, [one.to_doc() for one in kept] or ABSENT)
    beam = record.beam(spot.beam)
    where = f"{beam.label} {beam.piece(spot.piece).name}"
    return Change(f"{did} a gap at {gap.where} of {where}", (made,), now)


def _piece(record: Record, spot: Spot) -> Piece:
    return record.beam(spot.beam).piece(spot.piece)


def _place(kept: list[Gap], at: int) -> int:
    if not 0 <= at < len(kept):
        raise NotAllowed("That gap isn't there any more. Nothing was changed.")
    return at


def _meant(text: str, known: tuple[str, ...], what: str) -> str:
    """Return the item of `known` that a text names: in full, by its beginning, or by its number or
    letter."""
    wanted = " ".join(text.split()).casefold()
    wanted = _MEANT.get(wanted, wanted)
    found = [one for one in known if wanted and one.casefold() == wanted] or [
        one for one in known if wanted and one.casefold().replace(" ", "").startswith(wanted)
    ]
    if len(found) != 1:
        given = f" You typed {quoted(text)}." if wanted else ""
        raise NotAllowed(f"Type {what}: {', '.join(known)}.{given}")
    return found[0]


class Reveals(NamedTuple):
    """How many reveals were measured, and how far they were off the ones asked for, in inches:
    the mean with its sign (positive: more than asked for) and the worst without."""

    measured: int
    mean_off: Fraction
    worst_off: Fraction


def reveals_off(record: Record) -> tuple[Fraction, ...]:
    """Return by how much each reveal measured at the fix-up differed from the planned one, in
    inches."""
    return tuple(
        reading.value - reveal_of(beam, beam.habits.cleat)
        for beam in record.beams
        for piece in beam.pieces.values()
        if (reading := piece.latest("reveal")) is not None
    )


def reveals_reached(off: Sequence[Fraction]) -> Reveals | None:
    """Return the summary of those differences, or None if none was measured."""
    if not off:
        return None
    mean = sum(off, Fraction(0)) / len(off)
    return Reveals(len(off), mean, max(abs(one) for one in off))
