"""Questions about an unreadable job or business record, and about conflicts."""

from collections.abc import Callable

from crewdesk.errors import CrewdeskError, Newer
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.record import Record
from crewdesk.job.sync.conflicts import Unsettled, compared, leave, put_in, unsettled
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.screens.parts.ask import choose
from crewdesk.screens.parts.program import Program
from crewdesk.store.recovery import Copy

_OFFERED = 4


def ask_trouble(
    app: Program, id_: str | None, trouble: str, left: Callable[[], None] = lambda: None
) -> None:
    """Offer the versions that a job (without an id, the business's record) can be recovered to,
    with their times and losses, and recover one. `left` is called if the user cancels."""
    name = id_ or "Your business"
    try:
        copies = app.desk.copies(id_) if id_ else app.desk.shop.copies()
    except Newer:
        copies = ()

    def brought_back(way: str) -> Copy | None:
        def the_same(every: tuple[Copy, ...]) -> Copy:
            return next((one for one in every if one.path == copies[int(way)].path), every[0])

        try:
            if id_:
                return app.desk.bring_back(id_, app.now(), choose=the_same)
            return app.desk.shop.bring_back(app.now(), choose=the_same)
        except (CrewdeskError, OSError) as refused:
            app.tell(str(refused), "wrong")
            return None

    def unfit() -> str:
        """Return how many contradictions the recovered job has, and the first of them."""
        found = contradictions(app.desk.open(id_, writing=False).record) if id_ else ()
        if not found:
            return ""
        count = "1 thing in it doesn't" if len(found) == 1 else f"{len(found)} things in it don't"
        return f" {count} fit together: {found[0]}"

    def chosen(way: str) -> None:
        if (copy := brought_back(way)) is not None:
            app.look_at_jobs()
            app.tell(f"{name} is back as of {copy.time(app.zone)}.{unfit()}", "saved")

    lines = [trouble.partition(" `crewdesk restore")[0]]
    lines += [f"{at}: {one.told(app.zone)}." for at, one in enumerate(copies[:_OFFERED], 1)]
    lines.append("The damaged file is kept beside it." if copies else "Nothing can be recovered.")
    ways = [
        (f"{at}", f"Recover it as of {one.time(app.zone)}, {_loss(one)}")
        for at, one in enumerate(copies[:_OFFERED])
    ]
    choose(app, f"{name} can't be read", ways, chosen, about="\n".join(lines), left=left)


def _loss(copy: Copy) -> str:
    if copy.later or copy.unread:
        return "some is lost"
    return "undo is lost" if copy.lost_history else "nothing is lost"


_LEAVE, _PUT = "leave", "put"
_WAYS = (
    (_LEAVE, "Keep the current value"),
    (_PUT, "Take the other"),
)


def ask_which(app: Program) -> None:
    """Ask about the first change kept apart: of the job, else of the business's record."""
    if app.job is not None and (every := unsettled(app.job.record)):
        _ask(app, app.job.record, every[0], len(every), shop=False)
        return
    books = app.books
    if every := unsettled(books):
        _ask(app, books, every[0], len(every), shop=True)
    else:
        app.tell("Nothing was changed in two places.")


def _ask(
    app: Program, record: Record | ShopRecord, one: Unsettled, count: int, *, shop: bool
) -> None:
    def chosen(way: str) -> None:
        settle = put_in if way == _PUT else leave
        if shop:
            done = app.do_shop(lambda books, now: settle(books, one.row, now))
        else:
            done = app.do(lambda job, now: settle(job, one.row, now))
        if done and count > 1:
            ask_which(app)

    zone = app.zone
    lines = [
        f"Stands:      {one.against}",
        f"Other:  {one.what}, at {one.when.astimezone(zone):%Y-%m-%d %H:%M}",
    ]
    for place, here, there in compared(record, one):
        lines += ["", place, f"  stands:      {here}", f"  other:  {there}"]
    title = "Changed in two places" + (f" · 1 of {count}" if count > 1 else "")
    choose(app, title, _WAYS, chosen, about="\n".join(lines))
