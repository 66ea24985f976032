"""Mark a plan's boards as bought, cut or ruined, and change how a job's boards are cut."""

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.lumber.cutting_rules import ALL, INCHES, CuttingRules
from crewdesk.job.lumber.stock_list import typed_bad
from crewdesk.job.lumber.takeoff import Board
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.text_limits import brief
from crewdesk.length import show_length
from crewdesk.trade.read_length import read_length

_NUMBERS = re.compile(r"(\d{1,4})(?: ?- ?(\d{1,4}))?")


def may_buy(board: Board) -> bool:
    """Return whether it can be marked bought or not: it is neither cut nor ruined nor on hand."""
    return board.state in ("to buy", "bought") and not board.hand


def may_cut(board: Board) -> bool:
    """Return whether it can be marked cut or not: it has pieces to cut."""
    return board.state != "spoiled" and bool(board.pieces or board.cleats)


def tick_bought(record: Record, rows: Iterable[str], now: datetime) -> Change:
    """Return the change that marks boards as bought, or if all are already, as not bought.

    Raises `NotAllowed` if one is cut or ruined, or was on hand.
    """
    boards = [record.board(row) for row in rows]
    if not boards:
        raise NotAllowed("There is no board to check off here.")
    for one in boards:
        if not may_buy(one):
            was = "was on hand already" if one.hand else f"is {one.state} already"
            raise NotAllowed(f"Board {one.row} {was}. Nothing was changed.")
    back = all(one.state == "bought" for one in boards)
    new = "to buy" if back else "bought"
    edits = [_state(record, one, new) for one in boards if one.state != new]
    noted = f"marked {_told(boards)} as {('not bought' if back else 'bought')}"
    return Change(noted, tuple(edits), now)


def tick_cut(record: Record, rows: Iterable[str], now: datetime) -> Change:
    """Return the change that marks boards as cut, or if all are already, as not cut.

    Raises `NotAllowed` if one is ruined, or has nothing to cut from it.
    """
    boards = [record.board(row) for row in rows]
    if not boards:
        raise NotAllowed("There is no board to check off here.")
    for one in boards:
        if one.state == "spoiled":
            raise NotAllowed(f"Board {one.row} is ruined. Nothing was changed.")
        if not may_cut(one):
            raise NotAllowed(f"There is nothing to cut from board {one.row}. Nothing was changed.")
    back = all(one.state == "cut" for one in boards)
    new = "bought" if back else "cut"
    edits = tuple(_state(record, one, new) for one in boards if one.state != new)
    return Change(f"marked {_told(boards)} as {('not cut' if back else 'cut')}", edits, now)


def rows_named(
    record: Record, text: str, may: Callable[[Board], bool] = lambda board: True
) -> tuple[str, ...]:
    """Return the numbers of the boards that a text names, such as ``1,3-5``, or with ``all`` those
    that `may` be named; raises `NotAllowed`."""
    if not record.boards:
        raise NotAllowed("This job has no saved plan of boards. Save one first.")
    if text.strip().lower() == "all":
        return tuple(one.row for one in record.boards if may(one))
    rows: list[str] = []
    for part in text.split(","):
        found = _NUMBERS.fullmatch(part.strip())
        if found is None:
            raise NotAllowed(
                f"{brief(text)} isn't a list of boards. Type their numbers, for example "
                "1,3-5 or all."
            )
        first, last = int(found[1]), int(found[2] or found[1])
        rows += [record.board(str(row)).row for row in range(first, last + 1)]
    return tuple(dict.fromkeys(rows))


def spoil(record: Record, row: str, bad: str, now: datetime) -> Change:
    """Return the change that marks a board as ruined: all of it, or defects as typed.

    Its pieces without a board are planned again around the cuts. The pieces of a cut board are lost
    with it. Raises `NotAllowed` or `BadInput`.
    """
    board = record.board(row)
    if board.state == "spoiled":
        raise NotAllowed(f"Board {row} is marked ruined already. Nothing was changed.")
    if board.state == "to buy":
        raise NotAllowed(
            f"Board {row} hasn't been bought. Mark it bought first. Nothing was changed."
        )
    at = ("boards", row)
    if not bad.strip():
        after = board._replace(state="spoiled", pieces=(), cleats=())
        text = f"marked board {row} as ruined"
    else:
        if board.state == "cut":
            raise NotAllowed(
                f"Board {row} is cut, so a defect can't be cut around. Mark it ruined "
                "whole, or undo the cut first."
            )
        stretches = (*board.bad, *typed_bad(bad, board.length))
        after = board._replace(bad=stretches, pieces=(), cleats=(), state="bought")
        text = f"marked a defect in board {row}"
    return Change(text, (edit(record.tables, at, after.to_doc()),), now)


def cuts_taken_back(change: Change) -> str:
    """Return a sentence about cut or ruined boards that a change resets or removes from the plan,
    "" if none: the real wood stays as it is."""
    uncut, gone, good = [], [], []
    for one in change.edits:
        if one.at[0] != "boards" or len(one.at) != 2:
            continue
        before, after = _state_of(one.before), _state_of(one.after)
        if before == "spoiled" and after in ("to buy", "bought"):
            good.append(one.at[1])
        if before == "cut":
            if after is None:
                gone.append(one.at[1])
            elif after != "cut":
                uncut.append(one.at[1])
    parts = []
    if uncut:
        parts.append(f"Marked as cut since then and now as not cut: board {_listed(uncut)}.")
    if gone:
        parts.append(f"Marked as cut since then and no longer in the plan: board {_listed(gone)}.")
    if good:
        parts.append(f"Marked as ruined since then and now as good: board {_listed(good)}.")
    if uncut or gone:
        parts.append("Mark again what is really cut, with --cut or on the Material page.")
    return " ".join(parts)


def _state_of(doc: Any) -> Any:
    return doc.get("state") if isinstance(doc, dict) else None


def _listed(rows: Iterable[str]) -> str:
    return ", ".join(sorted(rows, key=int))


def _told(boards: list[Board]) -> str:
    return f"{len(boards)} boards" if len(boards) > 1 else f"board {boards[0].row}"


def _state(record: Record, board: Board, state: str) -> Any:
    return edit(record.tables, ("boards", board.row, "state"), state)


def rules_shown(record: Record) -> dict[str, str]:
    """Return every rule of a job, as typed."""
    rules = record.job.cutting
    text = rules._asdict()
    labels = [
        ALL if row == ALL else record.beam(row).label
        for row in rules.match
        if row == ALL or row in record.tables.get("beams", {})
    ]
    return {
        key: show_length(value)
        if isinstance(value, Fraction)
        else ", ".join(labels)
        if key == "match"
        else str(value)
        for key, value in text.items()
    }


def change_rules(record: Record, typed: Mapping[str, str], now: datetime) -> Change:
    """Return the change that sets a job's rules, as typed; raises `NotAllowed` or `BadInput`."""
    new: Doc = dict(record.tables["job"][ONLY_ROW].get("cutting", {}))
    known = CuttingRules.by_key()
    for key, text in typed.items():
        if key not in known:
            raise NotAllowed(f"Cutting has no rule {brief(key)}; it has {', '.join(known)}.")
        rule, value = known[key], text.strip()
        if rule.kind.about == INCHES:
            value = str(read_length(value))
        read = rule.read(_beams(record, text) if key == "match" else value)
        if read == rule.default:
            new.pop(key, None)
        else:
            new[key] = rule.kind.write(read)
    at = ("job", ONLY_ROW, "cutting")
    put = edit(record.tables, at, new)
    if CuttingRules.from_doc(new) == record.job.cutting:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    return Change("changed how boards are cut", (put,), now)


def _beams(record: Record, text: str) -> list[str]:
    """Return the rows of the beams that a comma-separated text names."""
    from crewdesk.job.beams.beams import find_beam

    named = [" ".join(part.split()) for part in text.split(",") if part.strip()]
    if [one.casefold() for one in named] in ([], ["none"]):
        return []
    if ALL in (one.casefold() for one in named):
        return [ALL]
    return list(dict.fromkeys(find_beam(record, one).row for one in named))
