"""What can be done to a step of a piece, the same from every screen: tick it, pass its
gate with a reason, set it aside, take back what was noted."""

from collections.abc import Callable, Sequence

from crewdesk.job.gates import closed
from crewdesk.job.stages import Step
from crewdesk.job.ticks import Spot, clear, set_aside, tick
from crewdesk.screens.ask import Field, ask_change, choose
from crewdesk.screens.piece_steps import StepsSheet, next_of, steps_of
from crewdesk.screens.program import Program

_WAYS = (
    ("blocked", "Blocked: it can't go on yet"),
    ("skipped", "Skipped: this piece goes without"),
)


def tick_step(app: Program, spot: Spot, step: Step) -> bool:
    """Tick a step; False where its gate or something else said no."""
    return app.do(lambda record, now: tick(record, spot, step.id, now))


def ask_past_gate(app: Program, spot: Spot, step: Step) -> None:
    """Ask for the reason to tick a step whose gate is closed."""
    beam = app.record.beam(spot.beam)
    gate = closed(app.record.stages, beam, beam.piece(spot.piece), step)
    if gate is None:
        app.tell("Its gate is open; tick it.")
        return

    ask_change(
        app,
        f"Go past the gate: {step.name}?",
        (Field("reason", "Why", hint="shows on every sheet afterwards"),),
        lambda record, answer, now: tick(record, spot, step.id, now, override=answer["reason"]),
        about=gate,
        does="Tick it all the same",
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
            does="Note it",
        )

    choose(app, step.name, _WAYS, chosen)


def take_back(app: Program, spot: Spot, steps: Sequence[Step]) -> None:
    """Take back what was noted last in the order of work among `steps`."""
    piece = app.record.beam(spot.beam).piece(spot.piece)
    noted = [step for step in steps if step.id in piece.steps]
    if not noted:
        app.tell("Nothing is noted here yet.", "wrong")
        return
    app.do(lambda record, now: clear(record, spot, noted[-1].id, now))


def next_step(app: Program, spot: Spot) -> Step | None:
    """The first step that is not behind a piece; where there is none, that is said."""
    beam = app.record.beam(spot.beam)
    step = next_of(steps_of(app.record.stages, beam, beam.piece(spot.piece)))
    if step is None:
        app.tell("Every step of this piece is done.", "wrong")
    return step


def ask_steps(
    app: Program, spot: Spot, may_check_off: Callable[[Step], bool] = lambda _step: True
) -> None:
    """Show every step of a piece, to act on any of them; `may_check_off` says no, and why on the
    page, where a step can't be checked off from there yet."""
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
