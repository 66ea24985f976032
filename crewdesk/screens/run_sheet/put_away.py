"""Put a job away, remove it, or restore it, from the list of jobs."""

from collections.abc import Callable

from crewdesk.errors import CrewdeskError
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.ask import make_sure
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.stick import Part
from crewdesk.sentence import many
from crewdesk.store.folder import Listed
from crewdesk.store.put_away import RemovedJob, bring_removed_back, remove_job, set_put_away


def put_away_or_back(app: Program, one: Listed) -> None:
    """Put a job away, or restore it to the list."""
    away = not one.put_away
    shows = key_words(app.key("jobs.show-put-away"))
    done = f"is put away; {shows} shows it" if away else "is back in the list"
    _do(app, lambda: set_put_away(app.desk, one.id, app.now(), away=away), f"{one.name} {done}.")


def ask_to_remove(app: Program, one: Listed) -> None:
    """Ask whether to remove a job, and do it."""
    make_sure(
        app,
        f"Remove {one.name}?",
        "Remove it",
        lambda: _do(
            app, lambda: remove_job(app.desk, one.id, app.now()), f"{one.name} is removed."
        ),
        about="It is kept in the data folder's `removed`, and can be brought back. Its invoices "
        "stay in your books.",
    )


def ask_removed_back(app: Program, one: RemovedJob) -> None:
    """Ask whether to bring a removed job back, and do it."""
    make_sure(
        app,
        f"Bring {one.name} back?",
        "Bring it back",
        lambda: _do(
            app,
            lambda: bring_removed_back(app.desk, one.folder),
            f"{one.name} is back in the list.",
        ),
        about=one.folder,
    )


def _do(app: Program, act: Callable[[], object], done: str) -> None:
    """Do it, list the jobs again and show what was done, or why it wasn't."""
    try:
        act()
    except CrewdeskError as refused:
        app.tell(str(refused), "wrong")
        return
    app.look_at_jobs()
    app.tell(done)


def removed_lines(one: RemovedJob) -> list[list[Part]]:
    """Return a removed job's lines in the list."""
    first: list[Part] = [(f" {plain(one.name)} ", "strong"), (" removed", "muted")]
    return [first, [(f"   {plain(one.folder)}", "muted")], []]


def hidden_told(count: int) -> str:
    """Return how many jobs are put away, and the key that shows them."""
    return f"  {many(count, 'job')} put away: {{show-put-away}}"
