"""What a sound record is, told by one function: `faults` says all that is wrong with one.

It goes by what DEVELOPERS.md promises of a job's file and by the rules of the work, and
looks at the whole of it: rows, references, marks, times, JSON, and the history, which is
made again from nothing. A `Replay` keeps how far it came, so that the record can be looked
at after every single thing that a user does.
"""

import json
from collections.abc import Callable, Iterator
from copy import deepcopy
from datetime import datetime
from itertools import pairwise

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change, Tables, put, rows_after
from crewdesk.job.record import Record
from crewdesk.job.rows import Rows
from crewdesk.job.steps.gates import closed
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.sync.exchange import from_document, to_document


class Replay:
    """A history made again from nothing, change by change."""

    def __init__(self, of: Callable[[Tables], Rows]) -> None:
        self.of = of
        self.tables: Tables = {}
        self.number = 0
        self.made: list[int] = []
        self.taken: list[int] = []

    def follow(self, history: list[Change]) -> Iterator[str]:
        """Make the changes that are new; gives what is wrong with them."""
        for change in history[self.number :]:
            self.number += 1
            if self.of is Record and change.undoes is None and change.redoes is None:
                yield from _early_ticks(self.tables, change, self.number)
            yield from self._undo_told(change)
            try:
                put(self.tables, rows_after(self.tables, change))
            except CrewdeskError as refused:
                yield f"change {self.number} does not follow: {refused}"
                return

    def _undo_told(self, change: Change) -> Iterator[str]:
        """What stands is undone, what was undone last is made again."""
        if change.undoes is not None:
            if change.undoes in self.made:
                self.made.remove(change.undoes)
            else:
                yield f"change {self.number} undoes {change.undoes}, which does not stand"
            self.taken.append(change.undoes)
        elif change.redoes is not None:
            if not self.taken or self.taken.pop() != change.redoes:
                yield f"change {self.number} redoes {change.redoes}, which was not undone last"
            self.made.append(change.redoes)
        else:
            self.made.append(self.number)
            self.taken.clear()


def faults(
    tables: Tables,
    history: list[Change],
    now: datetime,
    replay: Replay | None = None,
) -> list[str]:
    """All that is wrong with a job's record; none is well."""
    record, found = Record(deepcopy(tables)), []
    try:
        record.check_all()
    except CrewdeskError as refused:
        return [f"a row makes no sense: {refused!s}"]
    found += _same_in_json(tables)
    found += _same_from_history(tables, history, replay or Replay(Record))
    found += _references(record)
    found += _marks(record)
    found += _times(record, history, now)
    return found


def shop_faults(of: Callable[[Tables], Rows], tables: Tables, history: list[Change]) -> list[str]:
    """All that is wrong with the shop's record; none is well."""
    record = of(deepcopy(tables))
    try:
        of({}).check(deepcopy(tables))
    except CrewdeskError as refused:
        return [f"a row of the shop makes no sense: {refused!s}"]
    found = [*_same_in_json(tables), *_same_from_history(tables, history, Replay(of))]
    first = record.shop.first_number
    numbers = [one.number for one in record.trail]
    if numbers != list(range(first, first + len(numbers))):
        found.append(f"documents are numbered {numbers}")
    invoices = {one.number for one in record.trail if hasattr(one, "draft")}
    credited = {one.of for one in record.trail if hasattr(one, "of")}
    paid = {one.invoice for one in record.payments}
    paid |= {one.source for one in record.payments if one.source is not None}
    if lost := (credited | paid) - invoices:
        found.append(f"money stands on {lost}, which are no invoices")
    return found


def exchanged(tables: Tables, history: list[Change]) -> list[str]:
    """What is wrong with a record that was given out and taken in again."""
    document = json.loads(json.dumps(to_document(tables, history)))
    try:
        back, told = from_document(document)
    except CrewdeskError as refused:
        return [f"what was given out is not taken in again: {refused!s}"]
    found = [] if _full(back) == _full(tables) else ["taken in again it is another"]
    return found if told == history else [*found, "taken in again its history is another"]


def _same_in_json(tables: Tables) -> Iterator[str]:
    if json.loads(json.dumps(tables)) != tables:
        yield "it is another once it went through JSON"


def _same_from_history(tables: Tables, history: list[Change], replay: Replay) -> Iterator[str]:
    yield from replay.follow(history)
    if _full(replay.tables) != _full(tables):
        yield "its history leads elsewhere"


def _full(tables: Tables) -> Tables:
    return {name: rows for name, rows in tables.items() if rows}


def _early_ticks(tables: Tables, change: Change, number: int) -> Iterator[str]:
    """Ticks of a change whose gate was not open before it, and no reason passed it."""
    ticked = [
        one
        for one in change.edits
        if len(one.at) == 6 and one.at[0] == "beams" and one.at[4] == "steps"
    ]
    if not ticked:
        return
    record = Record(tables)
    for one in ticked:
        _, row, _, key, _, step_id = one.at
        if not isinstance(one.after, dict) or one.after["state"] != "done":
            continue
        beam, step = record.beam(row), record.stages.step(step_id)
        gate = closed(record.stages, beam, beam.piece(key), step)
        if bool(gate) != bool(one.after.get("override")):
            yield f"change {number} ticked {one.at} where the gate says {gate}"


def _references(record: Record) -> Iterator[str]:
    """What speaks of another row speaks of one that is there, or was taken out since."""
    for entry in record.entries:
        if entry.order and entry.order not in record.tables.get("orders", {}):
            yield f"entry {entry.row} is of change order {entry.order}, which is not there"
    for stage in record.stages:
        for step in stage.steps:
            for need in step.needs:
                if need.step and not record.stages.has(need.step):
                    yield f"step {step.id} needs {need.step}, which is not there"
    for board in record.boards:
        for cut in board.pieces:
            if not 0 <= cut.start <= cut.end <= board.length:
                yield f"board {board.row} has a piece over its end"
    days = [one.day for one in record.job.planned]
    if days != sorted(set(days)):
        yield f"planned days are {days}"


def _marks(record: Record) -> Iterator[str]:
    """No piece is farther than its stages go, none has a reading that is not its own."""
    sheet = RunSheet(record)
    for beam in record.beams:
        if set(beam.pieces) != set(beam.form.pieces):
            yield f"{beam.label} has {sorted(beam.pieces)} and its form {sorted(beam.form.pieces)}"
        for key, cells in sheet.cells(beam).items():
            if len(cells) != len(record.stages.stages):
                yield f"{beam.label} {key} has {len(cells)} cells"
            for cell in cells:
                if not 0 <= cell.behind <= cell.steps:
                    yield f"{beam.label} {key} is behind {cell.behind} of {cell.steps} steps"
    total, parts = sheet.total(), sheet.totals()
    if total.behind != sum(p.behind for p in parts) or not 0 <= total.behind <= total.steps:
        yield f"{total.behind} of {total.steps} steps are behind"


def _times(record: Record, history: list[Change], now: datetime) -> Iterator[str]:
    running = [one for one in record.entries if one.running]
    if len(running) > 1:
        yield "two clocks run"
    for entry in record.entries:
        if entry.start > now or (entry.stop or entry.start) > now:
            yield f"entry {entry.row} lies in the future"
        if entry.stop is not None and entry.stop < entry.start:
            yield f"entry {entry.row} stops before it starts"
    for beam in record.beams:
        for piece in beam.pieces.values():
            whens = [mark.when for mark in piece.steps.values()]
            whens += [one.when for taken in piece.readings.values() for one in taken]
            if any(when > now for when in whens):
                yield f"{beam.label} {piece.name} was worked on in the future"
    whens = [change.when for change in history]
    if any(later < before for before, later in pairwise(whens)):
        yield "the history goes back in time"
    if whens and whens[-1] > now:
        yield "the history goes into the future"
