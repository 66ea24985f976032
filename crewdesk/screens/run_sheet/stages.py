"""The job's stages and their steps, to customize, and a step's needs."""

from collections.abc import Callable, Iterable
from datetime import datetime

from rich.text import Text
from textual import on

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.steps.restage import (
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
    waiver_text,
)
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.stages import Need, Stage, Stages, Step, reason_given
from crewdesk.job.steps.step_effects import facts_for
from crewdesk.job.steps.usual_stages import kinds_read, kinds_told, need_text, needs_told
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.ask import Answer, Field, ask, ask_change, make_sure
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import LinesPage, fit
from crewdesk.screens.parts.sheet import MarkSheet
from crewdesk.screens.parts.stick import Part, ruled, stick
from crewdesk.sentence import many


class NeedsSheet(MarkSheet[tuple[Need, ...] | None, Need]):
    """Every possible need of a step, its own ones marked; returns its needs."""

    AREA = "needs-of-a-step"
    DEFAULT_CSS = "NeedsSheet .question { width: 90; }"
    KEYS = "{needed-or-not}: needed or not.  {keep}: save.  {leave}: cancel."

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


_STAGE, _STEP = "stage ", "step "
_NAME, _STICK, _TOLD = 36, 24, 24
"""Columns of a step's name, of a stage's stick at most, and of the numbers beside it."""


class StagesPage(LinesPage):
    """A line for each stage, and under it one for each of its steps."""

    WHERE = "{job} · stages"
    AREA = "stages"
    DEFAULT_CSS = """
    StagesPage Lines { padding: 0 0 0 1; }
    StagesPage #here { height: 4; }
    """

    def rows(self) -> list[Row]:
        return _rows(self.program.record, self.size.width - 3)

    @property
    def _here(self) -> tuple[Stage, Step | None]:
        """Return the stage and, if the cursor is on one, the step."""
        key, stages = self.key, self.program.record.stages
        if key.startswith(_STEP):
            return stages.find(key.removeprefix(_STEP))
        return stages.stage(key.removeprefix(_STAGE)), None

    def about(self, key: str) -> Text:
        stages = self.program.record.stages
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
                    "\nPress {move-up} or {move-down} to move it, {pieces} to set its "
                    "pieces, {needs} what it needs."
                )
            )
        elif stage.steps:
            text.append("\nA column of the run sheet; its steps are done in this order.\n")
            text.append(
                self.with_keys(
                    "Press {move-up} or {move-down} to move it, {add-stage} to add a "
                    "stage after the last."
                )
            )
        else:
            text.append(self.with_keys("\nIt has no steps. Press {add-step} to add one."))
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
        """Make a change; ask for the reason first if it opens steps, or for confirmation if it
        opens none and the user isn't `sure`."""

        app = self.program

        def without(reason: str = "") -> None:
            self._do(lambda record, now: act(record, now, reason), go_to)

        try:
            act(app.record, app.now(), "")
        except ReasonNeeded as opened:
            ask(
                app,
                title,
                (Field("reason", "Why", hint="is saved and shown on the progress sheet"),),
                lambda answer: without(answer["reason"]),
                lambda answer: act(app.record, app.now(), reason_given(answer["reason"])),
                does=does,
                about=f"{opened} {about}".strip(),
            )
        except CrewdeskError:
            without()
        else:
            if sure:
                without()
            else:
                make_sure(app, title, does, without, about=about)

    def _do(self, act: Callable[[Record, datetime], Change], go_to: str = "") -> bool:
        done = self.program.do(act)
        if done and go_to:
            self.query_one(Lines).go_to(go_to)
        return done

    @on(Lines.Chosen)
    def action_rename(self) -> None:
        stage, step = self._here
        one = step or stage
        rename = rename_step if step else rename_stage

        ask_change(
            self.program,
            "Another name",
            (Field("name", "Name", one.name),),
            lambda record, answer, now: rename(record, one.id, answer["name"], now),
            same_will_do=True,
            does="Rename it",
        )

    def action_add_step(self) -> None:
        stage, step = self._here
        kinds = kinds_told(step.kinds if step else ("side",))
        ask_change(
            self.program,
            f"A new step in {stage.name}",
            (Field("name", "What is done"), Field("kinds", "For which pieces", kinds)),
            lambda record, answer, now: add_step(
                record, stage.id, answer["name"], kinds_read(answer["kinds"]), now
            ),
            then=lambda _: self._go_to_last(stage.id),
            does="Add the step",
        )

    def action_add_stage(self) -> None:
        ask_change(
            self.program,
            "A new stage, after the last",
            (Field("name", "Name"),),
            lambda record, answer, now: add_stage(record, answer["name"], now),
            then=lambda _: self._go_to_last(),
            does="Add the stage",
        )

    def _go_to_last(self, stage: str = "") -> None:
        """Put the cursor on the last step of a stage, or on the last stage."""
        stages = self.program.record.stages
        last = _STEP + stages.stage(stage).steps[-1].id if stage else ""
        self.query_one(Lines).go_to(last or _STAGE + stages.stages[-1].id)

    def action_move(self, by: int) -> None:
        stage, step = self._here
        one, row = (step, stage.steps) if step else (stage, self.program.record.stages.stages)
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
            self.tell("A stage has the pieces of its steps. Go to a step.", "wrong")
            return

        def given(answer: Answer) -> None:
            if (which := kinds_read(answer["kinds"])) != step.kinds:
                self._do_for_reason(
                    f"Make '{step.name}' a step of {kinds_told(which)}?",
                    lambda record, now, reason: for_kinds(
                        record, step.id, which, now, reason=reason
                    ),
                    does="Save",
                )

        kinds = kinds_told(step.kinds)
        ask(
            self.program,
            step.name,
            (Field("kinds", "For which pieces", kinds, "sides, bottoms, tops, cleats"),),
            given,
            lambda answer: kinds_read(answer["kinds"]),
        )

    def action_needs(self) -> None:
        _, step = self._here
        if step is None:
            self.tell("Needs belong to a step. Go to a step.", "wrong")
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

        self.app.push_screen(NeedsSheet(self.program.record.stages, step), callback=chosen)

    def action_drop(self) -> None:
        stage, step = self._here
        name, id_ = (step.name, step.id) if step else (stage.name, stage.id)
        drop = drop_step if step else drop_stage
        ticked = _ticked(self.program.record, (step,) if step else stage.steps)
        about = f"{ticked} check-offs are hidden then; " if ticked else ""

        self._do_for_reason(
            f"Remove the {('step' if step else 'stage')} '{name}'?",
            lambda record, now, reason: drop(record, id_, now, reason=reason),
            does="Remove it",
            about=f"{about}Ctrl+z undoes it.".capitalize(),
            sure=False,
        )


def _ticked(record: Record, steps: Iterable[Step]) -> int:
    ids = {step.id for step in steps}
    return sum(
        len(ids & set(piece.steps)) for beam in record.beams for piece in beam.pieces.values()
    )


def _rows(record: Record, width: int) -> list[Row]:
    rows = []
    sheet = RunSheet(record)
    whole = zip(record.stages, sheet.totals(), sheet.pieces(), strict=True)
    for number, (stage, total, pieces) in enumerate(whole, 1):
        head = ruled(f"{number} {plain(stage.name)}", min(_NAME + 8, width // 2) - 1)
        text = f" {total.behind}/{total.steps} steps, {many(pieces, 'piece')}"
        room = min(max(width - _NAME - 8 - _TOLD, 0), _STICK)
        drawn = stick(total.behind, total.steps or 1, total.steps or 1, room)
        parts: list[Part] = [*drawn, (text, "strong")] if total.steps else [(" no piece", "muted")]
        rows.append(Row((" ", "text"), *head, (" ", "text"), *parts, key=_STAGE + stage.id))
        rows += [
            Row(
                (f"      {fit(plain(step.name), _NAME)}  ", "text"),
                (kinds_told(step.kinds), "muted"),
                key=_STEP + step.id,
            )
            for step in stage.steps
        ]
    return rows
