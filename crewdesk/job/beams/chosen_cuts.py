"""The user's own choices for a cut: a bottom board's lengths, and the way to a scribe line."""

from datetime import datetime

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.piece import OwnCut, OwnScribeCut, Spot
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.cuts.bottoms import cut_of
from crewdesk.job.cuts.scribe_way import CUT_SCRIBE
from crewdesk.job.record import Record
from crewdesk.job.steps.usual_stages import step_name
from crewdesk.job.text_limits import checked_note, quoted
from crewdesk.length import show_length
from crewdesk.trade.cuts.shop_machine import BY_BOARD, SCRIBE_CUTS, WAYS, Way
from crewdesk.trade.read_length import read_off


def own_cut(
    record: Record, spot: Spot, edge_a: str, edge_b: str, reason: str, now: datetime
) -> Change:
    """Return the change that gives the bottom board your own lengths, as typed.

    An empty `edge_b` follows from edge A and the walls; an empty `edge_a` removes your own lengths.
    A length over its reading requires a `reason`. Raises `NotAllowed`, and `BadInput` for an
    invalid length or one over its reading.
    """
    beam = record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    if piece.kind != "bottom":
        raise NotAllowed(f"Only the bottom board can have a length of your own, not {piece.name}.")
    at = ("beams", spot.beam, "pieces", spot.piece, "own_cut")
    whose = f"of {beam.label} {piece.name}"
    if not edge_a.strip():
        if piece.own_cut is None:
            raise NotAllowed("No length was typed for edge A.")
        return Change(f"removed the own length {whose}", (edit(record.tables, at, ABSENT),), now)
    if piece.latest("opening") is None:
        raise NotAllowed(
            f"The length between the walls {whose} hasn't been measured. Measure it "
            "first, so that your cut can be compared with it."
        )
    unit = "mm" if record.job.step.mm else "in"
    first = read_off(edge_a, unit=unit)
    second = read_off(edge_b, unit=unit) if edge_b.strip() else first
    own = OwnCut(first, second, now, checked_note(reason, "reason"))
    made = cut_of(beam, piece, own=own)
    if edge_b.strip() and made is not None and made.edge_b != second:
        must = show_length(made.edge_b, record.job.step, way="down")
        raise NotAllowed(
            f"With edge A at {show_length(first, record.job.step)}, edge B must be "
            f"{must} by the slants of both walls. Leave edge B empty, or measure the "
            "walls and both edges again."
        )
    return Change(f"chose the cut {whose}", (edit(record.tables, at, own.to_doc()),), now)


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
        f"{quoted(text)} isn't a way to cut a board to its scribe line. Type "
        f"{', '.join(SCRIBE_CUTS[1:])} or {BY_BOARD}.",
        field="way",
    )


def own_scribe_cut(record: Record, spot: Spot, way: str, reason: str, now: datetime) -> Change:
    """Return the change that chooses how a side is cut to its scribe line, as typed.

    An empty `way`, or "by the board", removes the choice. Raises `BadInput`, and `NotAllowed` for a
    piece that isn't scribed.
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
            f"{whose} is already cut to its scribe line{how}. To choose another way, "
            f"undo '{step_name(record.stages, CUT_SCRIBE)}' first. Nothing was changed."
        )
    at = ("beams", spot.beam, "pieces", spot.piece, "scribe_cut")
    found = way_typed(way)
    if found is None:
        if piece.scribe_cut is None:
            raise NotAllowed(f"Nothing was chosen for {whose}. Nothing was changed.")
        return Change(
            f"let crewdesk choose the scribe cut of {whose}",
            (edit(record.tables, at, ABSENT),),
            now,
        )
    own = OwnScribeCut(found, now, checked_note(reason, "reason"))
    return Change(
        f"chose the {found} for the scribe cut of {whose}",
        (edit(record.tables, at, own.to_doc()),),
        now,
    )
