"""What the hours page asks about an entry: to add, mend, split, move and remove it."""

from datetime import timedelta, tzinfo

from crewdesk.job.clock import remove
from crewdesk.job.entry import Entry
from crewdesk.job.logged import on_site, site_zone
from crewdesk.job.odd_entries import mendings
from crewdesk.job.odd_entries import told as odd_told
from crewdesk.job.record import Record
from crewdesk.job.typed_entry import added, mended, moved, shown_entry, split_at
from crewdesk.screens.ask import Field, ask_change, choose, make_sure
from crewdesk.screens.program import Program
from crewdesk.trade.books.durations import to_the_minute
from crewdesk.trade.books.entries import Oddity

_WHEN = "8-12, 12:30-16, or mon 2pm for 1h20"
_DAYS = "today, yesterday, mon, 3/9, 2026-03-09"
_ADD = "add"


def ask_added(app: Program, when: str = "", zone: tzinfo | None = None) -> None:
    """Ask for an entry; `when` stands in its line already, on the clocks of `zone`."""
    zone = zone or _zone(app, None)
    latest = app.record.entries[-1:]
    stage = app.record.stages.name_of(latest[0].stage) if latest else ""
    ask_change(
        app,
        "Add time by hand",
        (Field("when", "When", when, _WHEN), *_more({"stage": stage, "billed": "yes"})),
        lambda record, answer, now: added(record, answer, now, zone),
        does="Add it",
        about=_stages_told(app.record),
    )


def ask_mended(app: Program, entry: Entry) -> None:
    """Ask for other values of an entry."""
    zone = _zone(app, entry)
    shown = shown_entry(app.record, entry, zone)
    stop = "empty while the clock runs" if entry.running else "11:45, or how long it took: 1h20"
    ask_change(
        app,
        "Mend the entry",
        (
            Field("day", "Day", shown["day"], _DAYS),
            Field("start", "Start", shown["start"], "7:30"),
            Field("stop", "Stop", shown["stop"], stop),
            *_more(shown),
        ),
        lambda record, answer, now: mended(record, entry.row, answer, now, zone),
        about=_stages_told(app.record),
    )


def ask_mending(app: Program, oddity: Oddity) -> None:
    """Ask how what is odd is mended; where nothing was logged, an entry can be added."""
    ways = {one.key: one for one in mendings(app.record, oddity, app.now())}
    begin = oddity.start + timedelta(seconds=-oddity.start.second % 60)
    buttons = [(key, _upper(one.words)) for key, one in ways.items()]
    if oddity.sort == "gap":
        buttons.append((_ADD, "Another entry between them"))

    def chosen(way: str) -> None:
        if way == _ADD:
            when = f"{begin:%Y-%m-%d %H:%M}-{oddity.stop:%H:%M}"
            ask_added(app, when, begin.tzinfo)
        else:
            app.do(lambda record, now: ways[way].change)

    choose(app, odd_told(app.record, oddity), buttons, chosen)


def ask_split(app: Program, entry: Entry) -> None:
    """Ask where an entry is split."""
    zone = _zone(app, entry)
    start = on_site(app.record, entry.start)
    stop = on_site(app.record, entry.stop or app.now())
    ask_change(
        app,
        "Split the entry in two",
        (Field("at", "The second starts at", "", "9:55"),),
        lambda record, answer, now: split_at(record, entry.row, answer["at"], now, zone),
        does="Split it",
        about=f"It goes from {start:%H:%M} to {stop:%H:%M}.",
    )


def ask_moved(app: Program, entry: Entry) -> None:
    """Ask when an entry began; it lasts as long as before."""
    zone = _zone(app, entry)
    shown = shown_entry(app.record, entry, zone)
    ask_change(
        app,
        "Move the entry; it lasts as long",
        (Field("day", "Day", shown["day"], _DAYS), Field("start", "Start", shown["start"], "7:30")),
        lambda record, answer, now: moved(record, entry.row, answer, now, zone),
        does="Move it",
    )


def ask_removed(app: Program, entry: Entry) -> None:
    """Ask whether an entry goes."""
    record = app.record
    start = on_site(record, entry.start)

    make_sure(
        app,
        f"Remove {to_the_minute(entry.lasted(app.now()))} on "
        f"{record.stages.name_of(entry.stage)}, {start:%a %Y-%m-%d} from {start:%H:%M}?",
        "Remove it",
        lambda: app.do(lambda record, now: remove(record, entry.row, now)),
    )


def _zone(app: Program, entry: Entry | None) -> tzinfo:
    """The zone that typed times are in: the site's or, without one, that of the entry, or the
    business's for a new one."""
    kept = entry.start.tzinfo if entry else None
    return site_zone(app.record) or kept or app.zone


def _more(shown: dict[str, str]) -> tuple[Field, ...]:
    asks = (
        ("stage", "Stage", "its number or its name"),
        ("note", "Note", ""),
        ("billed", "Billed", "yes or no"),
        ("rate", "Rate an hour", "empty: the usual rate"),
        ("order", "Change order", "its number, if it is extra work"),
    )
    return tuple(Field(key, ask, shown.get(key, ""), hint) for key, ask, hint in asks)


def _stages_told(record: Record) -> str:
    return "  ".join(f"{number} {one.name}" for number, one in enumerate(record.stages.work, 1))


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
