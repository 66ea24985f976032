"""The form of a beam: what its lines ask of each type, what is copied, what a refusal keeps."""

from fractions import Fraction as Fr

import pytest
from textual.widgets import Input, Label, Static

from crewdesk.job.beams import beams
from crewdesk.job.beams.forms import ceiling_typed, form_typed
from crewdesk.screens.parts.ask import Form
from crewdesk.trade.cuts.section import Section


def value(screen: Form, key: str) -> str:
    return screen.query_one(f"#line-{key}", Input).value


def asked(screen: Form, key: str) -> str:
    return str(screen.query_one(f"#asks-{key}", Label).content)


async def test_a_new_beam_is_made_as_the_one_under_the_cursor(start_app, job, now) -> None:
    ridge = Section(Fr(8), Fr(14))
    change = beams.add_beam(
        job.record, "r", "Loft", now, section=ridge, form="ridge", pitch="7/12", height_b=Fr(13)
    )
    job.make(change)
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+end", "a")
        form = app.screen
        assert isinstance(form, Form)
        keys = ("form", "pitch", "height", "height_b", "rough", "name")
        assert [value(form, key) for key in keys] == ["ridge", "7/12", "14", "13", "", ""]
        assert asked(form, "height") == "Drop from the ridge"
        assert asked(form, "pitch") == "Pitch over side A"
        form.query_one("#line-form", Input).value = "usual"
        await pilot.pause()
        assert asked(form, "height") == "Side height"
        assert asked(form, "pitch") == "Pitch, if sloped"
        # The next one begins as this one: the cursor goes to what was added.
        for key, text in {"form": "usual", "name": "u", "height": "9"}.items():
            form.query_one(f"#line-{key}", Input).value = text
        await pilot.press("ctrl+s")
        await pilot.pause()
        added = app.record.beams[-1]
        assert (added.name, app.screen.grid.spot.beam) == ("u", added.row)
        await pilot.press("a")
        await pilot.pause()
        assert value(app.screen, "height") == "9"


async def test_a_refused_beam_loses_nothing_that_was_typed(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await pilot.press("a")
        form = app.screen
        assert isinstance(form, Form)
        typed = {"name": "r", "room": "Loft", "form": "along a ridge", "height": "14"}
        for key, text in typed.items():
            form.query_one(f"#line-{key}", Input).value = text
        # A ridge beam's sides follow from its pitch.
        await pilot.press("ctrl+s")
        assert app.screen is form
        assert "pitch" in str(form.query_one(".wrong", Static).content)
        assert {key: value(form, key) for key in typed} == typed
        form.query_one("#line-pitch", Input).value = "7/12"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert app.screen is not form
        assert app.record.beams[-1].form.id == "ridge"


async def test_the_choices_are_under_the_line_that_is_typed_in(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await pilot.press("a")
        choices = app.screen.query_one("#choices-form", Static)
        assert not choices.display
        app.screen.query_one("#line-form", Input).focus()
        await pilot.pause()
        assert choices.display
        assert "mitered box" in str(choices.content)
        await pilot.press("enter")
        await pilot.pause()
        assert not choices.display
        assert app.screen.query_one("#choices-ceiling", Static).display


@pytest.mark.parametrize(
    ("typed", "form"),
    [("along a wall", "wall"), ("Wall beam", "wall"), ("along the ridge", "ridge"), ("", "usual"),
     ("mitred", "mitred"), ("mitered", "mitred"), ("Mitered box", "mitred box"), ("box", "box"),
     ("uneven", "uneven")],
)  # fmt: skip
def test_a_type_is_known_by_the_words_people_use(typed: str, form: str) -> None:
    assert form_typed(typed).id == form


@pytest.mark.parametrize(
    ("typed", "ceiling"),
    [("slope", "sloped"), ("Sloped", "sloped"), ("vaulted ceiling", "sloped"), ("level", "flat")],
)
def test_a_ceiling_is_known_by_the_words_people_use(typed: str, ceiling: str) -> None:
    assert ceiling_typed(typed) == ceiling


def test_other_words_are_answered_by_the_choices(refusing) -> None:
    assert "sloped under Ceiling" in refusing(form_typed, "sloped")
    assert "mitered box" in refusing(form_typed, "round")
    assert "flat or sloped" in refusing(ceiling_typed, "round")


async def test_a_ridge_is_asked_whether_it_is_level_itself(start_app, job, now) -> None:
    """The ceiling slopes down on both sides of a level ridge, and its beam lies level."""
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await pilot.press("a")
        form = app.screen
        assert isinstance(form, Form)

        def choices() -> str:
            return str(form.query_one("#choices-ceiling", Static).content)

        assert asked(form, "ceiling") == "Ceiling"
        assert "ridge" not in choices()
        for key, text in (("form", "ridge"), ("name", "2"), ("room", "Porch"), ("height", "12")):
            form.query_one(f"#line-{key}", Input).value = text
        form.query_one("#line-pitch", Input).value = "4/12"
        await pilot.pause()
        assert asked(form, "ceiling") == "Ridge"
        assert "the beam hangs level" in choices()
        form.query_one("#line-ceiling", Input).value = "sloped"
        form.query_one("#line-form", Input).value = "usual"
        await pilot.pause()
        assert (asked(form, "ceiling"), choices()) == ("Ceiling", "flat or sloped")
        form.query_one("#line-form", Input).value = "ridge"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert app.screen is form
        told = str(form.query_one(".wrong", Static).content)
        assert "A beam along a ridge hangs level" in told
        assert [beam.label for beam in app.record.beams if beam.form.id == "ridge"] == []
