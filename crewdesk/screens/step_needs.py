"""What a step needs, chosen from a list of facts about its piece and its beam."""

from collections.abc import Iterable

from crewdesk.job.needs import Need
from crewdesk.job.stages import Stages, Step
from crewdesk.job.step_effects import facts_for
from crewdesk.job.step_words import need_text
from crewdesk.screens.sheet import MarkSheet


class NeedsSheet(MarkSheet[tuple[Need, ...] | None, Need]):
    """Every fact that a step can need, those that it needs marked; answers with its needs."""

    AREA = "needs-of-a-step"
    DEFAULT_CSS = "NeedsSheet .question { width: 90; }"
    KEYS = "{needed-or-not}: needed or not.  {keep}: keep.  {leave}: leave it as it was."

    def __init__(self, stages: Stages, step: Step) -> None:
        super().__init__()
        self._stages = stages
        self._step = step
        self._facts = facts_for(stages, step)
        self.marked = set(step.needs)

    @property
    def asks(self) -> str:
        return f"What does '{self._step.name}' need?"

    def things(self) -> Iterable[tuple[str, str, Need]]:
        for at, need in enumerate(self._facts):
            yield f"{at}", need_text(self._stages, need), need

    def action_keep(self) -> None:
        self.dismiss(tuple(need for need in self._facts if need in self.marked))
