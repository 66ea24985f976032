"""Help: what to do here, the keys that work, and the cautions for the work."""

from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import Screen
from textual.widgets import Label, Static

from crewdesk.job.steps.stages import Stages
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.keys_line import NamedKeys
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.sheet import Question
from crewdesk.screens.piece.steps import cautions_told, stage_of_work

_KEY, _COLUMN, _WIDE = 10, 33, 78
_KEYS = "{cautions}: cautions.  {leave}: leave."
_KEYS_OF_CAUTIONS = (
    "{stage-before}, {stage-after}: other stages.  {cautions}: keys.  {leave}: leave."
)


class HelpSheet(Question[None]):
    """What to do and the keys; one key away the cautions of a stage."""

    AREA = "help"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("exclamation_mark", "leave", show=False),
    ]
    DEFAULT_CSS = """
    HelpSheet VerticalScroll { height: auto; max-height: 70vh; scrollbar-size-vertical: 1; }
    HelpSheet #text { height: auto; padding: 0 1 0 0; }
    """

    def __init__(self, screen: Screen[Any], stage: str | None = None) -> None:
        """screen: the screen it is about. stage: the stage whose cautions are shown first; None for
        the keys."""
        super().__init__()
        self._title = plain(f"Help: {screen.where}") if isinstance(screen, Page) else "Help"
        self._to_do = plain(screen.to_do()) if isinstance(screen, NamedKeys) else ""
        self._keys = _keys(screen)
        self._stage = stage

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(classes="title", id="title", markup=False)
            with VerticalScroll():
                yield Static(id="text", markup=False)
            yield Static(classes="about", id="below", markup=False)

    def on_mount(self) -> None:
        """Begin with what to do."""
        self._show()
        self.query_one(VerticalScroll).focus()

    def _show(self) -> None:
        stages = self._stages
        if self._stage is None or stages is None:
            text = Text(f"{self._to_do}\n\n")
            text.append_text(self._keys)
            title, below = self._title, self.with_keys(_KEYS)
        else:
            title = f"Cautions: {plain(stages.name_of(self._stage))}"
            text, below = cautions_told(self._stage), self.with_keys(_KEYS_OF_CAUTIONS)
        self.query_one("#title", Label).update(title)
        self.query_one("#text", Static).update(text)
        self.query_one("#below", Static).update(below)
        self.query_one(VerticalScroll).scroll_home(animate=False)

    @property
    def _stages(self) -> Stages | None:
        from crewdesk.job.steps.usual_stages import USUAL_STAGES

        return self.program.record.stages if self.program.job else USUAL_STAGES

    def action_cautions(self) -> None:
        self._stage = stage_of_work(self.program) if self._stage is None else None
        self._show()

    def action_turn(self, by: int) -> None:
        stages = self._stages
        if self._stage is None or stages is None:
            return
        ids = [stage.id for stage in stages]
        self._stage = ids[(ids.index(self._stage) + by) % len(ids)]
        self._show()

    def action_leave(self) -> None:
        self.dismiss()


def _keys(screen: Screen[Any]) -> Text:
    """Return every key of a screen, with its words, from its bindings."""
    app = screen.app
    here: dict[str, list[str]] = {}
    inside: dict[str, list[str]] = {}
    everywhere: dict[str, list[str]] = {}
    for active in screen.active_bindings.values():
        binding = active.binding
        if not binding.id:  # Keys of every input and every list.
            continue
        told = {app: everywhere, screen: here}.get(active.node, inside)
        told.setdefault(binding.description, []).append(app.get_key_display(binding))
    text = Text()
    for head, told in (("Keys here", here | inside), ("Keys everywhere", everywhere)):
        if told:
            text.append(f"{head}\n", style="bold")
            text.append(f"{_in_columns(told, 1 if app.size.width < _WIDE else 2)}\n")
    text.rstrip()
    return text


def _in_columns(told: dict[str, list[str]], columns: int) -> str:
    """Return keys in columns, a long one on its own line."""
    lines, left = [], ""
    for words, keys in told.items():
        shown = " ".join(dict.fromkeys(keys))
        cell = f"{shown:<{_KEY}} {words}"
        if columns == 1 or len(cell) >= _COLUMN:
            lines += [left, cell]
            left = ""
        elif left:
            lines.append(f"{left:<{_COLUMN}}{cell}")
            left = ""
        else:
            left = cell
    return "".join(f"{line}\n" for line in (*lines, left) if line)
