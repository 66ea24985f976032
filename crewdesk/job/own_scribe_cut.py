"""The user's own choice of how a side is cut to its scribe line."""

from datetime import datetime

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.piece import OwnScribeCut, Spot
from crewdesk.job.record import Record
from crewdesk.job.scribe_way import CUT_SCRIBE
from crewdesk.job.shop_machine import BY_BOARD, SCRIBE_CUTS
from crewdesk.job.step_words import step_name
from crewdesk.job.words import checked_note, quoted
from crewdesk.trade.cuts.scribe_cut import WAYS, Way


def way_typed(text: str) -> Way | None:
    """Return the way to cut that a text names, None for "by the board" or nothing typed;
    raises `BadInput`."""
    wanted = " ".join(text.split()).casefold()
    if wanted in ("", BY_BOARD):
        return None
    for way in WAYS:
        if wanted in (way, way.removesuffix(" saw")):
            return way
    raise BadInput(
        f"{quoted(text)} isn't a way to cut a board to its scribe line. "
        f"Give {', '.join(SCRIBE_CUTS[1:])} or {BY_BOARD}.",
        field="way",
    )


def own_scribe_cut(record: Record, spot: Spot, way: str, reason: str, now: datetime) -> Change:
    """Return the change that chooses how a side is cut to its scribe line, as typed.

    An empty `way`, or "by the board", takes the choice back. Raises `BadInput`, and
    `NotAllowed` for a piece that isn't scribed.
    """
    beam = record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    whose = f"{beam.label} {piece.name}"
    if piece.kind != "side" or "ceiling" not in piece.traits:
        raise NotAllowed(
            f"{whose} isn't cut to a scribe line: only sides that meet the ceiling are."
        )
    mark = piece.steps.get(CUT_SCRIBE)
    if mark is not None and mark.state == "done":
        how = f" with the {mark.cut.way}" if mark.cut is not None and mark.cut.way else ""
        raise NotAllowed(
            f"{whose} is already cut to its scribe line{how}. To choose another way, take "
            f"'{step_name(record.stages, CUT_SCRIBE)}' back first; nothing was changed."
        )
    at = ("beams", spot.beam, "pieces", spot.piece, "scribe_cut")
    found = way_typed(way)
    if found is None:
        if piece.scribe_cut is None:
            raise NotAllowed(f"Nothing was chosen for {whose}; nothing was changed.")
        return Change(
            f"left the scribe cut of {whose} to the board", (edit(record.tables, at, ABSENT),), now
        )
    own = OwnScribeCut(found, now, checked_note(reason, "reason"))
    return Change(
        f"chose the {found} for the scribe cut of {whose}",
        (edit(record.tables, at, own.to_doc()),),
        now,
    )
