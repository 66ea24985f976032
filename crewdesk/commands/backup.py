"""The commands that make a backup, compare with one, and restore from it."""

from argparse import Namespace
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from crewdesk.commands.cuts import contradictions_listed
from crewdesk.commands.streams import in_json, in_lines, put_out
from crewdesk.errors import NotAllowed, NotSaved
from crewdesk.paper.plain import plain
from crewdesk.sentence import many
from crewdesk.store.backup import (
    BUSINESS,
    Differs,
    back_up,
    differences,
    opened,
    restore_missing,
    returned,
)
from crewdesk.store.desk import Desk
from crewdesk.store.disk import ALL_OURS

USUAL = "backups"
"""The folder in the data folder where backups go if no other is named."""


def backup(desk: Desk, args: Namespace, now: datetime) -> int:
    """Make a backup; return the exit status. Raises `NotAllowed` or `NotSaved`."""
    to = desk.folder / USUAL if args.to is None else Path(args.to)
    if args.to is None:
        try:
            to.mkdir(mode=ALL_OURS, exist_ok=True)
        except OSError as error:
            raise NotSaved(to, error) from None
    made = back_up(desk, to, now)
    if args.json:
        values = {"folder": str(made.folder), "jobs": made.jobs, "changes": made.changes}
        put_out(in_json({**values, "damaged": list(made.damaged)}))
        return 0
    lines = [
        f"Backed up {many(made.jobs, 'job')} and your business, "
        f"{many(made.changes, 'change')}, to {made.folder}. Read back and checked.",
        *(f"! {one}. Run `crewdesk check`." for one in made.damaged),
    ]
    if args.to is None:
        lines.append("It is on the same disk. Use --to FOLDER for a stick or another disk.")
    put_out(in_lines(*map(plain, lines)))
    return 0


def restore_from(desk: Desk, args: Namespace, now: datetime) -> int:
    """Show how a backup differs, or restore from it; return the exit status.

    Raises `NotAllowed` or `NotSaved`.
    """
    if args.to is not None:
        raise NotAllowed("Use --from FOLDER or --to WHEN, not both.")
    there = opened(Path(args.backup), desk)
    if args.missing:
        done = restore_missing(desk, there)
        names = ", ".join(one if one != BUSINESS else "your business" for one in done)
        put_out(
            f"Copied from the backup: {plain(names) or 'nothing; all of it is here already'}.\n"
        )
        return 0
    if args.job is None:
        put_out(in_lines(*map(plain, _shown(there, differences(desk, there)))))
        return 0
    id_ = there.find(args.job)
    if id_ not in desk.ids():
        raise NotAllowed(f"{id_} isn't here. Use --missing to copy what is missing here.")
    change = returned(desk, there, id_, now)
    put_out(
        f"{plain(id_)}: {plain(change.what)}. This can be undone like any other "
        f"change.\n{contradictions_listed(desk.open(id_, writing=False))}"
    )
    return 0


def _shown(there: Desk, every: list[Differs]) -> Iterator[str]:
    """Yield how each job differs, and what to do about it."""
    yield f"{there.folder}:"
    for one in every:
        name = "your business" if one.id == BUSINESS else f"{one.id} ({one.name})"
        yield f"  {name}: {_difference(one)}"
    if any(one.newer is None and not one.why for one in every):
        yield "`--missing` copies what is only in the backup."
    if any(one.newer or one.older for one in every if one.id != BUSINESS and one.newer is not None):
        yield "`crewdesk restore JOB --from ...` returns a job to the backup; that can be undone."


def _difference(one: Differs) -> str:
    if one.why:
        return f"can't be compared. {one.why}"
    if one.same:
        return "the same"
    if one.newer is None:
        return "only in the backup"
    if one.older is None:
        return "only here"
    parts = [
        f"{many(one.newer, 'change')} here that the backup doesn't have" if one.newer else "",
        f"{many(one.older, 'change')} in the backup that aren't here" if one.older else "",
    ]
    return "; ".join(part for part in parts if part)
