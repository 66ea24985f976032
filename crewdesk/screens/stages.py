"""The job's stages and their steps, to make one's own."""

from collections.abc import Callable, Iterable
from datetime import datetime

from rich.text import Text
from textual import on

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change
from crewdesk.job.effect_words import waiver_text
from crewdesk.job.needs import Need, reason_given
from crewdesk.job.record import Record
from crewdesk.job.restage import (
    ReasonNeeded,
    add_stage,
    add_step,
    change_needs,
    drop_stage,
    drop_step,
    for_kinds,
    move_stage,
    move_step,
    rename_stage,
    rename_step,
)
from crewdesk.job.stages import Stage, Step
from crewdesk.job.step_words import kinds_read, kinds_told, needs_told
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Answer, Ask, Choose, Line
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.screens.step_needs import NeedsSheet

_STAGE, _STEP = "stage ", "step "
_NAME = 44


class StagesPage(LinesPage):
    """A line for each stage, and under it one for each of its steps."""

    AREA = "stages"
    DEFAULT_CSS = """
    StagesPage Lines { padding: 0 0 0 1; }
    StagesPage #here { height: 6; }
    """

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · stages"

    def rows(self) -> list[Row]:
        return _rows(self.desk_app.record)

    @property
    def _here(self) -> tuple[Stage, Step | None]:
        """The stage and, where the cursor stands on one, the step."""
        key, stages = self.key, self.desk_app.record.stages
        if key.startswith(_STEP):
            return stages.find(key.removeprefix(_STEP))
        return stages.stage(key.removeprefix(_STAGE)), None

    def about(self, key: str) -> Text:
        stages = self.desk_app.record.stages
        stage, step = self._here
        text = Text(overflow="ellipsis")
        text.append(plain(f"{stage.name} · {step.name}" if step else stage.name), style="bold")
        if step is not None:
            text.append(f"\nFor {kinds_told(step.kinds)}. ")
            text.append(plain(needs_told(stages, step)))
            for waiver in stages.waived:
                if step.id in [id_ for id_, _ in waiver.needs]:
                    text.append(plain(f" {waiver_text(stages, waiver)}."), style="italic")
            text.append(
                self.with_keys(
                    "\n{move-up} and {move-down} move it; {pieces} says for which pieces it is, "
                    "{needs} what it needs."
                )
            )
        elif stage.steps:
            text.append("\nA column of the run sheet; its steps are done in this order.\n")
            text.append(
                self.with_keys(
                    "{move-up} and {move-down} move it; {add-stage} adds a stage after the last."
                )
            )
        else:
            text.append(self.with_keys("\nIt has no step yet; {add-step} adds one."))
        return text

    def _do_for_reason(
        self,
        title: str,
        act: Callable[[Record, datetime, str], Change],
        *,
        does: str,
        about: str = "",
        sure: bool = True,
        go_to: str = "",
    ) -> None:
        """Make a change, and ask for the reason first where it opens steps; where it opens
        none and one is not `sure`, ask whether to make it."""

        def with_reason(answer: Answer | None) -> None:
            if answer is not None:
                self._do(lambda record, now: act(record, now, answer["reason"]), go_to)

        def without(way: str | None) -> None:
            if way is not None:
                self._do(lambda record, now: act(record, now, ""), go_to)

        app = self.desk_app
        try:
            act(app.record, app.now(), "")
        except ReasonNeeded as opened:
            self._ask(
                title,
                (Line("reason", "Why", hint="is saved and shown on the progress sheet"),),
                with_reason,
                lambda answer: act(app.record, app.now(), reason_given(answer["reason"])),
                does=does,
                about=f"{opened} {about}".strip(),
            )
        except CrewdeskError:
            without("")
        else:
            if sure:
                without("")
            else:
                self.app.push_screen(Choose(title, (("yes", does),), about=about), callback=without)

    def _do(self, act: Callable[[Record, datetime], Change], go_to: str = "") -> bool:
        done = self.desk_app.do(act)
        if done and go_to:
            self.query_one(Lines).go_to(go_to)
        return done

    @on(Lines.Chosen)
    def action_rename(self) -> None:
        stage, step = self._here
        one = step or stage
        rename = rename_step if step else rename_stage

        def given(answer: Answer | None) -> None:
            if answer is not None and answer["name"].strip() != one.name:
                self._do(lambda record, now: rename(record, one.id, answer["name"], now))

        self._ask("Another name", (Line("name", "Name", one.name),), given, does="Rename it")

    def action_add_step(self) -> None:
        stage, step = self._here
        kinds = kinds_told(step.kinds if step else ("side",))

        def given(answer: Answer | None) -> None:
            if answer is not None:
                name, which = answer["name"], kinds_read(answer["kinds"])
                self._do(lambda record, now: add_step(record, stage.id, name, which, now))
                added = self.desk_app.record.stages.stage(stage.id).steps
                if added:
                    self.query_one(Lines).go_to(_STEP + added[-1].id)

        self._ask(
            f"A new step in {stage.name}",
            (Line("name", "What is done"), Line("kinds", "For which pieces", kinds)),
            given,
            lambda a: add_step(
                self.desk_app.record,
                stage.id,
                a["name"],
                kinds_read(a["kinds"]),
                self.desk_app.now(),
            ),
            does="Add the step",
        )

    def action_add_stage(self) -> None:

        def given(answer: Answer | None) -> None:
            if answer is not None and self._do(
                lambda record, now: add_stage(record, answer["name"], now)
            ):
                self.query_one(Lines).go_to(_STAGE + self.desk_app.record.stages.stages[-1].id)

        self._ask(
            "A new stage, after the last",
            (Line("name", "Name"),),
            given,
            lambda a: add_stage(self.desk_app.record, a["name"], self.desk_app.now()),
            does="Add the stage",
        )

    def _ask(
        self,
        title: str,
        lines: tuple[Line, ...],
        given: Callable[[Answer | None], None],
        check: Callable[[Answer], object] = lambda _: None,
        *,
        does: str,
        about: str = "",
    ) -> None:
        self.app.push_screen(Ask(title, lines, check, does=does, about=about), callback=given)

    def action_move(self, by: int) -> None:
        stage, step = self._here
        one, row = (step, stage.steps) if step else (stage, self.desk_app.record.stages.stages)
        assert one is not None
        place = [other.id for other in row].index(one.id) + by
        if not 0 <= place < len(row):
            inside = f" in {stage.name}" if step else ""
            self.tell(f"{one.name} is the {'first' if by < 0 else 'last'}{inside} already.")
            return
        move = move_step if step else move_stage
        self._do_for_reason(
            f"Move '{one.name}' {'up' if by < 0 else 'down'}?",
            lambda record, now, reason: move(record, one.id, by, now, reason=reason),
            does="Move it",
            go_to=self.key,
        )

    def action_kinds(self) -> None:
        _, step = self._here
        if step is None:
            self.tell("A stage is for whatever its steps are for; go to a step.", "wrong")
            return

        def given(answer: Answer | None) -> None:
            if answer is not None and kinds_read(answer["kinds"]) != step.kinds:
                which = kinds_read(answer["kinds"])
                self._do_for_reason(
                    f"Make '{step.name}' a step of {kinds_told(which)}?",
                    lambda record, now, reason: for_kinds(
                        record, step.id, which, now, reason=reason
                    ),
                    does="Save",
                )

        self._ask(
            step.name,
            (
                Line(
                    "kinds",
                    "For which pieces",
                    kinds_told(step.kinds),
                    "sides, bottoms, tops, cleats",
                ),
            ),
            given,
            lambda answer: kinds_read(answer["kinds"]),
            does="Save",
        )

    def action_needs(self) -> None:
        _, step = self._here
        if step is None:
            self.tell("A stage needs nothing by itself; go to a step.", "wrong")
            return

        def chosen(needs: tuple[Need, ...] | None) -> None:
            if needs is not None and set(needs) != set(step.needs):
                self._do_for_reason(
                    f"Change what '{step.name}' needs?",
                    lambda record, now, reason: change_needs(
                        record, step.id, needs, now, reason=reason
                    ),
                    does="Save",
                )

        self.app.push_screen(NeedsSheet(self.desk_app.record.stages, step), callback=chosen)

    def action_drop(self) -> None:
        stage, step = self._here
        name, id_ = (step.name, step.id) if step else (stage.name, stage.id)
        drop = drop_step if step else drop_stage
        ticked = _ticked(self.desk_app.record, (step,) if step else stage.steps)
        about = f"{ticked} ticks go out of sight with it; " if ticked else ""

        self._do_for_reason(
            f"Drop the {'step' if step else 'stage'} '{name}'?",
            lambda record, now, reason: drop(record, id_, now, reason=reason),
            does="Drop it",
            about=f"{about}ctrl+z brings it back.".capitalize(),
            sure=False,
        )


def _ticked(record: Record, steps: Iterable[Step]) -> int:
    ids = {step.id for step in steps}
    return sum(
        len(ids & set(piece.steps)) for beam in record.beams for piece in beam.pieces.values()
    )


def _rows(record: Record) -> list[Row]:
    rows = []
    for number, stage in enumerate(record.stages, 1):
        rows.append(Row(((f"{number}  {plain(stage.name)}", "head"),), _STAGE + stage.id))
        rows += [
            Row(
                (
                    (f"     {plain(step.name):<{_NAME}.{_NAME}}  ", "text"),
                    (kinds_told(step.kinds), "muted"),
                ),
                _STEP + step.id,
            )
            for step in stage.steps
        ]
    return rows
