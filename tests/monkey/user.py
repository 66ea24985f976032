"""A user without sense: presses keys, types junk, clicks, drags the window about.

It is seeded, so that what it did can be done again. After everything that it does the app
must still stand, and the record must be sound (see `valid`).
"""

import random
from collections import Counter
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from textual import events
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.screen import ModalScreen
from textual.widgets import Input

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Tables, put, rows_after
from crewdesk.job.record import Record
from crewdesk.screens import app as app_file
from crewdesk.screens.app import CrewdeskApp
from crewdesk.store.desk import Desk
from tests.monkey.valid import Replay, exchanged, faults, shop_faults

SIZES = (*((80, 24),) * 6, (120, 40), (40, 12), (160, 50), (80, 50), (21, 7), (3, 2))
HOSTILE = (
    "\x1b[31mred\x1b]0;title\x07",
    "[bold red]oak[/] [/nothing] [@click=app.quit]x[/]",
    "\u202eelbat\u202c \u2067x\u2069",
    "\u200f9\u200b \u00ad\ufeff",
    "A" * 100_000,
    "nul\x00nul",
    "../../../etc/passwd",
    "=cmd|' /C calc'!A0",
    "+1+1", "-2+3", "@SUM(A1)",
    "9" * 5000,
    "\u00b2\u00b3", "\u0663\u0664", "\uff11\uff12", "\u2167", "1e999", "1_0", "\u0be7",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467", "e\u0301" * 40, "\u6728\u6881",
    "\ud800",
    "{0}{x!r}%s%n", "$(reboot)", "<script>", "\\", "'", '"', ";", "\t", "\n", " ",
)  # fmt: skip
LENGTHS = ("12' 3 5/16", "147-5/16", "3738 mm", "5/32", "0", "8", "10", "1/8", "24", "16 ft")
TIMES = ("7:30", "11:45", "9:55", "1h20", "16:00", "2pm", "90 min", "0730")
DAYS = ("today", "yesterday", "mon", "2026-03-02", "3/2", "2026-05-01", "2026-03-04")
MONEY = ("85/h", "240", "1,250.00", "7.5", "30", "85", "0", "12.50")
WORDS = ("walnut", "Ridge", "Great room", "north", "a knot", "checked again", "1", "2", "A", "Ada")
PLAUSIBLE = (
    *LENGTHS, *TIMES, *DAYS, *MONEY, *WORDS,
    "15 nearest day", "yes", "no", "6/12", "26.5deg", "usual", "in", "out", "1x12", "40..43",
    "scarf", "butt", "none", "all", "either", "length", "evenly", "1/16", "mm",
)  # fmt: skip
SENSE = {
    "day": DAYS, "on": DAYS, "start": TIMES, "stop": TIMES, "at": TIMES,
    "stage": ("1", "2", "tack", "travel", "5"), "billed": ("yes", "no"), "rate": ("", "85", "95/h"),
    "order": ("", "1", "2"), "price": MONEY, "amount": ("100", "240", "1,250.00", "0.01"),
    "quantity": ("1", "3/4", "12", "2.5"), "waste": ("", "10"), "markup": ("", "15"),
    "width": ("6", "8", "9-1/2", "7 1/4"), "height": ("8", "10", "11"), "rough": ("", "14 ft"),
    "form": ("usual", "1", "2", "3", "4", "5", "6", "ridge", "uneven"),
    "ceiling": ("flat", "sloped"), "pitch": ("", "4/12", "18deg"), "pitch_b": ("", "5/12"),
    "low": ("1", "2"), "cure": ("wedge", "caulk"), "where": ("end 1", "end 2", "ceiling", "bottom"),
    "leg": ("24", "16"), "gap": ("1/16", "0"), "bevel": ("5", "3"), "stock": ("3/4",),
    "step": ("1/32", "mm", "1/16", "1/64"), "zone": ("America/Denver", "", "Asia/Kathmandu"),
    "share": ("length", "evenly"), "billing": ("", "price", "rates"), "terms": ("30", "0", ""),
    "file": ("~/a.pdf", "~/b.txt", "~/c.csv", "~/d.ics", "~/e.pdf", "../f.pdf", "g.txt"),
    "kinds": ("side", "side, bottom", "cleats"), "true": ("", "3/4 x 11-1/4"),
    "size": ("1x12", "5/4 x 8", "4/4 x 9-1/2"), "lengths": ("8', 10' x 4, 12'", "16'"),
    "length": ("9'", "12' 6", "54"), "per": ("piece", "board foot", "foot"), "bad": ("", "40..43"),
    "species": ("White oak", "Pine"), "grade": ("", "select"), "kerf": ("1/8",),
    "cleat": ("1-1/2",), "edge_a": ("146 1/2", "145"), "edge_b": ("146 1/2", "145"),
    "splices": ("none", "scarf", "butt"),
    "match": ("none", "all", "1"), "spare_percent": ("0", "10"), "spare_count": ("0", "1"),
    "hour": ("85", "85/h", ""), "tax": ("7.5",), "first_number": ("1", "100"),
}  # fmt: skip
"""By a line's key, what might well stand there."""
WALK = ("up", "down", "left", "right", "home", "end", "pageup", "pagedown", "tab", "shift+tab")
RARE = {"escape": 0.35, "ctrl+q": 0.02, "ctrl+z": 0.6, "f6": 0.2, "f7": 0.4, "f2": 0.6, "f1": 0.4}
WORK = {
    "RunSheetPage": (*("space", "r") * 3, "b", "enter", "o", "x", "backspace", "down", "right"),
    "BatchPage": ("enter", "a", "space"),
    "ClockSheet": ("enter", "1", "2", "3", "b", "p", "s"),
    "StepsSheet": ("space", "space", "down"),
    "PiecesSheet": ("space", "down", "enter"),
    "MaterialPage": ("space", "k", "down", "down", "x", "e"),
    "MoneyPage": ("y", "n", "1", "2", "3", "a"),
    "PreviewPage": ("i",),
    "PiecePage": ("f10", "f4"),
}
"""By a page, keys by which work is noted on it."""
OUT, HOME, SOUGHT = 0.12, 0.04, 0.01
"""So often a question is left with Escape, all pages but the run sheet, a page is sought."""
PAGES = (
    "gaps of",
    "past jobs",
    "accounts: save",
    "planned",
    "took",
    "pieces of",
    "customers",
    "list of",
)
"""What is typed into Find to come to pages that few keys lead to."""


PATIENCE = 300.0
"""So many seconds until what never answers is told from a machine that is busy elsewhere."""


class MonkeyApp(CrewdeskApp):
    """crewdesk with a clock that the user moves."""

    CSS_PATH = Path(app_file.__file__).with_name("crewdesk.tcss")
    at: datetime = datetime.max

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, clock=lambda: type(self).at, **kwargs)


class Wrong(AssertionError):
    """What the user brought to light."""


class Monkey:
    """The user at one data folder; `seed` says all that it will do.

    `done` tells what it did: each key, click, paste, filled form, new size of the window and
    leap of the clock is one.
    """

    def __init__(self, desk: Desk, seed: int, begun: datetime) -> None:
        self.desk, self.seed = desk, seed
        self.chance = random.Random(seed)
        self.done: list[str] = []
        self.seen: Counter[str] = Counter()
        self.changes = 0
        MonkeyApp.at = begun
        self._replays: dict[str, Replay] = {}
        self._looked: dict[str, int] = {}
        self._shop_size = -1

    async def play(self, count: int, *, open_job: str | None = None) -> None:
        """So many things done; where the program is left, it is opened anew."""
        end = len(self.done) + count
        while len(self.done) < end:
            app = MonkeyApp(self.desk, open_job=open_job if self.chance.random() < 0.8 else None)
            try:
                async with app.run_test(size=SIZES[0]) as pilot:
                    await pilot.pause()
                    while len(self.done) < end and not app._exit:
                        for kind, what in self._wish(app):
                            await self._do(app, pilot, kind, what)
                            self._look(app)
            except Wrong:
                raise
            except Exception as error:
                raise Wrong(self._told(f"{type(error).__name__}: {error}")) from error
            app.close_job()

    # What it does

    def _wish(self, app: MonkeyApp) -> Iterator[tuple[str, object]]:
        """What it wants to do next: a key or a few, or something else."""
        pick, chance = self.chance.random(), self.chance
        asked = isinstance(app.screen, ModalScreen)
        if app.screen.query(Input) and pick < 0.35:
            yield "fill", self._filling(app)
            yield "key", "ctrl+s" if asked else "enter"
        elif asked and chance.random() < OUT:
            yield "key", "escape"
        elif (work := WORK.get(type(app.screen).__name__)) and chance.random() < 0.3:
            yield "key", chance.choice(work)
        elif pick < 0.38:
            yield from (("sign", s) for s in chance.choice(HOSTILE + PLAUSIBLE)[:12] if s >= " ")
        elif pick < 0.40:
            yield "paste", chance.choice(HOSTILE)
        elif pick < 0.47:
            size = app.size
            yield "click", (chance.randrange(size.width), chance.randrange(size.height),
                            chance.choice((1, 1, 2)))  # fmt: skip
        elif pick < 0.485:
            yield "size", chance.choice(SIZES)
        elif pick < 0.505:
            yield "later", chance.choice((60, 700, 4000, 30_000, 90_000))
        elif pick < 0.505 + HOME:
            yield from (("key", "escape") for _ in range(_over_the_run_sheet(app)))
        elif pick < 0.505 + HOME + SOUGHT:
            yield "key", "ctrl+f"
            yield from (("sign", sign) for sign in chance.choice(PAGES))
            yield "key", "enter"
        elif pick < 0.62:
            yield "key", chance.choice((*WALK, "enter", "space", *"123456789"))
        else:
            yield "key", self._bound_key(app)

    def _bound_key(self, app: MonkeyApp) -> str:
        """One of the keys that do something on the screen, sooner its own than an input's."""
        active = app.screen.active_bindings
        keys = [key for key, one in active.items() if one.enabled and key != "ctrl+c"]
        weights = [
            RARE.get(key, 0.2 if isinstance(active[key].node, Input) else 1.0) for key in keys
        ]
        return self.chance.choices(keys, weights)[0] if keys else "escape"

    def _filling(self, app: MonkeyApp) -> list[tuple[int, str]]:
        """Which lines it fills with what: one, or most of them."""
        lines, chance = list(app.screen.query(Input)), self.chance
        one = chance.randrange(len(lines)) if chance.random() < 0.7 else None
        filled = []
        for place, line in enumerate(lines):
            if one == place or (one is None and chance.random() < 0.7):
                alike = LENGTHS if line.value[:1].isdigit() else WORDS
                own = SENSE.get((line.id or "").removeprefix("line-"), alike)
                pool = own if chance.random() < 0.8 else PLAUSIBLE + HOSTILE
                filled.append((place, chance.choice(pool)))
        return filled

    async def _do(self, app: MonkeyApp, pilot: Pilot[None], kind: str, what: object) -> None:
        """Do one thing, and wait until the app has done what follows from it."""
        if app._exit:
            return
        self.seen[type(app.screen).__name__] += 1
        self.done.append(f"{type(app.screen).__name__}: {kind} {what!r:.120}")
        MonkeyApp.at += timedelta(seconds=self.chance.choice((1, 1, 5, 30)))
        if kind == "key":
            sign = {"space": " ", "dollar_sign": "$", "enter": "\r", "tab": "\t"}.get(what)
            app.post_message(events.Key(what, what if len(what) == 1 else sign))
        elif kind == "sign":
            app.post_message(events.Key(_character_to_key(what), what))
        elif kind == "paste":
            app.post_message(events.Paste(what))
        elif kind == "click":
            x, y, times = what
            await pilot.click(offset=(x, y), times=times)
        elif kind == "size":
            await pilot.resize_terminal(*what)
        elif kind == "later":
            MonkeyApp.at += timedelta(seconds=what)
            app.clocks.tick()
        elif kind == "fill":
            lines = list(app.screen.query(Input))
            for place, text in what:
                lines[place].value = text
        # `Pilot.press` would wait some 60 ms more for the processor to idle.
        await pilot._wait_for_screen(PATIENCE)
        if not app._exit:
            await pilot._wait_for_screen(PATIENCE)
        if app._exception is not None:
            raise app._exception

    # Whether all is well

    def _look(self, app: MonkeyApp) -> None:
        """Whether everything that is kept makes sense; only where something was changed."""
        job = app.job
        if job is not None and not job.read_only:
            count = job._storage.changes
            if self._looked.get(str(job.path)) != count:
                self.changes += 1
                self._looked[str(job.path)] = count
                history = job.history()
                replay = self._replays.setdefault(str(job.path), Replay(Record))
                found = faults(job.record.tables, history, app.now(), replay)
                if self.changes % 20 == 0:
                    found += exchanged(job.record.tables, history)
                    if app.desk.open(job.id, writing=False).record.tables != job.record.tables:
                        found.append("the disk holds another record")
                if found:
                    raise Wrong(self._told("; ".join(found)))
        history_file = self.desk.shop_path.with_suffix(".history")
        size = history_file.stat().st_size if history_file.exists() else 0
        if size != self._shop_size:
            self._shop_size = size
            self.changes += 1
            shop = self.desk.shop
            if found := shop_faults(ShopRecord, shop.record().tables, shop.history()):
                raise Wrong(self._told("; ".join(found)))

    def _told(self, what: str) -> str:
        before = "\n  ".join(self.done[-25:])
        return f"seed {self.seed}, after {len(self.done)}: {what}\n  {before}"

    def undo_all(self) -> None:
        """Undo in every job to its beginning; what is left is the job as it was begun."""
        for id_ in self.desk.ids():
            job = self.desk.open(id_)
            try:
                begun: Tables = {}
                put(begun, rows_after(begun, job.history()[0]))
                try:
                    while True:
                        job.undo(MonkeyApp.at)
                except CrewdeskError as refused:
                    if "nothing to undo" not in str(refused):
                        raise Wrong(self._told(f"undo of {id_}: {refused}")) from None
                tables = {name: rows for name, rows in job.record.tables.items() if rows}
                if tables != begun:
                    raise Wrong(self._told(f"undone to the start, {id_} is not as it was begun"))
            finally:
                job.close(MonkeyApp.at)


def _over_the_run_sheet(app: CrewdeskApp) -> int:
    """How many screens stand over the run sheet, none where it is not there."""
    names = [type(screen).__name__ for screen in app.screen_stack]
    return len(names) - 1 - names.index("RunSheetPage") if "RunSheetPage" in names else 0
