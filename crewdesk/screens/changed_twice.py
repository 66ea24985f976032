"""What was changed in two places at once: what stands, what was kept apart, one chosen."""

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.record import Record
from crewdesk.job.unsettled import Unsettled, compared, leave, put_in, unsettled
from crewdesk.screens.ask import choose
from crewdesk.screens.program import Program

_LEAVE, _PUT = "leave", "put"
_WAYS = (
    (_LEAVE, "Leave what stands"),
    (_PUT, "Put the other in its place"),
)


def ask_which(app: Program) -> None:
    """Ask about the first change that was kept apart: of the job, else of the shop."""
    if app.job is not None and (every := unsettled(app.job.record)):
        _ask(app, app.job.record, every[0], len(every), shop=False)
        return
    books = app.desk.shop.record()
    if every := unsettled(books):
        _ask(app, books, every[0], len(every), shop=True)
    else:
        app.tell("Nothing was changed in two places at once.")


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
        f"Kept apart:  {one.what}, at {one.when.astimezone(zone):%Y-%m-%d %H:%M}",
    ]
    for place, here, there in compared(record, one):
        lines += ["", place, f"  stands:      {here}", f"  kept apart:  {there}"]
    title = "Changed in two places" + (f" · 1 of {count}" if count > 1 else "")
    choose(app, title, _WAYS, chosen, about="\n".join(lines))
