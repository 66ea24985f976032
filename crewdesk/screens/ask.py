"""One small question at a time, over the screen that asks it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus, Key
from textual.screen import ModalScreen
from textual.widgets import Button, Input, Label, Static

from crewdesk.errors import CrewdeskError
from crewdesk.paper.plain import plain
from crewdesk.screens.named_keys import NamedKeys
from crewdesk.screens.typed_line import TypedLine


@dataclass(frozen=True)
class Line:
    """One line of a question: its key, what it asks, what stands there, a hint, and the
    `choices`, which are shown below it while it is typed in."""

    key: str
    asks: str
    value: str = ""
    hint: str = ""
    choices: str = ""


Answer = dict[str, str]
Answered = TypeVar("Answered")
FEW = 6
_CLOSER = ("near", "tight")
"""Without the empty rows between its lines; without any."""
UP_AND_DOWN: tuple[BindingType, ...] = (
    Binding("up", "app.focus_previous", show=False),
    Binding("down", "app.focus_next", show=False),
)
_KEYS = "Enter: next line.  {answer}: answer now.  {leave}: leave it as it was."
_KEYS_OF_ONE = "Enter: answer.  {leave}: leave it as it was."


class LineTyped(TypedLine):
    """Where a line of a question is typed: Up and Down leave it, as Enter does."""

    BINDINGS: ClassVar[list[BindingType]] = [*UP_AND_DOWN]


class Question(ModalScreen[Answered]):
    """A question that stands closer where the screen is low, so that its keys are in sight."""

    def on_resize(self) -> None:
        """Fit it to the new size."""
        for box in self.query(".question"):
            box.remove_class(*_CLOSER)
            for one in box.children:
                one.styles.clear_rule("max_height")
        self.call_after_refresh(self.fit)

    def fit(self) -> None:
        """Leave out the empty rows, then give the longest part only the rows that are there."""
        box = next(iter(self.query(".question")), None)
        if box is None or not box.max_scroll_y:  # it was answered meanwhile, or it fits
            return
        for closer in _CLOSER:
            if not box.has_class(closer):
                box.add_class(closer)
                self.call_after_refresh(self.fit)
                return
        longest = max(box.children, key=lambda one: one.size.height)
        longest.styles.max_height = max(1, longest.size.height - box.max_scroll_y)


class Ask(NamedKeys, Question[Answer | None]):
    """Some lines to fill in. `check` raises what is wrong with an answer; it is told in
    place, the line it is about is gone to, and nothing is lost. `live` tells what follows
    from the lines as one types; `asks` gives other labels for lines by their keys, by what
    stands in the lines, and `choose` other choices. Enter goes on to the next line, and from
    the last answers."""

    AREA = "any-question"

    def __init__(
        self,
        title: str,
        lines: Sequence[Line],
        check: Callable[[Answer], object] = lambda _: None,
        *,
        does: str = "Save",
        about: str = "",
        live: Callable[[Answer], str] | None = None,
        asks: Callable[[Answer], Mapping[str, str]] | None = None,
        choose: Callable[[Answer], Mapping[str, str]] | None = None,
    ) -> None:
        super().__init__()
        self._title = title
        self._about = about
        self._live = live
        self._asks = asks
        self._choose = choose
        self._lines = lines
        self._check = check
        self._does = does

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(plain(self._title), classes="title", markup=False)
            if self._about:
                yield Static(plain(self._about), classes="about", markup=False)
            many = len(self._lines) + (2 if self._about else 0) > FEW
            close = " close" if many or self._live else ""
            with VerticalScroll(classes=f"lines{close}", can_focus=False):
                for line in self._lines:
                    with Horizontal(classes="line"):
                        yield Label(plain(line.asks), id=f"asks-{line.key}", markup=False)
                        yield LineTyped(
                            line.value,
                            placeholder=line.hint,
                            id=f"line-{line.key}",
                            compact=True,
                        )
                    if line.choices:
                        yield Static(
                            plain(line.choices),
                            id=f"choices-{line.key}",
                            classes="choices",
                            markup=False,
                        )
            if self._live is not None:
                yield Static(id="live", markup=False)
            yield Static("", classes="wrong", markup=False)
            yield Button(Content(plain(self._does)), id="answer")
            keys = _KEYS if len(self._lines) > 1 else _KEYS_OF_ONE
            yield Static(self.with_keys(keys), classes="about keys", markup=False)

    def on_mount(self) -> None:
        """Begin in the first line."""
        if inputs := list(self.query(Input)):
            inputs[0].focus()
        self.changed()

    def answer(self) -> Answer:
        """What stands in the lines now."""
        return {one.key: self.query_one(f"#line-{one.key}", Input).value for one in self._lines}

    @on(Input.Changed)
    def changed(self) -> None:
        """Tell what follows from what stands in the lines now."""
        if self._live is not None:
            told = self._live(self.answer()).splitlines()
            self.query_one("#live", Static).update("\n".join(map(plain, told)))
        if self._asks is not None:
            other = self._asks(self.answer())
            for line in self._lines:
                label = self.query_one(f"#asks-{line.key}", Label)
                label.update(plain(other.get(line.key, line.asks)))
        if self._choose is not None:
            others = self._choose(self.answer())
            for line in self._lines:
                if line.choices:
                    choices = self.query_one(f"#choices-{line.key}", Static)
                    choices.update(plain(others.get(line.key, line.choices)))

    @on(DescendantFocus)
    def show_choices(self) -> None:
        """Show the choices of the line that is typed in, and no others."""
        here = (self.focused.id or "") if self.focused is not None else ""
        for one in self.query(".choices"):
            one.display = one.id == here.replace("line-", "choices-")

    @on(Input.Submitted)
    def entered(self, event: Input.Submitted) -> None:
        """Go on to the next line, or answer."""
        inputs = list(self.query(Input))
        place = inputs.index(event.input)
        if place + 1 < len(inputs):
            inputs[place + 1].focus()
        else:
            self.action_give()

    @on(Button.Pressed, "#answer")
    def action_give(self) -> None:
        answer = self.answer()
        if told := self._told_of(answer):
            self.query_one(".wrong", Static).update(plain(told))
            if (key := refused_line(self._lines, answer, self._told_of)) is not None:
                self.query_one(f"#line-{key}", Input).focus()
            self.call_after_refresh(self.fit)
            return
        self.dismiss(answer)

    def _told_of(self, answer: Answer) -> str:
        """What is wrong with an answer; nothing where it will do."""
        try:
            self._check(answer)
        except CrewdeskError as refused:
            return refused.shown(self.desk_app.shown_step)
        return ""

    def action_leave(self) -> None:
        self.dismiss(None)


def refused_line(
    lines: Sequence[Line], answer: Answer, told_of: Callable[[Answer], str]
) -> str | None:
    """The key of the line that is refused: as it was at first, it would not be told of any
    more. Of several such the one whose text is told, else the last; None where there is none."""
    told = told_of(answer)
    found = [
        one.key
        for one in lines
        if answer[one.key] != one.value and told_of({**answer, one.key: one.value}) != told
    ]
    texts = {key: answer[key].strip().casefold() for key in found}
    quoted = [key for key, text in texts.items() if text and text in told.casefold()]
    return next(reversed(quoted or found), None)


class Choose(NamedKeys, Question[str | None]):
    """Some ways to go on, each a button and a key from 1 up."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave"),
        *UP_AND_DOWN,
    ]

    def to_do(self) -> str:
        return "Press the number of the way you want, or go to it and press Enter."

    def __init__(self, title: str, ways: Sequence[tuple[str, str]], *, about: str = "") -> None:
        super().__init__()
        self._title = title
        self._about = about
        self._ways = ways

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(plain(self._title), classes="title", markup=False)
            if self._about:
                with VerticalScroll(classes="lines", can_focus=False):
                    yield Static("\n".join(map(plain, self._about.splitlines())), markup=False)
            for number, (_, words) in enumerate(self._ways, 1):
                yield Button(Content(plain(f"{number}  {words}")), id=f"way-{number}")
            yield Static("Esc: leave it as it was.", classes="about")

    def on_key(self, event: Key) -> None:
        """A digit takes that way."""
        if event.key.isdecimal() and 1 <= int(event.key) <= len(self._ways):
            self.dismiss(self._ways[int(event.key) - 1][0])

    @on(Button.Pressed)
    def pressed(self, event: Button.Pressed) -> None:
        """Take the way of the button."""
        self.dismiss(self._ways[int((event.button.id or "way-1").removeprefix("way-")) - 1][0])

    def action_leave(self) -> None:
        """Leave everything as it was."""
        self.dismiss(None)
