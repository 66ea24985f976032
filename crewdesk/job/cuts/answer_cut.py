"""Answers to a cut whose figures changed since it was made (see `changed_cuts`)."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams.beam import Beam, section_to_doc
from crewdesk.job.beams.forms import USUAL, form_of
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.beams.readings import edit_pair
from crewdesk.job.change import ABSENT, Change, Edit, edit
from crewdesk.job.cuts.as_cut import (
    all_sources,
    as_it_was,
    cuts,
    figures_read,
    settings_of,
)
from crewdesk.job.cuts.as_set import CLEAT_RULE, OWN_LENGTH, SECTION, SETTINGS
from crewdesk.job.cuts.changed_cut import TOOLS, ChangedCut
from crewdesk.job.cuts.changed_cuts import changed_cuts, held_cuts, speaks_of
from crewdesk.job.cuts.cut_figures import READINGS, KeptCut
from crewdesk.job.cuts.open_cuts import cut_of_step
from crewdesk.job.cuts.step_figures import OVER_BEAM, taken_of
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.stages import Stages
from crewdesk.job.text_limits import checked_note


def keep_cut(record: Record, spot: Spot, step_id: str, reason: str, now: datetime) -> Change:
    """Return the change that keeps a cut as it is, with a reason that every sheet shows.

    It is valid for today's figures; a further change asks again.
    """
    cut, given = cut_of_step(record, spot, step_id), checked_note(reason)
    if not given:
        raise NotAllowed("Give a reason in a few words to keep a cut. Nothing was changed.")
    if cut.clash:
        raise NotAllowed(f"{cut.told} Nothing was changed.")
    name = record.stages.step(step_id).name
    edits = keeping(record, cut, given, now)
    return Change(f"kept '{name}' on {cut.where} as cut", edits, now)


def keeping(record: Record, cut: ChangedCut, reason: str, now: datetime) -> tuple[Edit, ...]:
    """Return the edits that keep a cut. For an old check-off they save its figures too, so that
    they don't depend on the history."""
    at = ("beams", cut.spot.beam, "pieces", cut.spot.piece, "steps", cut.step_id)
    beam = record.beam(cut.spot.beam)
    settings = settings_of(record.tables, beam, beam.piece(cut.spot.piece))
    answer = KeptCut(reason, now, cut.today, section_to_doc(beam.section), settings)
    kept = edit(record.tables, (*at, "kept"), answer.to_doc())
    if cut.mark.cut is not None:
        return (kept,)
    return (kept, edit(record.tables, (*at, "cut"), cut.cut.to_doc()))


def cut_again(
    record: Record, spot: Spot, step_id: str, now: datetime, *, new_board: bool = False
) -> Change:
    """Return the change that reopens a cut, with every later step that depends on it.

    With `new_board` all steps of that piece reopen. Steps on other pieces that were skipped,
    blocked or done early stay. Marks of a board that stays are kept in its piece's `before`.
    """
    cut, stages, beam = cut_of_step(record, spot, step_id), record.stages, record.beam(spot.beam)
    first = step_id
    if new_board:
        piece = beam.piece(spot.piece)
        first = next(
            one.id for one in stages.steps_of(piece.kind, piece.traits) if one.id in piece.steps
        )
    opened = _opened(stages, beam, spot.piece, first)
    edits = (
        *(
            edit(record.tables, ("beams", spot.beam, "pieces", key, "steps", id_), ABSENT)
            for key, id_ in opened
        ),
        *_before(record, beam, opened, spot.piece if new_board else ""),
    )
    more = len(opened) - 1
    also = f", with {more} step{'' if more == 1 else 's'} that rest on it" if more else ""
    also = also.replace("step that rest on", "step that rests on")
    return Change(f"opened '{stages.step(first).name}' on {cut.where} again{also}", edits, now)


def steps_opened(change: Change) -> int:
    """Return how many steps a change reopens."""
    return sum(one.at[4] == "steps" for one in change.edits)


def board_before(record: Record, spot: Spot, step_id: str) -> tuple[Edit, ...]:
    """Return the edits that keep a step's mark on a board that differs from today's figures; none
    if it doesn't differ, or the step isn't done. A cut to the scribe line always counts, since the
    other side hangs level with its edge."""
    beam = record.beam(spot.beam)
    mark = beam.piece(spot.piece).steps.get(step_id)
    if mark is None or mark.state != "done":
        return ()
    if step_id != "cut-scribe" and not any(
        one.spot == spot and (one.held or one.kept) for one in changed_cuts(beam)
    ):
        return ()
    return tuple(_before(record, beam, [(spot.piece, step_id)], ""))


def _before(record: Record, beam: Beam, opened: list[tuple[str, str]], new: str) -> Iterator[Edit]:
    """Yield the edits that keep the marks of each board whose steps are `opened`; the piece `new`
    gets a new board without marks."""
    for key in dict.fromkeys(key for key, _ in opened):
        piece = beam.pieces[key]
        at = ("beams", beam.row, "pieces", key, "before")
        if key == new:
            if piece.before:
                yield edit(record.tables, at, ABSENT)
            continue
        found = dict(piece.before)
        for _, id_ in (one for one in opened if one[0] == key):
            mark = piece.steps[id_]
            cut = as_it_was(beam, piece, id_, mark) if cuts(id_, piece) else None
            found[id_] = mark._replace(cut=cut, kept=None)
        yield edit(record.tables, at, {id_: mark.to_doc() for id_, mark in found.items()})


def _opened(stages: Stages, beam: Beam, key: str, step_id: str) -> list[tuple[str, str]]:
    """Return the done steps that reopen together with one of them: (piece, step), that one
    first."""
    opened: list[tuple[str, str]] = []
    todo = [(key, step_id)]
    while todo:
        at, first = todo.pop(0)
        for one in _from(stages, beam.pieces[at], first):
            if (at, one) in opened:
                continue
            opened.append((at, one))
            todo += [
                (piece.key, other)
                for piece, other in _needing(stages, beam, beam.pieces[at], one)
                if (piece.key, other) not in opened
            ]
    return opened


def _from(stages: Stages, piece: Piece, step_id: str) -> list[str]:
    """Return the done steps of a piece from one on, in order of work."""
    ids = [one.id for one in stages.steps_of(piece.kind, piece.traits)]
    return [
        id_
        for id_ in ids[ids.index(step_id) :]
        if (mark := piece.steps.get(id_)) is not None and mark.state == "done"
    ]


def _needing(stages: Stages, beam: Beam, of: Piece, step_id: str) -> Iterator[tuple[Piece, str]]:
    """Return the done steps of other pieces that need a step of this one."""
    for piece in beam.pieces.values():
        if piece.key == of.key:
            continue
        for step in stages.steps_of(piece.kind, piece.traits):
            mark = piece.steps.get(step.id)
            if mark is None or mark.state != "done" or mark.override:
                continue
            if any(need.step == step_id and speaks_of(need, piece, of) for need in step.needs):
                yield piece, step.id


def board_told(record: Record, spot: Spot) -> str:
    """Return what to do about the board of a piece that is cut again; "" if no plan has one."""
    if not any((spot.beam, spot.piece) in _on(board) for board in record.boards):
        return "If the board is ruined, plan another one into the takeoff."
    rows = [one.row for one in record.boards if (spot.beam, spot.piece) in _on(one)]
    names = " and ".join(rows)
    boards = f"board {names} of the plan" if len(rows) == 1 else f"boards {names} of the plan"
    return (
        f"It comes from {boards}. If that board is ruined, mark it ruined under "
        "Material (takeoff --spoiled), and the rest is planned again."
    )


def _on(board: Any) -> set[tuple[str, str]]:
    return {(one.beam, one.piece) for one in board.pieces}


def take_back(record: Record, spot: Spot, step_id: str, now: datetime) -> Change:
    """Return the change that restores what a cut was made from. It removes readings taken since,
    and restores the section, the beam's settings and the cleats' width as far as they affect the
    cut.

    Raises `NotAllowed` if that can't be done.
    """
    cut = cut_of_step(record, spot, step_id)
    beam = record.beam(spot.beam)
    edits, what = [], []
    if read := _readings_back(record, beam, cut):
        edits += read
        what.append("readings")
    for name, one in _settings_back(record, beam, cut):
        edits.append(one)
        what.append(name)
    if not edits:
        if TOOLS in cut.causes:
            raise NotAllowed(
                "The scribing tools are set in Business settings, for every job. "
                "Change them back there, or keep the cut, or cut it again. Nothing was "
                "changed."
            )
        _check_same_type(beam, cut)
        raise NotAllowed(
            f"Nothing that {cut.where} was cut by can be put back. Keep the cut or cut it again."
        )
    change = Change(_put_back(what, cut.where, beam.label), tuple(edits), now)
    _check_put_back(record, beam, cut, change)
    return change


def _put_back(what: Sequence[str], piece: str, beam: str) -> str:
    """Return what is restored, each with its owner: the piece, its beam or the job."""
    whose = {SECTION: beam, SETTINGS: beam, CLEAT_RULE: "the job"}
    by: dict[str, list[str]] = {}
    for name in dict.fromkeys(what):
        by.setdefault(whose.get(name, piece), []).append(name)
    names = " and ".join(f"the {' and '.join(some)} of {one}" for one, some in by.items())
    return f"put {names} back to what {'it' if set(by) == {piece} else piece} was cut by"


def can_take_back(record: Record, cut: ChangedCut, now: datetime) -> bool:
    """Return whether `take_back` can restore what a cut was made from."""
    try:
        take_back(record, cut.spot, cut.step_id, now)
    except CrewdeskError:
        return False
    return True


def _check_put_back(record: Record, beam: Beam, cut: ChangedCut, change: Change) -> None:
    """Raise `NotAllowed` if the cut would still need an answer afterwards."""
    if _is_put_back(record, cut, change):
        return
    _check_same_type(beam, cut)
    raise NotAllowed(
        f"Not everything {cut.where} was cut by can be put back. Keep the cut or cut it "
        "again. Nothing was changed."
    )


def _check_same_type(beam: Beam, cut: ChangedCut) -> None:
    """Raise `NotAllowed` if a board was cut for another type of beam."""
    was = form_of(cut.cut.settings.get("form", USUAL))
    if cut.cut.source != READINGS and was.id != beam.form.id:
        raise NotAllowed(
            f"{cut.where} was cut for another beam type: {was.name}. To get that back, "
            f"edit {beam.label} and choose that type again. Or keep the cut, or cut it "
            "again. Nothing was changed."
        )


def _is_put_back(record: Record, cut: ChangedCut, change: Change) -> bool:
    """Return whether a cut needs no answer after a change, which is only tried."""
    return not any(
        (one.spot, one.step_id) == (cut.spot, cut.step_id)
        for one in held_cuts(_tried(record, change).beam(cut.spot.beam))
    )


def _tried(record: Record, change: Change) -> Record:
    """Return a copy of the record with a change made."""
    tried = Record({table: dict(rows) for table, rows in record.tables.items()})
    tried.ask_crew, tried.history = record.ask_crew, record.history
    tried.ask_begun = record.ask_begun
    tried.make(change)
    return tried


def _readings_back(record: Record, beam: Beam, cut: ChangedCut) -> list[Edit]:
    piece, edits = beam.piece(cut.spot.piece), []
    over: dict[str, list[Any]] = {}
    for source in all_sources(beam, piece, cut.step_id):
        taken = taken_of(beam, source)
        kept = [one.to_doc() for one in taken if one.when <= cut.mark.when]
        then = cut.cut.readings.get(source.name(piece))
        docs = [figures_read(one) for one in taken]
        if then is not None and then in docs:
            last = len(docs) - docs[::-1].index(then)
            kept = [one.to_doc() for one in taken[:last]]
        if len(kept) == len(taken):
            continue
        if source.piece == OVER_BEAM:
            over[source.what] = kept
        else:
            at = ("beams", beam.row, "pieces", source.piece, "readings", source.what)
            edits.append(edit(record.tables, at, kept or ABSENT))
    return [*edits, *([edit_pair(record.tables, beam.row, over)] if over else [])]


def _settings_back(record: Record, beam: Beam, cut: ChangedCut) -> Iterator[tuple[str, Edit]]:
    """Restore each setting that affects what the cut would be today."""
    row: Mapping[str, Any] = record.tables["beams"][beam.row]
    section = {one.name: one.then for one in cut.settings if one.of == SECTION}
    if section:
        at = ("beams", beam.row, "section")
        yield SECTION, edit(record.tables, at, {**row["section"], **section})
    for one in cut.settings:
        after = ABSENT if one.then is None else one.then
        if one.of == SETTINGS:
            yield SETTINGS, edit(record.tables, ("beams", beam.row, one.name), after)
        elif one.of == OWN_LENGTH:
            own = ("beams", beam.row, "pieces", cut.spot.piece, "own_cut")
            yield OWN_LENGTH, edit(record.tables, own, after)
        elif one.of == CLEAT_RULE:
            rules = {**record.tables["job"][JOB_ROW].get("cutting", {}), "cleat": one.then}
            yield CLEAT_RULE, edit(record.tables, ("job", JOB_ROW, "cutting"), rules)
