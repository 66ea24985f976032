"""What a step needs, chosen from a list of facts about its piece and its beam."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Label, Static

from crewdesk.job.needs import Need
from crewdesk.job.stages import Stages, Step
from crewdesk.job.step_effects import facts_for
from crewdesk.job.step_words import need_text
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Question
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.named_keys import NamedKeys

_KEYS = "{needed-or-not}: needed or not.  {keep}: keep.  {leave}: leave it as it was."


class NeedsSheet(NamedKeys, Question[tuple[Need, ...] | None]):
    """Every fact that a step can need, those that it needs marked; answers with its needs."""

    AREA = "needs-of-a-step"
    DEFAULT_CSS = """
    NeedsSheet .question { width: 90; }
    NeedsSheet Lines { height: auto; max-height: 60vh; background: $surface; }
    """

    def __init__(self, stages: Stages, step: Step) -> None:
        super().__init__()
        self._stages = stages
        self._step = step
        self._facts = facts_for(stages, step)
        self._needed = set(step.needs)

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(
                plain(f"What does '{self._step.name}' need?"), classes="title", markup=False
            )
            yield Lines()
            yield Static(self.with_keys(_KEYS), classes="about keys", markup=False)

    def on_mount(self) -> None:
        """Show the facts."""
        lines = self.query_one(Lines)
        self._show()
        lines.styles.height = len(lines.rows)
        lines.focus()

    def _show(self) -> None:
        self.query_one(Lines).show(
            [
                Row(
                    (
                        ("■ ", "running") if need in self._needed else ("□ ", "muted"),
                        (plain(need_text(self._stages, need)), "text"),
                    ),
                    str(at),
                )
                for at, need in enumerate(self._facts)
            ]
        )

    @on(Lines.Chosen)
    def action_turn(self) -> None:
        if key := self.query_one(Lines).key:
            self._needed ^= {self._facts[int(key)]}
            self._show()

    def action_keep(self) -> None:
        self.dismiss(tuple(need for need in self._facts if need in self._needed))

    def action_leave(self) -> None:
        self.dismiss(None)
