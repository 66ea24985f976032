"""The walls at a beam's ends in plan, as the square shows them."""

from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubtful_walls
from crewdesk.job.change import rows_after
from crewdesk.job.in_plan import TypedSquare, read_squares
from crewdesk.length import to_type
from crewdesk.screens.ask import Answer, Ask, Line
from crewdesk.screens.program import Program

_ABOUT = (
    "Hold the square's stock along the beam's line, its leg across at the wall, and read "
    "the gap at the leg's end. The longer side is the one that reaches farther before it "
    "meets the wall."
)
_ABOUT_SLOPED = (
    "Hold the square level: its stock along a level line straight below the beam's line, not along "
    "the slope, its leg level across at the wall. Read the gap at the leg's end. The longer side "
    "is the one that reaches farther before it meets the wall."
)
USUAL_LEG = Fraction(24)


def _end(beam: Beam, end: int) -> str:
    """An end, first by its number, so that a long name of its wall hides no more than itself."""
    name = beam.ends[end - 1]
    return f"end {end}: {name}" if name else f"end {end}"


def how_to_hold(beam: Beam) -> str:
    """How to hold the square and what to read, for this beam: always level, for the slope is
    counted in afterward."""
    return _ABOUT_SLOPED if beam.ceiling == "sloped" else _ABOUT


def ask_walls(app: Program, row: str) -> None:
    """Ask for the gap, the longer side and the leg at both ends; then save the readings."""
    beam = app.record.beam(row)
    step = app.record.job.step
    lines = []
    for end in (1, 2):
        read = beam.pair.square(end)
        gap, longer = (to_type(read.reading.gap, step), read.reading.longer) if read else ("", "")
        lines += [
            Line(f"gap{end}", f"Gap, {_end(beam, end)}", gap, "empty: not read"),
            Line(f"longer{end}", "Longer side there", longer, "A or B"),
        ]
    lines.append(Line("leg", "The square's leg", to_type(USUAL_LEG, step)))

    def typed(answer: Answer) -> tuple[TypedSquare, ...]:
        return tuple(
            TypedSquare(end, answer[f"gap{end}"], answer["leg"], answer[f"longer{end}"])
            for end in (1, 2)
        )

    def check(answer: Answer) -> None:
        change = read_squares(app.record, row, typed(answer), app.now())
        app.record.check(rows_after(app.record.tables, change))

    def given(answer: Answer | None) -> None:
        if answer is not None:
            who = app.desk.shop.shop().who
            done = app.do(
                lambda record, now: read_squares(record, row, typed(answer), now, who=who)
            )
            if done and not app.cuts_told and (why := doubtful_walls(app.record.beam(row))):
                app.tell(f"Saved, but doubtful: {why}", "wrong")

    app.push_screen(
        Ask(f"{beam.label}: the walls in plan", lines, check, about=how_to_hold(beam)),
        callback=given,
    )
