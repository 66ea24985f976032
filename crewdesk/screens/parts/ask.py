"""Questions, one at a time, over the screen that asks."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, ClassVar, TypedDict, Unpack

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus, Key
from textual.widgets import Button, Input, Label, Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change, rows_after
from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import Question
from crewdesk.screens.parts.terminal import TypedLine


@dataclass(frozen=True)
class Field:
    """One field of a form: its key, label, value and hint.

    `answers` are all possible ones if there are few: Left and Right select one. They, or the words
    of `choices`, are shown below the field while it has the focus. `read` parses the text, and
    raises its error.
    """

    key: str
    asks: str
    value: str = ""
    hint: str = ""
    choices: str = ""
    answers: tuple[str, ...] = ()
    read: Callable[[str], Any] = str

    def answered(self, typed: str) -> str:
        """Return the one of the few answers that begins as typed, else what was typed."""
        begun = typed.strip().casefold()
        same = [one for one in self.answers if begun and one.casefold().startswith(begun)]
        return same[0] if len(same) == 1 and typed not in self.answers else typed

    @property
    def below(self) -> str:
        """The line below it while it has the focus."""
        return self.choices or (_CHOICES % ", ".join(self.answers) if self.answers else "")


Answer = dict[str, str]


def read_fields(fields: Iterable[Field], answer: Answer) -> dict[str, Any]:
    """Return an answer's parsed values by the fields' keys; raises `CrewdeskError`."""
    return {one.key: one.read(answer[one.key]) for one in fields}


def filled(fields: Iterable[Field], shown: Mapping[str, str]) -> tuple[Field, ...]:
    """Return fields with the values `shown`, by key."""
    return tuple(replace(one, value=shown.get(one.key, one.value)) for one in fields)


class Told(TypedDict, total=False):
    """A form's texts besides its title and fields, see `Form`."""

    does: str
    about: str
    live: Callable[[Answer], str | Content] | None
    asks: Callable[[Answer], Mapping[str, str]]
    choose: Callable[[Answer], Mapping[str, str]]


FEW = 6
_CHOICES = "%s; Left and Right turn through them"
UP_AND_DOWN: tuple[BindingType, ...] = (
    Binding("up", "app.focus_previous", show=False),
    Binding("down", "app.focus_next", show=False),
)
_KEYS = "Enter: next line.  {answer}: save.  {leave}: cancel."
_KEYS_OF_CHOICE = "{any-question.leave}: cancel."
_KEYS_OF_ONE = "Enter: save.  {leave}: cancel."


class LineTyped(TypedLine):
    """A field's input: Up and Down leave it, like Enter; Left and Right select one of few answers,
    while it holds one or is empty."""

    DEFAULT_CSS = """
    LineTyped > .input--placeholder { color: $muted; text-style: italic; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [*UP_AND_DOWN]

    def __init__(self, field: Field) -> None:
        between = ", " if len(field.answers) > 2 else " or "
        hint = field.hint or between.join(field.answers)
        super().__init__(field.value, placeholder=hint, id=f"line-{field.key}", compact=True)
        self._answers = field.answers

    def _turned(self, by: int) -> bool:
        """Return whether another of the few answers was selected."""
        if not self._answers or self.value not in (*self._answers, ""):
            return False
        at = self._answers.index(self.value) if self.value else min(-by, 0)
        self.value = self._answers[(at + by) % len(self._answers)]
        self.action_select_all()
        return True

    def action_cursor_left(self, select: bool = False) -> None:
        """Select the answer before, else move left."""
        if select or not self._turned(-1):
            super().action_cursor_left(select)

    def action_cursor_right(self, select: bool = False) -> None:
        """Select the next answer, else move right."""
        if select or not self._turned(1):
            super().action_cursor_right(select)


class Form(Question[Answer | None]):
    """A form.

    `check` raises an answer's error; it is shown in place, the focus moves to its field, and the
    text stays. `live` returns what follows from the fields while the user types; `asks` returns
    other labels by key, depending on the values, and `choose` other choices. Enter moves to the
    next field, and from the last one answers.
    """

    AREA = "any-question"

    def __init__(
        self,
        title: str,
        lines: Sequence[Field],
        check: Callable[[Answer], object] = lambda _: None,
        *,
        does: str = "Save",
        about: str = "",
        live: Callable[[Answer], str | Content] | None = None,
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
                        yield LineTyped(line)
                    if line.below:
                        yield Static(
                            plain(line.below),
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
        """Return the current values of the fields."""
        return {
            one.key: one.answered(self.query_one(f"#line-{one.key}", Input).value)
            for one in self._lines
        }

    @on(Input.Changed)
    def changed(self) -> None:
        """Show what follows from the current values."""
        if self._live is not None:
            text = self._live(self.answer())
            if isinstance(text, str):
                text = "\n".join(map(plain, text.splitlines()))
            self.query_one("#live", Static).update(text)
            # Only once it is laid out with these lines is it known whether all of it fits.
            self.set_timer(0.05, self.fit)
        if self._asks is not None:
            other = self._asks(self.answer())
            for line in self._lines:
                label = self.query_one(f"#asks-{line.key}", Label)
                label.update(plain(other.get(line.key, line.asks)))
        if self._choose is not None:
            others = self._choose(self.answer())
            for line in self._lines:
                if line.below:
                    choices = self.query_one(f"#choices-{line.key}", Static)
                    choices.update(plain(others.get(line.key, line.below)))

    @on(DescendantFocus)
    def show_choices(self) -> None:
        """Show the choices of the focused field only."""
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
        if text := self._told_of(answer):
            self.query_one(".wrong", Static).update(plain(text))
            if key := self._misread or refused_line(self._lines, answer, self._told_of):
                self.query_one(f"#line-{key}", Input).focus()
            self.call_after_refresh(self.fit)
            return
        self.dismiss(answer)

    def _told_of(self, answer: Answer) -> str:
        """Return an answer's error; "" if it is valid."""
        self._misread = ""
        try:
            for one in self._lines:
                self._misread = one.key
                one.read(answer[one.key])
            self._misread = ""
            self._check(answer)
        except CrewdeskError as refused:
            return refused.shown(self.program.shown_step)
        return ""


def refused_line(
    lines: Sequence[Field], answer: Answer, told_of: Callable[[Answer], str]
) -> str | None:
    """Return the key of the refused field: the one whose original value would raise no error. Of
    several the one whose text is in the error, else the last; None if there is none."""
    line = told_of(answer)
    found = [
        one.key
        for one in lines
        if answer[one.key] != one.value and told_of({**answer, one.key: one.value}) != line
    ]
    texts = {key: answer[key].strip().casefold() for key in found}
    quoted = [key for key, text in texts.items() if text and text in line.casefold()]
    return next(reversed(quoted or found), None)


class Choose(Question[str | None]):
    """Several choices, each a button and a key from 1 up."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave", id="any-question.leave"),
        *UP_AND_DOWN,
    ]

    def to_do(self) -> str:
        return "Press the number of your choice, or go to it and press Enter."

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
            yield Static(self.with_keys(_KEYS_OF_CHOICE), classes="about", markup=False)

    def on_key(self, event: Key) -> None:
        """Choose by digit."""
        if event.key.isdecimal() and 1 <= int(event.key) <= len(self._ways):
            self.dismiss(self._ways[int(event.key) - 1][0])

    @on(Button.Pressed)
    def pressed(self, event: Button.Pressed) -> None:
        """Choose by button."""
        self.dismiss(self._ways[int((event.button.id or "way-1").removeprefix("way-")) - 1][0])


def ask(
    app: Program,
    title: str,
    fields: Sequence[Field],
    then: Callable[[Answer], object],
    check: Callable[[Answer], object] = lambda _: None,
    *,
    left: Callable[[], object] = lambda: None,
    **text: Unpack[Told],
) -> None:
    """Ask with a `Form`, and call `then` with the answer, or `left` if the user cancels."""

    def given(answer: Answer | None) -> None:
        left() if answer is None else then(answer)

    app.push_screen(Form(title, fields, check, **text), callback=given)


def ask_change(
    app: Program,
    title: str,
    fields: Sequence[Field],
    act: Callable[[Record, Answer, datetime], Change],
    *,
    then: Callable[[Change], object] = lambda _: None,
    same_will_do: bool = False,
    **text: Unpack[Told],
) -> None:
    """Ask, and make the change of the job that `act` returns for the answer; an error is shown at
    its field. `then` is called with the change. With `same_will_do` unchanged fields change
    nothing."""

    def same(answer: Answer) -> bool:
        return same_will_do and all(answer[one.key] == one.value for one in fields)

    def check(answer: Answer) -> None:
        if same(answer):
            return
        record = app.record
        record.check(rows_after(record.tables, act(record, answer, app.now())))

    def given(answer: Answer) -> None:
        made: list[Change] = []

        def make(record: Record, now: datetime) -> Change:
            made.append(act(record, answer, now))
            return made[-1]

        if not same(answer) and app.do(make):
            then(made[-1])

    ask(app, title, fields, given, check, **text)


def ask_shop_change(
    app: Program,
    title: str,
    fields: Sequence[Field],
    act: Callable[[ShopRecord, Answer, datetime], Change],
    **text: Unpack[Told],
) -> None:
    """Ask, and make the change of the business's record that `act` returns for the answer."""

    def check(answer: Answer) -> None:
        books = app.books
        books.check(rows_after(books.tables, act(books, answer, app.now())))

    def given(answer: Answer) -> None:
        app.do_shop(lambda books, now: act(books, answer, now))

    ask(app, title, fields, given, check, **text)


def choose(
    app: Program,
    title: str,
    ways: Sequence[tuple[str, str]],
    then: Callable[[str], object],
    *,
    about: str = "",
    left: Callable[[], object] = lambda: None,
) -> None:
    """Ask for one of several choices, each a name and its words; call `then` with the name, or
    `left` if the user cancels."""

    def chosen(way: str | None) -> None:
        left() if way is None else then(way)

    app.push_screen(Choose(title, ways, about=about), callback=chosen)


def make_sure(
    app: Program, title: str, does: str, then: Callable[[], object], *, about: str = ""
) -> None:
    """Ask whether to do something, and do it."""
    choose(app, title, (("yes", does),), lambda _: then(), about=about)
