"""A question that was answered before its turn to be fitted came; the line that is refused."""

from fractions import Fraction

import pytest
from textual.widgets import Static

from crewdesk.errors import BadInput
from crewdesk.job.beams.beams import change_job
from crewdesk.screens.parts.ask import Choose, Field, Form, refused_line


def test_a_question_that_is_gone_is_not_fitted() -> None:
    gone = Choose("Which batch?", [("rip", "Rip")])  # nothing of it stands on a screen
    gone.fit()
    assert not gone.query(".question")


@pytest.mark.parametrize(
    ("answer", "refused"),
    [
        ({"gap": "1/4", "longer": "left", "leg": "24"}, "longer"),  # its text is told
        ({"gap": "1/4", "longer": "", "leg": "24"}, "gap"),
        ({"gap": "x", "longer": "a", "leg": "12"}, "gap"),
        ({"gap": "", "longer": "a", "leg": "24"}, None),  # nothing was typed that is wrong
    ],
)
def test_one_is_put_into_the_line_that_is_refused(answer, refused) -> None:
    def told_of(given: dict[str, str]) -> str:
        if not given["gap"]:
            return "No gap was given."
        if given["gap"] == "x":
            return "x is not a length."
        if not given["longer"]:
            return "Say which side is the longer."
        return "" if given["longer"] in "ab" else f"The longer side is {given['longer'].upper()}."

    lines = (Field("gap", "Gap"), Field("longer", "Longer side"), Field("leg", "Leg", "24"))
    assert refused_line(lines, answer, told_of) == refused


async def test_a_question_refuses_in_the_job_s_unit(start_app, job, now) -> None:
    """A quarter of an inch is 6.35 mm."""
    job.make(change_job(job.record, {"step": "mm"}, now))
    job.close(now)
    app = start_app(job.id)

    def check(_: object) -> None:
        raise BadInput("The gap is {gap} in wide.", gap=Fraction(1, 4))

    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await app.push_screen(Form("Gap?", (Field("gap", "Gap"),), check))
        await pilot.press("1", "ctrl+s")
        await pilot.pause()
        assert str(app.screen.query_one(".wrong", Static).content) == "The gap is 6+ mm wide."


async def test_few_answers_are_turned_through(start_app, hill: str) -> None:
    """Left and Right turn through them; what is typed, and a line without them, stays as it is."""
    app = start_app(hill)
    fields = (Field("cure", "Cure", answers=("wedge", "caulk")), Field("note", "Note", "as is"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await app.push_screen(Form("A gap", fields))
        await pilot.pause()
        below = app.screen.query_one("#choices-cure", Static)
        assert below.display
        assert str(below.content).startswith("wedge, caulk;")
        for key, stands in (("right", "wedge"), ("right", "caulk"), ("right", "wedge")):
            await pilot.press(key)
            assert app.screen.answer()["cure"] == stands
        await pilot.press("left")
        assert app.screen.answer()["cure"] == "caulk"
        await pilot.press("x", "left")
        assert app.screen.answer()["cure"] == "x"
        await pilot.press("down", "left", "left")
        assert app.screen.answer() == {"cure": "x", "note": "as is"}


def test_an_answer_is_known_by_its_beginning() -> None:
    field = Field("ceiling", "Ceiling", answers=("flat", "sloped"))
    assert [field.answered(one) for one in ("s", "Slop", "f", "flat")] == [
        *("sloped", "sloped", "flat", "flat")
    ]
    assert [field.answered(one) for one in ("", "x")] == ["", "x"]
    either = Field("saws", "First cut", answers=("rip", "rip first"))
    assert either.answered("ri") == "ri"
