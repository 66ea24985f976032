"""The job's kinds of work outside the stages, and its planned days."""

from collections.abc import Iterable
from datetime import date, datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Change, edit
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.steps.restage import new_id
from crewdesk.job.steps.stages import EXTRA_WORK, USUAL_OTHER_WORK, OtherWork
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.job.text_limits import checked_line, checked_name
from crewdesk.job.time.entry import Planned


def other_work_named(names: Iterable[str]) -> tuple[OtherWork, ...]:
    """Return the kinds of work of these names, the usual ones under their own ids."""
    usual = {one.name.casefold(): one for one in USUAL_OTHER_WORK}
    taken = {one.id for one in USUAL_OTHER_WORK} | {one.id for one in USUAL_STAGES}
    found: list[OtherWork] = []
    for name in names:
        one = usual.get(name.casefold()) or OtherWork(new_id(name, taken), name)
        taken.add(one.id)
        found.append(one)
    return tuple(found)


def add_other_work(record: Record, name: str, now: datetime) -> Change:
    """Return the change that adds a kind of work outside the stages."""
    name = checked_name(name, "kind of work")
    taken = {one.id for one in record.stages.work} | {entry.stage for entry in record.entries}
    new = OtherWork(new_id(name, taken), name)
    return _kept(record, [*record.stages.other, new], f"added the work {name}", now)


def rename_other_work(record: Record, id_: str, name: str, now: datetime) -> Change:
    """Return the change that renames a kind of work; its time stays with it."""
    old, name = _one(record, id_), checked_name(name, "kind of work")
    other = [OtherWork(id_, name) if one.id == id_ else one for one in record.stages.other]
    return _kept(record, other, f"renamed {old.name} to {name}", now)


def drop_other_work(record: Record, id_: str, now: datetime) -> Change:
    """Return the change that drops a kind of work; its logged time stays."""
    old = _one(record, id_)
    if id_ == EXTRA_WORK:
        raise NotAllowed(
            f"{old.name} can't be removed: change orders' hours go there. Nothing was changed."
        )
    rest = [one for one in record.stages.other if one.id != id_]
    return _kept(record, rest, f"dropped the work {old.name}", now)


def _one(record: Record, id_: str) -> OtherWork:
    for one in record.stages.other:
        if one.id == id_:
            return one
    names = ", ".join(one.name for one in record.stages.other) or "none"
    raise NotAllowed(f"That isn't other work of this job. Known are {names}.")


def _kept(record: Record, other: list[OtherWork], what: str, now: datetime) -> Change:
    if other == list(record.stages.other):
        raise NotAllowed("That is the same as before. Nothing was changed.")
    docs = [one.to_doc() for one in other]
    return Change(what, (edit(record.tables, ("job", JOB_ROW, "other_work"), docs),), now)


def plan_day(record: Record, day: date, now: datetime, *, note: str = "") -> Change:
    """Return the change that plans a day, or changes a planned day's note."""
    new = Planned(day, checked_line(note, "day's note"))
    if new in record.job.planned:
        raise NotAllowed(f"{day:%Y-%m-%d} is planned already. Nothing was changed.")
    rest = [one for one in record.job.planned if one.day != day]
    return _planned(record, [*rest, new], f"planned {day:%a %Y-%m-%d}", now)


def unplan_day(record: Record, day: date, now: datetime) -> Change:
    """Return the change that removes a planned day."""
    rest = [one for one in record.job.planned if one.day != day]
    if len(rest) == len(record.job.planned):
        raise NotAllowed(f"{day:%Y-%m-%d} isn't planned. Nothing was changed.")
    return _planned(record, rest, f"removed {day:%a %Y-%m-%d} from the planned days", now)


def _planned(record: Record, days: list[Planned], what: str, now: datetime) -> Change:
    docs = [one.to_doc() for one in sorted(days, key=lambda one: one.day)]
    return Change(what, (edit(record.tables, ("job", ONLY_ROW, "planned"), docs),), now)
