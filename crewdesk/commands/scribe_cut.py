"""The command about how sides are cut to their scribe lines."""

from argparse import Namespace
from datetime import datetime

from crewdesk.commands.held import piece_named
from crewdesk.commands.printed import in_json, in_lines
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.beams import find_beam
from crewdesk.job.beams.chosen_cuts import own_scribe_cut
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.cuts.scribe_settings import CAUTIONS
from crewdesk.job.cuts.scribe_way import scribe_cut_known
from crewdesk.job.cuts.shop_machine import ShopMachine
from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import job_values
from crewdesk.paper.text.scribe_notes import scribe_cut_json, scribe_cut_line
from crewdesk.store.desk import Desk


def scribe_cut(desk: Desk, args: Namespace, now: datetime) -> str:
    """List how each side is cut to its scribe line, or choose that for one side; gives what to
    print. Raises `BadInput`, `NotAllowed` and `NotAllowed`."""
    id_, machine = desk.find(args.job), desk.shop.shop().machine
    if args.way is None:
        return _listed(id_, desk.open(id_, writing=False).record, args, machine)
    job = desk.open(id_)
    try:
        job.writable()
        beam = find_beam(job.record, args.beam)
        spot = Spot(beam.row, beam.piece(piece_named(args.piece)).key)
        change = own_scribe_cut(job.record, spot, args.way, args.reason, now)
        job.make(change)
        return in_lines(f"Saved: {change.what}.")
    finally:
        job.close(now)


def _listed(id_: str, record: Record, args: Namespace, machine: ShopMachine) -> str:
    beams = record.beams if args.beam is None else (find_beam(record, args.beam),)
    wanted = None if args.piece is None else piece_named(args.piece)
    sides = [
        (beam, piece)
        for beam in beams
        for piece in beam.pieces.values()
        if piece.kind == "side" and "ceiling" in piece.traits and wanted in (None, piece.key)
    ]
    if args.json:
        return in_json(
            {
                "job": job_values(id_, record.job),
                "sides": [_values(record, beam, piece, machine) for beam, piece in sides],
            }
        )
    lines = [line for beam, piece in sides for line in _lines(record, beam, piece, machine)]
    return in_lines(*(lines or ["No side of it is scribed."]))


def _lines(record: Record, beam: Beam, piece: Piece, machine: ShopMachine) -> list[str]:
    cut = scribe_cut_known(beam, piece, machine, record.job.step)
    name = f"{plain(beam.label)} {piece.name}"
    if cut is None:
        return [f"{name}: measure the ceiling first, then the way to cut follows"]
    return [f"{name}: {scribe_cut_line(cut)}", f"  ! {CAUTIONS[cut.way]}"]


def _values(record: Record, beam: Beam, piece: Piece, machine: ShopMachine) -> dict[str, object]:
    cut = scribe_cut_known(beam, piece, machine, record.job.step)
    return {
        "room": beam.room,
        "beam": beam.name,
        "piece": piece.key,
        "scribe_cut": scribe_cut_json(cut),
        "caution": None if cut is None else CAUTIONS[cut.way],
    }
