"""The command that lists the jobs, puts one away, removes one, and brings one back."""

import sys
from argparse import Namespace
from datetime import datetime

from crewdesk.commands.streams import in_json, in_lines, put_out
from crewdesk.errors import NotAllowed
from crewdesk.paper.plain import plain
from crewdesk.sentence import many
from crewdesk.store.desk import Desk
from crewdesk.store.folder import Listed
from crewdesk.store.put_away import bring_removed_back, remove_job, removed_jobs, set_put_away

_ACTS = ("put_away", "back", "remove", "bring_back")


def jobs(desk: Desk, args: Namespace, now: datetime) -> str:
    """Do what the words ask for; gives what is printed. Raises `NotAllowed` or `NotSaved`."""
    asked = [one for one in _ACTS if getattr(args, one) is not None]
    if len(asked) > 1:
        names = " and ".join(f"--{one.replace('_', '-')}" for one in asked)
        raise NotAllowed(f"Choose one of {names}.")
    if args.yes and asked != ["remove"]:
        raise NotAllowed("Use --yes only with --remove.")
    text = ""
    if asked == ["bring_back"]:
        text = f"{plain(bring_removed_back(desk, args.bring_back))} is back in the list of jobs."
    elif asked == ["remove"]:
        text = _remove(desk, args, now)
    elif asked:
        (act,) = asked
        id_ = desk.find(getattr(args, act))
        set_put_away(desk, id_, now, away=act == "put_away")
        text = f"{id_} is {'put away' if act == 'put_away' else 'back in the list of jobs'}."
    if args.json:
        return in_json(_values(desk))
    return in_lines(text) if text else in_lines(*_lines(desk, every=args.all))


def _remove(desk: Desk, args: Namespace, now: datetime) -> str:
    id_ = desk.find(args.remove)
    if not args.yes:
        if not sys.stdin.isatty():
            raise NotAllowed(f"Add --yes to remove {id_}. Nothing was removed.")
        put_out(f"Remove {id_}? It is kept in {plain(str(desk.folder / 'removed'))}. [y/n] ")
        if sys.stdin.readline().strip().casefold() not in ("y", "yes"):
            raise NotAllowed("Nothing was removed.")
    name = remove_job(desk, id_, now)
    return (
        f"Removed {id_}. Its invoices stay in your books. To bring it back, run "
        f"`crewdesk jobs --bring-back {name}`."
    )


def _lines(desk: Desk, *, every: bool) -> list[str]:
    listed = sorted(desk.jobs(), key=lambda one: one.name.casefold())
    lines = [_line(one) for one in listed if every or not one.put_away]
    away = sum(one.put_away for one in listed)
    lines = lines or ["No jobs here."]
    if away and not every:
        lines.append(
            f"{many(away, 'job')} put away: add --all to list {'it' if away == 1 else 'them'}."
        )
    if every and (gone := removed_jobs(desk)):
        lines += ["", "Removed"]
        lines += [f"  {plain(one.folder)}  {plain(one.name)}" for one in gone]
    return lines


def _line(one: Listed) -> str:
    if one.trouble:
        return f"! {plain(one.id)}  {plain(one.trouble)}"
    text = one.summary
    done = f"{text.get('behind', 0)} of {text.get('steps', 0)} steps done"
    away = ", put away" if one.put_away else ""
    return f"{plain(one.id)}  {plain(one.name)}, {many(text.get('beams', 0), 'beam')}, {done}{away}"


def _values(desk: Desk) -> dict[str, object]:
    """Return every job, also those put away and those removed, as JSON."""
    return {
        "jobs": [
            {
                "id": one.id,
                "name": one.name,
                **{key: one.summary.get(key, "") for key in ("customer", "site")},
                "beams": one.summary.get("beams"),
                "done": one.summary.get("behind"),
                "steps": one.summary.get("steps"),
                "put_away": one.put_away,
                "trouble": one.trouble,
            }
            for one in sorted(desk.jobs(), key=lambda one: one.id)
        ],
        "removed": [one._asdict() for one in removed_jobs(desk)],
    }
