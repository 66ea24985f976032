"""The commands about cuts: answer changed ones, and choose how sides are scribed."""

from argparse import Namespace
from collections.abc import Iterator
from datetime import datetime
from shlex import quote

from crewdesk.commands.streams import in_json, in_lines, put_out
from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.beams import find_beam
from crewdesk.job.beams.chosen_cuts import own_scribe_cut
from crewdesk.job.beams.piece import KIND_OF, NAME_OF, Piece, Spot
from crewdesk.job.change import Change
from crewdesk.job.cuts.answer_cut import board_told, can_take_back, cut_again, keep_cut, take_back
from crewdesk.job.cuts.changed_cut import ChangedCut
from crewdesk.job.cuts.changed_cuts import not_compared
from crewdesk.job.cuts.open_cuts import (
    NONE_MADE,
    Keys,
    cut_of_step,
    cuts_compared,
    open_cuts,
    open_keys,
    question,
    told_since,
)
from crewdesk.job.cuts.scribe_settings import CAUTIONS
from crewdesk.job.cuts.scribe_way import scribe_cut_known
from crewdesk.job.record import Record
from crewdesk.job.steps.usual_stages import step_name
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.text_limits import quoted
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import job_values
from crewdesk.paper.text.exceptions_report import held as held_of
from crewdesk.paper.text.exceptions_report import kept as kept_of
from crewdesk.paper.text.exceptions_report import noted, slightly_off
from crewdesk.paper.text.notes import scribe_cut_json, scribe_cut_line
from crewdesk.store.books import records
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from crewdesk.trade.cuts.shop_machine import Crew, ShopMachine


def held(desk: Desk, args: Namespace, now: datetime) -> int:
    """List the cuts that need an answer, or answer one; return the exit status."""
    answers = [args.keep is not None, args.again, args.back]
    if sum(answers) > 1 or (args.new_board and not args.again):
        raise NotAllowed("Give one answer: --keep REASON, --again (with --new-board) or --back.")
    id_ = desk.find(args.job)
    if not any(answers):
        record = desk.open(id_, writing=False).record
        put_out(_listed(id_, record, args, now))
        return 0
    job = desk.open(id_)
    try:
        job.writable()
        change, more = _answered(job.record, args, now)
        job.make(change)
        left = len(open_cuts(job.record))
        cuts = f"{left} cut{('' if left == 1 else 's')} still to be answered"
        put_out(in_lines(f"Saved: {change.what}.{more}", *([f"{cuts}."] if left else [])))
    finally:
        job.close(now)
    return 0


def cuts_changed(job: JobFile, before: Keys) -> str:
    """Return the effects of a job's change on made cuts, as lines to print; "" for nothing."""
    text = told_since(job.record, before)
    if not text:
        return ""
    return in_lines(text, *([how_to_answer(job.id)] if open_cuts(job.record) else []))


def cuts_asked_since(desk: Desk, crew: Crew) -> Iterator[str]:
    """Yield each job's cuts that need an answer since Business settings changed the crew's tools,
    which were `crew` before, and how to answer."""
    if desk.crew() == crew:
        return
    for id_, record in records(desk):
        record.ask_crew = lambda: crew
        before = open_keys(record)
        record.ask_crew = desk.crew
        record.look_at_crew()
        if text := told_since(record, before):
            yield f"{plain(record.job.name)}: {text}"
            if open_cuts(record):
                yield how_to_answer(id_)


def how_to_answer(id_: str) -> str:
    """Return the command that answers."""
    return f"`crewdesk held {id_}` lists the cuts to answer, and how to answer."


def contradictions_listed(job: JobFile) -> str:
    """Return a job's contradictions, as lines to print; "" for none."""
    found = contradictions(job.record)
    if not found:
        return ""
    count = len(found)
    head = f"{count} thing{'' if count == 1 else 's'} in it {'does' if count == 1 else 'do'}n't fit"
    return in_lines(f"{head} together:", *(f"  {one}" for one in found))


def _listed(id_: str, record: Record, args: Namespace, now: datetime) -> str:
    beams = record.beams if args.beam is None else (find_beam(record, args.beam),)
    every = [one for one in noted(record, beams) if _asked(args, one.piece.key, one.step)]
    waiting, kept, slight = held_of(every), kept_of(every), slightly_off(every)
    unknown = [
        f"{plain(beam.label)} {piece.name}, '{plain(step_name(record.stages, step_id))}': {why}"
        for beam in beams
        for piece, step_id, why in not_compared(beam)
        if _asked(args, piece.key, step_id)
    ]
    if args.json:
        return in_json(
            {
                "job": job_values(id_, record.job),
                "held": [one.values for one in waiting],
                "kept": [one.values for one in kept],
                "slightly_off": [one.values for one in slight],
                "not_compared": unknown,
            }
        )
    lines: list[str] = []
    for one in waiting:
        assert one.cut is not None
        words = f"crewdesk held {id_} {quote(one.beam.label)} {one.piece.key} {one.step}"
        keep = "" if one.cut.clash else "--keep REASON | "
        back = " | --back" if can_take_back(record, one.cut, now) else ""
        lines += [question(record, one.cut), f"  {words} {keep}--again{back}"]
        if one.cut.needs_a_board:
            lines.append(f"  {one.cut.needs_a_board} (--again --new-board)")
    lines += [one.line for one in kept]
    if slight:
        lines += [*([] if lines else ["No cut needs an answer."])]
        lines += ["Different by no more than a cut can be off, so nothing is held:"]
        lines += [f"  {one.line}" for one in slight]
    if not lines and any(map(cuts_compared, beams)):
        rest = "other cut" if unknown else "cut"
        lines = [f"Every {rest} that is checked off matches today's readings."]
    elif not lines and not unknown:
        lines = [NONE_MADE]
    if unknown:
        lines += ["Not compared with today's readings:", *(f"  {one}" for one in unknown)]
    return in_lines(*lines)


def _asked(args: Namespace, key: str, step: str) -> bool:
    piece = None if args.piece is None else piece_named(args.piece)
    return piece in (None, key) and args.step in (None, step)


def piece_named(text: str) -> str:
    """Return the piece that a text names: A, side A, bottom; raises `NotAllowed`."""
    wanted = " ".join(text.split()).casefold()
    for key, name in NAME_OF.items():
        if wanted in (key.casefold(), name.casefold()):
            return key
    raise NotAllowed(f"{quoted(text)} isn't a piece of a beam. Name one: {', '.join(KIND_OF)}.")


def _answered(record: Record, args: Namespace, now: datetime) -> tuple[Change, str]:
    if args.beam is None or args.piece is None:
        raise NotAllowed("Name the beam and the piece you are answering for.")
    cut = _one(record, find_beam(record, args.beam), args)
    if args.keep is not None:
        return keep_cut(record, cut.spot, cut.step_id, args.keep, now), ""
    if args.back:
        return take_back(record, cut.spot, cut.step_id, now), ""
    change = cut_again(record, cut.spot, cut.step_id, now, new_board=args.new_board)
    new = "" if args.new_board else cut.needs_a_board
    return change, "".join(f" {one}" for one in (new, board_told(record, cut.spot)) if one)


def _one(record: Record, beam: Beam, args: Namespace) -> ChangedCut:
    """Return the cut that the arguments name; the only one of the piece if no step is named."""
    key = beam.piece(piece_named(args.piece)).key
    every = [one for one in open_cuts(record) if one.spot == (beam.row, key)]
    if args.step is None and len(every) == 1:
        return every[0]
    if args.step is None:
        steps = ", ".join(one.step_id for one in every) or "none"
        raise NotAllowed(f"Name the step. Those to answer there: {steps}.")
    wanted = args.step.casefold()
    steps_named = [
        step.id
        for stage in record.stages
        for step in stage.steps
        if wanted in (step.id.casefold(), step.name.casefold())
    ]
    return cut_of_step(record, Spot(beam.row, key), steps_named[0] if steps_named else args.step)


def scribe_cut(desk: Desk, args: Namespace, now: datetime) -> str:
    """List how each side is cut to its scribe line, or choose it for one side; return the text to
    print. Raises `BadInput` and `NotAllowed`."""
    id_, machine = desk.find(args.job), desk.shop.shop().machine
    if args.way is None:
        return _ways_listed(id_, desk.open(id_, writing=False).record, args, machine)
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


def _ways_listed(id_: str, record: Record, args: Namespace, machine: ShopMachine) -> str:
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
    return in_lines(*(lines or ["None of its sides is scribed."]))


def _lines(record: Record, beam: Beam, piece: Piece, machine: ShopMachine) -> list[str]:
    cut = scribe_cut_known(beam, piece, machine, record.job.step)
    name = f"{plain(beam.label)} {piece.name}"
    if cut is None:
        return [f"{name}: measure the ceiling first; it decides how to cut"]
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
