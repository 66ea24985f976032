"""The shop: what is true over all jobs, each changed by itself."""

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.refused import Refused, said
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.screens.ask import Answer, Ask, Choose, Line
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.page import Page
from crewdesk.trade.length import STEPS, read_length
from crewdesk.trade.refusal import Refusal

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

_ASKS = {
    "who": ("Who takes the readings", "stands beside every reading"),
    "level": ("Length of the level", "what an end's reading is taken over"),
    "step": ("Lengths shown to", "in new jobs; each job can have its own"),
    "theme": ("Colours", "F6 goes through them from anywhere"),
}
_STEPS = {
    "1/16": "1/16 in",
    "1/32": "1/32 in",
    "1/64": "1/64 in",
    "mm": "whole millimetres",
}


def open_shop(app: "CrewdeskApp") -> None:
    """Show the shop over the page in front, unless a question or the shop itself is there."""
    if isinstance(app.screen, Page) and not isinstance(app.screen, ShopPage):
        app.push_screen(ShopPage())


class ShopPage(Page):
    """A line for each thing; enter changes it."""

    WHERE = "Shop"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "change", "Change"),
        Binding("escape", "leave", "Back"),
    ]
    DEFAULT_CSS = """
    ShopPage Lines { padding: 1 0 0 1; }
    ShopPage #files { height: auto; padding: 0 2 1 2; color: $muted; }
    """

    def body(self) -> Iterable[Widget]:
        yield Lines()
        yield Static(id="files", markup=False)

    def on_mount(self) -> None:
        """Begin on the first line."""
        self.query_one(Lines).focus()

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the shop as it is."""
        shop = self.desk_app.desk.shop.shop()
        told = {
            "who": shop.who or "nobody named yet",
            "level": f"{shop.level} in" if shop.level.replace(".", "").isdecimal() else shop.level,
            "step": _STEPS.get(shop.step, shop.step),
            "theme": self.app.theme,
        }
        lines: list[Row] = []
        for key, (asks, about) in _ASKS.items():
            lines.append(Row(((f" {asks:<26}", "text"), (told[key], "strong")), key))
            lines += [Row(((f"   {about}", "muted"),)), Row(())]
        self.query_one(Lines).show(lines)
        files = [f"The jobs lie in {self.desk_app.desk.folder}", *self.desk_app.loaded.complaints]
        self.query_one("#files", Static).update("\n".join(files))

    def _change(self, **values: str) -> None:
        try:
            self.desk_app.desk.shop.change(self.desk_app.now(), **values)
        except (Refused, Refusal) as refused:
            self.tell(said(refused), "wrong")
            return
        self.record_changed(frozenset())
        self.tell(f"Saved: {_ASKS[next(iter(values))][0].lower()}.", "saved")

    @on(Lines.Chosen)
    def action_change(self) -> None:
        """Ask for another value of the line under the cursor."""
        ask = {
            "who": self._ask_who,
            "level": self._ask_level,
            "step": self._ask_step,
            "theme": self._ask_theme,
        }
        ask[self.query_one(Lines).key]()

    def _ask_who(self) -> None:
        self._ask(
            "who", "A name, or nothing", lambda a: checked_line(a["who"], "name", most=LONGEST_NAME)
        )

    def _ask_level(self) -> None:
        self._ask("level", "24, 48, 6', 600 mm", lambda a: _level(a["level"]))

    def _ask(self, key: str, hint: str, check: Callable[[Answer], object]) -> None:
        def given(answer: Answer | None) -> None:
            if answer is not None:
                self._change(**{key: " ".join(answer[key].split())})

        asks, about = _ASKS[key]
        value = getattr(self.desk_app.desk.shop.shop(), key)
        self.app.push_screen(
            Ask(asks, (Line(key, asks, value, hint),), check, about=about), callback=given
        )

    def _ask_step(self) -> None:
        ways = [(step, _STEPS[step]) for step in STEPS]
        self.app.push_screen(
            Choose(_ASKS["step"][0], ways),
            callback=lambda step: self._change(step=step) if step else None,
        )

    def _ask_theme(self) -> None:
        ways = [(one.name, one.name) for one in self.desk_app.loaded.themes]

        def chosen(name: str | None) -> None:
            if name is not None:
                self.app.theme = name
                self._change(theme=name)

        self.app.push_screen(Choose(_ASKS["theme"][0], ways), callback=chosen)

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()


def _level(text: str) -> None:
    """Raises `Refusal` or `Refused` where a level can't be that long."""
    if read_length(text) <= 0:
        raise Refused("A level has a length of more than zero.")
