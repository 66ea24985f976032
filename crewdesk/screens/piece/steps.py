"""The steps of a piece by stage: in one line of signs, as a list, and the actions on one."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from rich.text import Text
from textual import on
from textual.content import Content
from textual.widget import Widget
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.cuts.changed_cut import ChangedCut
from crewdesk.job.cuts.changed_cuts import changed_cuts, held_cuts, rests_on
from crewdesk.job.steps.cautions import cautions
from crewdesk.job.steps.gates import closed, state
from crewdesk.job.steps.run_sheet import next_stage
from crewdesk.job.steps.stages import PIECE, Stage, Stages, Step
from crewdesk.job.steps.ticks import clear, set_aside, tick
from crewdesk.job.time.clock import running
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.ask import Field, ask_change, choose
from crewdesk.screens.parts.fitted import cut_off, in_rows
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.page import stage_here
from crewdesk.screens.parts.pick_list import PickList
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import ListSheet
from crewdesk.screens.parts.stick import LEFT
from crewdesk.screens.piece.cut_told import joined
from crewdesk.screens.piece.to_the_saw import Parts

_STYLES = {
    "done": "$done",
    "ready": "$ready bold",
    "not ready": "$waiting",
    "blocked": "$blocked bold",
    "skipped": "$skipped",
}


@dataclass(frozen=True)
class Stood:
    """A step of the piece and its state; `note` is its note, `cut` the text about its cut, `waived`
    the reason of a waived need."""

    stage: Stage
    step: Step
    state: str
    note: str
    cut: str = ""
    waived: str = ""

    @property
    def behind(self) -> bool:
        """Whether it is done or skipped."""
        return self.state in ("done", "skipped")


def steps_of(stages: Stages, beam: Beam, piece: Piece) -> tuple[Stood, ...]:
    """Return every step of the piece in the order of work."""
    stood = []
    cuts = {one.step_id: one for one in changed_cuts(beam) if one.spot.piece == piece.key}
    waived = {
        id_: waiver.reason
        for waiver in stages.waived
        for id_, need in waiver.needs
        if need.who != PIECE
    }
    for stage in stages:
        for step in stage.steps:
            if step.is_for(piece.kind, piece.traits):
                mark = piece.steps.get(step.id)
                note = (mark.override or mark.reason) if mark else ""
                cut = _cut_told(cuts.get(step.id))
                at = state(stages, beam, piece, step)
                stood.append(Stood(stage, step, at, note, cut, waived.get(step.id, "")))
    return tuple(stood)


def _cut_told(cut: ChangedCut | None) -> str:
    if cut is None or not (cut.held or cut.kept):
        return ""
    kept = cut.mark.kept
    return "? figures changed" if cut.held or kept is None else f"kept as cut: {kept.reason}"


def next_of(steps: tuple[Stood, ...]) -> Step | None:
    """Return the first step that is neither done nor skipped."""
    return next((one.step for one in steps if not one.behind), None)


def signs_told(steps: tuple[Stood, ...]) -> Content:
    """Return a sign for each step, stage after stage."""
    return joined([list(_signs(steps))])


def _signs(steps: tuple[Stood, ...]) -> Iterator[tuple[str, str]]:
    stage = ""
    for one in steps:
        if one.stage.id != stage:
            yield f"{'  ' if stage else ''}{plain(one.stage.name)} ", "$secondary"
            stage = one.stage.id
        yield SIGNS[one.state], _STYLES[one.state]


def next_told(
    stages: Stages,
    beam: Beam,
    piece: Piece,
    steps: tuple[Stood, ...],
    with_keys: Callable[[str], str],
    aside: tuple[str, str],
    width: int,
    *,
    set_: bool,
) -> Content:
    """Return the next step in a rule, with `aside`, a text and its style, at its right end; below
    it what the step needs, or first a cut that needs an answer. `with_keys` puts the piece page's
    keys into a text."""
    step = next_of(steps)
    for cut in held_cuts(beam):
        if cut.spot.piece == piece.key or (step and rests_on(stages, beam, piece, step, cut)):
            text = f"{plain(cut.told)} {with_keys('Press {changed-cut} to answer.')}"
            head: Parts = [("? a cut's figures changed", f"{_WAITS} bold")]
            return _ruled(head, aside, width, (text, f"{_WAITS} bold"))
    if step is None:
        words = "Every step of this piece is done" if steps else "It has no steps"
        return _ruled([(words, "$muted")], aside, width)
    name = plain(step.name)
    if (mark := piece.steps.get(step.id)) is not None:
        why = (f"blocked: {plain(mark.reason)}", "$blocked")
        return _ruled([(f"✕ {name}", "bold")], aside, width, why)
    if gate := closed(stages, beam, piece, step):
        why = (f"{plain(gate)} {with_keys('Press {pass-gate} to override.')}", _WAITS)
        return _ruled([(f"· next: {name}", "bold")], aside, width, why)
    key = with_keys("{tick}")
    return _ruled(
        [
            (f"□ next: {name}", "bold" if set_ else "$ready bold"),
            (f"  {key} ", "$key bold"),
            ("checks off", "$muted"),
        ],
        aside,
        width,
    )


_WAITS = "$warning"
_MOST = 2
"""Rows for the next step's needs."""


def _ruled(
    head: Parts, aside: tuple[str, str], width: int, below: tuple[str, str] | None = None
) -> Content:
    """Return a rule with text and, if there is room, `aside` at its right, above a sentence."""
    room = width - 8
    long, style = head[0]
    if len(long) + sum(len(text) for text, _ in head[1:]) > room:
        head = head[:2]  # without what the key does
    rest = sum(len(text) for text, _ in head[1:])
    head = [(cut_off(long, room - rest), style), *head[1:]]
    used = sum(len(text) for text, _ in head)
    if used + len(aside[0]) > room - 4:
        aside = ("", "")
    right: Parts = [(f" {aside[0]} ", aside[1])] if aside[0] else []
    line = LEFT * max(width - used - 6 - (len(aside[0]) + 2 if aside[0] else 0), 2)
    rule: Parts = [(f"{LEFT * 2} ", "$muted"), *head, (f" {line}", "$muted"), *right]
    rule.append((LEFT * 2, "$muted"))
    if below is None:
        return joined([rule])
    return joined([rule, [(in_rows(below[0], width, _MOST), below[1])]])


def list_told(steps: tuple[Stood, ...]) -> Content:
    """Return every step under its stage's name, the next one marked."""
    here, stage = next_of(steps), ""
    lines: list[Parts] = []
    for one in steps:
        if one.stage.id != stage:
            lines.append([(plain(one.stage.name), "$secondary bold")])
            stage = one.stage.id
        lines.append(_line(one, pointed=one.step is here))
    return joined(lines)


def _line(one: Stood, *, pointed: bool = False) -> Parts:
    parts: Parts = [
        ("▸ " if pointed else "  ", "$accent bold"),
        (SIGNS[one.state], _STYLES[one.state]),
        (f" {plain(one.step.name)}", "bold" if pointed else ""),
    ]
    if one.cut:
        parts.append((f"  {plain(one.cut)}", "$blocked" if one.cut[0] == "?" else "$override"))
    if one.note:
        parts.append(
            (f"  {('override: ' if one.state == 'done' else '')}{plain(one.note)}", "$override")
        )
    if one.waived:
        parts.append((f"  need dropped: {plain(one.waived)}", "$override"))
    return parts


class StepsSheet(ListSheet[tuple[str, Step] | None]):
    """Every step of a piece; returns the action and its step."""

    AREA = "steps-of-a-piece"
    DEFAULT_CSS = """
    StepsSheet OptionList { scrollbar-size-vertical: 1; }
    StepsSheet OptionList:focus { background: $surface; background-tint: 0%; }
    """
    KEYS = (
        "Enter: check off.  {pass-gate}: override.  {block}: block or skip.  "
        "{take-back}: undo.  {cautions}: cautions."
    )

    def __init__(self, title: str, steps: tuple[Stood, ...]) -> None:
        super().__init__()
        self._title = title
        self._steps = steps

    @property
    def asks(self) -> str:
        return self._title

    def body(self) -> Iterable[Widget]:
        yield PickList(*self._options(), markup=False)

    def _options(self) -> Iterator[Option]:
        stage = ""
        for one in self._steps:
            if one.stage.id != stage:
                head = Content.assemble((plain(one.stage.name), "$secondary bold"))
                yield Option(head, disabled=True)
                stage = one.stage.id
            yield Option(joined([_line(one)]).plain, id=one.step.id)

    def on_mount(self) -> None:
        """Begin on the next step."""
        options = self.query_one(OptionList)
        step = next_of(self._steps) or (self._steps[-1].step if self._steps else None)
        if step is not None:
            options.highlighted = options.get_option_index(step.id)

    @on(OptionList.OptionSelected)
    def chosen(self) -> None:
        """Check off by Enter."""
        self.action_act("tick")

    @property
    def _here(self) -> Stood | None:
        """The step under the bar."""
        option = self.query_one(OptionList).highlighted_option
        return next((one for one in self._steps if option and one.step.id == option.id), None)

    def action_act(self, act: str) -> None:
        if (here := self._here) is not None:
            self.dismiss((act, here.step))

    def action_cautions(self) -> None:
        if (here := self._here) is not None:
            self.show_cautions(here.stage.id)


_WAYS = (
    ("blocked", "Blocked: it can't go on yet"),
    ("skipped", "Skipped: this piece goes without"),
)


def tick_step(app: Program, spot: Spot, step: Step) -> bool:
    """Check a step off; return False if its gate or something else prevents it."""
    return app.do(lambda record, now: tick(record, spot, step.id, now))


def ask_past_gate(app: Program, spot: Spot, step: Step) -> None:
    """Ask for the reason to override a step's closed gate."""
    beam = app.record.beam(spot.beam)
    gate = closed(app.record.stages, beam, beam.piece(spot.piece), step)
    if gate is None:
        app.tell("It is ready. Check it off.")
        return

    ask_change(
        app,
        f"Do it early: {step.name}?",
        (Field("reason", "Why", hint="shown on every sheet afterwards"),),
        lambda record, answer, now: tick(record, spot, step.id, now, override=answer["reason"]),
        about=gate,
        does="Check it off anyway",
    )


def ask_set_aside(app: Program, spot: Spot, step: Step) -> None:
    """Ask whether a step is blocked or skipped, and why."""

    def chosen(way: str) -> None:
        ask_change(
            app,
            f"{step.name}: {way}",
            (Field("reason", "Why"),),
            lambda record, answer, now: set_aside(
                record, spot, step.id, way, answer["reason"], now
            ),
            does="Enter it",
        )

    choose(app, step.name, _WAYS, chosen)


def take_back(app: Program, spot: Spot, steps: Sequence[Step]) -> None:
    """Clear the last mark, in order of work, among `steps`."""
    piece = app.record.beam(spot.beam).piece(spot.piece)
    noted = [step for step in steps if step.id in piece.steps]
    if not noted:
        app.tell("Nothing is checked off here.", "wrong")
        return
    app.do(lambda record, now: clear(record, spot, noted[-1].id, now))


def next_step(app: Program, spot: Spot) -> Step | None:
    """Return the first step that is neither done nor skipped; if there is none, say so."""
    beam = app.record.beam(spot.beam)
    step = next_of(steps_of(app.record.stages, beam, beam.piece(spot.piece)))
    if step is None:
        app.tell("Every step of this piece is done.", "wrong")
    return step


def ask_steps(
    app: Program, spot: Spot, may_check_off: Callable[[Step], bool] = lambda _step: True
) -> None:
    """Show every step of a piece, to act on one; `may_check_off` returns False, and shows why on
    the page, if a step can't be checked off from there."""
    acts = {"tick": tick_step, "pass gate": ask_past_gate, "set aside": ask_set_aside}

    def chosen(act_on: tuple[str, Step] | None) -> None:
        if act_on is None:
            return
        act, step = act_on
        if act == "take back":
            take_back(app, spot, (step,))
        elif act == "set aside" or may_check_off(step):
            acts[act](app, spot, step)

    beam = app.record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    steps = steps_of(app.record.stages, beam, piece)
    app.push_screen(StepsSheet(f"{beam.label} · {piece.name}", steps), callback=chosen)


def stage_of_work(app: Program) -> str:
    """Return the stage of the clock, or under the run sheet's cursor, or the first."""
    from crewdesk.job.steps.usual_stages import USUAL_STAGES

    if app.job is None:
        return next(iter(USUAL_STAGES)).id
    entry = running(app.record)
    if entry is not None and any(stage.id == entry.stage for stage in app.record.stages):
        return entry.stage
    return stage_here(app) or next(iter(app.record.stages)).id


def cautions_told(stage: str) -> Text:
    """Return a stage's cautions, each with its source."""
    text = Text()
    for place, one in enumerate(cautions(stage)):
        text.append("\n\n" if place else "")
        text.append("! ", style="bold")
        text.append(one.text)
        if one.source:
            text.append(f"\n  ({one.source})", style="italic")
    return text


def stage_of_piece(app: Program, spot: Spot) -> str:
    """Return a piece's stage, or the last one if all are done."""
    beam = app.record.beam(spot.beam)
    stage = next_stage(app.record.stages, beam, beam.piece(spot.piece))
    return (stage or app.record.stages.stages[-1]).id


def stage_of_step(app: Program, step: str, spot: Spot) -> str:
    """Return the stage of a step, or the piece's if none has it any more."""
    stages = app.record.stages
    return stages.find(step)[0].id if stages.has(step) else stage_of_piece(app, spot)
