"""The commands about the record's safety: undo, check, restore, settle, held."""

from argparse import Namespace
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from typing import Any

from crewdesk.commands.backup import backup, restore_from
from crewdesk.commands.book_words import BOOKS, LISTS
from crewdesk.commands.cuts import contradictions_listed, cuts_changed, held, how_to_answer
from crewdesk.commands.streams import in_json, in_lines, put_beside, put_out
from crewdesk.commands.version import version_text
from crewdesk.commands.words import BOARDS, TRUST
from crewdesk.errors import BadInput, CrewdeskError, Damaged, NotAllowed
from crewdesk.job.change import Change
from crewdesk.job.cuts.open_cuts import open_keys
from crewdesk.job.rows import Rows
from crewdesk.job.sync.conflicts import Unsettled, compared, leave, put_in, unsettled
from crewdesk.job.sync.contradictions import CameIn
from crewdesk.job.time.today import today
from crewdesk.paper.plain import plain
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check, would_come_in
from crewdesk.store.job_file import JobFile
from crewdesk.store.recovery import Copy
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.read_time import Moment, read_time

FOUND = 1


def run(desk: Desk, args: Namespace, now: datetime) -> int:
    """Run a command; return the exit status. Raises `NotAllowed`, `BadInput`."""
    acts = {
        "undo": _undo,
        "backup": backup,
        "check": _check,
        "restore": _restore,
        "settle": _settle,
        "held": held,
    }
    return acts[args.command](desk, args, now)


def _undo(desk: Desk, args: Namespace, now: datetime) -> int:
    text = ""
    if args.job is None:
        change = desk.shop.redo(now) if args.redo else desk.shop.undo(now)
        where = "In your business"
    else:
        job = desk.open(desk.find(args.job))
        try:
            job.writable()
            before = open_keys(job.record)
            if not args.redo:
                _not_just_come_in(job)
            change = job.redo(now) if args.redo else job.undo(now)
            where = f"In {job.record.job.name}"
            text = cuts_changed(job, before)
        finally:
            job.close(now)
    put_out(
        f"{plain(where)}, {('redone' if args.redo else 'undone')}: {plain(change.what)}.\n{text}"
    )
    return 0


def _not_just_come_in(job: JobFile) -> None:
    """Raise `NotAllowed` if undo would undo another machine's change that only this command has
    just merged."""
    change = job.to_undo()
    if change is not None and change in job.came:
        raise NotAllowed(
            f"The last change in {job.record.job.name} was made on another computer and "
            f"has just come in: {change.what}. Nothing was undone. To undo that change, "
            "undo again."
        )


def _check(desk: Desk, args: Namespace, _now: datetime) -> int:
    found = list(check(desk))
    wrong = sum(not one.sound for one in found)
    if args.json:
        files = [
            {
                "file": str(one.path.relative_to(desk.folder)),
                "sound": one.sound,
                "told": one.told,
                "notes": list(one.notes),
            }
            for one in found
        ]
        put_out(in_json({"version": version_text(), "files": files, "wrong": wrong}))
    else:
        lines = [
            line
            for one in found
            for line in (
                f"{'sound' if one.sound else 'WRONG'}  "
                f"{plain(str(one.path.relative_to(desk.folder)))}: {plain(one.told)}",
                *(f"note     {plain(note)}" for note in one.notes),
            )
        ]
        count = f"{len(found)} file{'' if len(found) == 1 else 's'}"
        lines.append(f"{count}, {(f'{wrong} damaged' if wrong else 'all sound')}.")
        lines.append(version_text())
        put_out("\n".join(lines) + "\n")
    return FOUND if wrong else 0


def _restore(desk: Desk, args: Namespace, now: datetime) -> int:
    if args.missing and args.backup is None:
        raise NotAllowed("Name the backup as well: --from FOLDER.")
    if args.backup is not None:
        return restore_from(desk, args, now)
    if args.job is None:
        if args.to is not None:
            raise NotAllowed("Only a job can be returned to an earlier time. Name it.")
        put_out(_brought("your business", desk.shop.bring_back(now), now))
        return 0
    id_ = desk.find(args.job)
    to = _when(args.to, now) if args.to is not None else None
    try:
        desk.open(id_, writing=False)
        damaged = False
    except Damaged:
        damaged = True
    if not damaged and to is None:
        raise NotAllowed(
            f"{id_} can be read, so there is nothing to recover. Use --to WHEN to "
            "return it to an earlier time."
        )
    if damaged:
        copy = desk.bring_back(id_, now, choose=_by(to))
        put_out(_brought(id_, copy, now) + contradictions_listed(desk.open(id_, writing=False)))
        if to is None or copy.until <= to:
            return 0
    assert to is not None
    from crewdesk.job.lumber.boards import cuts_taken_back

    change = desk.go_back(id_, to, now)
    put_out(
        f"{id_}: {change.what}. This can be undone like any other "
        f"change.\n{contradictions_listed(desk.open(id_, writing=False))}"
    )
    if uncut := cuts_taken_back(change):
        put_out(f"{uncut}\n")
    return 0


def _brought(what: str, copy: Copy, now: datetime) -> str:
    return (
        f"Recovered {what} as it was {copy.told(now.tzinfo)}, after {copy.changes} "
        f"change{('' if copy.changes == 1 else 's')}. The damaged file is kept beside "
        "it.\n"
    )


def _by(to: datetime | None) -> Callable[[tuple[Copy, ...]], Copy]:
    """Return the chooser of a copy: the least loss; for a time, one whose history leads back to it,
    else the latest before it."""

    def choose(every: tuple[Copy, ...]) -> Copy:
        if to is None or not every[0].lost_history:
            return every[0]
        before = [one for one in every if one.until <= to]
        return max(before, key=lambda one: one.until, default=every[0])

    return choose


def _when(text: str, now: datetime) -> datetime:
    """Return a typed time, or the end of a day; raises `NotAllowed` or `BadInput`."""
    zone = now.tzinfo or UTC
    try:
        found = read_time(text, now, zone)
    except BadInput:
        return datetime.combine(
            read_day(text, today(now, zone)) + timedelta(days=1), time(), zone
        ) - timedelta(seconds=1)
    if not isinstance(found, Moment):
        raise NotAllowed("Type one time, for example '2026-03-02 14:00', 'yesterday 2pm' or a day.")
    return found.at


def _settle(desk: Desk, args: Namespace, now: datetime) -> int:
    alone = args.job is not None and args.number is None and args.job.isdecimal()
    if alone and args.job not in desk.ids():  # a number alone is an invoice's
        args.job, args.number = None, int(args.job)
    if args.number is None and args.keep is not None:
        raise NotAllowed("Type its number, for example `crewdesk settle JOB 1 --keep other`.")
    if args.job is None:
        books = desk.shop.record()
        one = _chosen(books, args.number)
        if args.keep is None:
            return _show(books, one, now, args.json)
        settled = desk.shop.make(lambda record, at: _settled(record, one, args.keep, at), now)
        text = ""
    else:
        id_ = desk.find(args.job)
        if args.keep is None:
            record = desk.open(id_, writing=False).record
            return _show(record, _chosen(record, args.number), now, args.json)
        job = desk.open(id_)
        try:
            before = open_keys(job.record)
            settled = _settled(job.record, _chosen(job.record, args.number), args.keep, now)
            job.make(settled)
            text = cuts_changed(job, before)
        finally:
            job.close(now)
    put_out(f"Saved: {plain(settled.what)}.\n{text}")
    return 0


def _chosen(record: Rows, number: int | None) -> Unsettled | None:
    every = unsettled(record)
    if number is None:
        return None
    if not 1 <= number <= len(every):
        raise NotAllowed(
            f"There is no number {number} in the list of what was changed in two "
            f"places; it has {len(every)}."
        )
    return every[number - 1]


def _settled(record: Rows, one: Unsettled | None, keep: str, now: datetime) -> Change:
    assert one is not None
    if keep != "other":
        return leave(record, one.row, now)
    try:
        return put_in(record, one.row, now)
    except CrewdeskError as refused:
        raise NotAllowed(
            f"{refused} To keep the current value and drop the other, use `--keep standing`."
        ) from None


def _show(record: Rows, chosen: Unsettled | None, now: datetime, as_json: bool) -> int:
    every = unsettled(record)
    values: list[dict[str, Any]] = []
    lines: list[str] = []
    for number, one in enumerate(every, 1):
        if chosen is not None and one != chosen:
            continue
        places = compared(record, one)
        values.append(
            {
                "number": number,
                "stands": one.against,
                "other": one.what,
                "when": one.when.isoformat(),
                "places": [{"place": p, "stands": s, "other": o} for p, s, o in places],
            }
        )
        lines += [
            f"{number}. stands: {plain(one.against)}",
            f"   other:  {plain(one.what)}, at {one.when.astimezone(now.tzinfo):%Y-%m-%d %H:%M}",
        ]
        for place, stands, other in places:
            lines.append(f"   {plain(place)}: now {plain(stands)}; other {plain(other)}")
    if as_json:
        put_out(in_json({"unsettled": values}))
    else:
        put_out("\n".join(lines or ["Nothing was changed in two places."]) + "\n")
    return 0


def say_arrived(desk: Desk, args: Namespace) -> None:
    """Print what came from elsewhere during a command and its effects on made cuts, also for
    commands that only read. It goes to stderr if a program reads the output."""
    lines: list[str] = []
    for id_, came in desk.arrived:
        lines += came_lines(id_, came)
    if named := getattr(args, "job", None):
        for id_, came in would_come_in(desk, named):
            lines.append(
                f"{id_}: another computer changed it. The change is shown here and "
                "merged at the next save."
            )
            lines += came_lines(id_, came)
    desk.arrived.clear()
    if args.command in {
        *BOARDS,
        *BOOKS,
        *LISTS,
        *TRUST,
    }:  # those that may change the business's record
        lines += desk.shop_news
    read = any(getattr(args, way, None) for way in ("json", "csv", "ics"))
    whole = args.command == "export" and args.to is None
    if lines:
        (put_beside if read or whole else put_out)(in_lines(*lines))


def came_lines(id_: str, came: CameIn) -> list[str]:
    """Return the changes that came into a job, as lines to print."""
    lines = [f"{id_}: {came.changes}"] if came.changes else []
    if came.apart:
        lines.append(f"{came.apart} `crewdesk settle {id_}` lists them.")
    if came.cuts:
        lines += [came.cuts, *([how_to_answer(id_)] if came.asks else [])]
    return lines
