"""Help: the keys out of the bindings, what to do next, and the cautions."""

import re
from importlib import import_module
from pkgutil import walk_packages

from textual.widgets import Label, Static

import crewdesk.screens
from crewdesk.job.steps.cautions import BY_STAGE, DECORATIVE, cautions
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.screens.help import HelpSheet
from crewdesk.screens.parts.actions import ACTIONS, AREAS, with_keys
from crewdesk.screens.parts.keys_line import NamedKeys
from crewdesk.screens.parts.page import Page
from crewdesk.screens.router import PAGES, QUESTIONS, found


def text(app) -> str:
    return str(app.screen.query_one("#text", Static).content)


def last_of(page: type[Page]) -> set[type[Page]]:
    """The pages that are shown: those that no other is made from."""
    below = {one for sub in page.__subclasses__() for one in last_of(sub)}
    return below or {page}


async def test_every_key_of_a_page_stands_in_its_help(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for page in ("", "t", "h", "f7", "enter"):
            if page:
                await pilot.press(page)
                await pilot.pause()
            bindings = type(app.screen).BINDINGS + type(app).BINDINGS
            await pilot.press("f1")
            await pilot.pause()
            assert isinstance(app.screen, HelpSheet)
            for binding in bindings:
                assert binding.description in text(app)
            await pilot.press("f1")
            await pilot.pause()
            assert not isinstance(app.screen, HelpSheet)
            if page:
                await pilot.press("escape")
                await pilot.pause()


async def test_it_says_what_to_do_next_and_warns(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f1")
        await pilot.pause()
        assert "Next in Rip: Rip to width; 4 pieces are ready" in text(app)
        await pilot.press("c")
        await pilot.pause()
        assert "Use a push stick" in text(app)
        await pilot.press("right", "right", "right")
        await pilot.pause()
        assert str(app.screen.query_one("#title", Label).content) == "Cautions: Tack"
        assert "29 CFR 1926.1053" in text(app)
        await pilot.press("c", "escape", "f2", "6")
        await pilot.pause()
        await pilot.press("f1", "c")
        await pilot.pause()
        assert "full sequential trigger" in text(app)


def test_every_page_says_what_to_do_on_it() -> None:
    for module in walk_packages(crewdesk.screens.__path__, "crewdesk.screens."):
        import_module(module.name)
    pages = last_of(Page)
    assert pages
    for page in pages:
        own = page.to_do is not NamedKeys.to_do
        assert own or AREAS[page.AREA].to_do, page


def test_every_key_that_a_sentence_names_is_one_of_an_action() -> None:
    """Those in the table, and those in the texts of a page's module, by its class's area."""
    for area in AREAS.values():
        for name in re.findall(r"\{([a-z.-]+)\}", area.to_do):
            assert (name if "." in name else f"{area.name}.{name}") in ACTIONS
    assert with_keys("{stages}", "run-sheet", lambda _: "f11") == "F11"
    assert with_keys("{no-such}", "run-sheet", lambda _: "") == "{no-such}"


def test_every_action_is_one_that_its_page_can_do() -> None:
    for module in walk_packages(crewdesk.screens.__path__, "crewdesk.screens."):
        import_module(module.name)
    classes = [one for one in below(NamedKeys) if "AREA" in vars(one)]
    assert {one.AREA for one in classes} == set(AREAS)
    for one in classes:
        for action in AREAS[one.AREA].actions:
            assert hasattr(one, f"action_{action.does.partition('(')[0]}"), action.id
            assert action.about.endswith(".")
    for area in AREAS.values():
        assert not area.way or area.way in ACTIONS
    assert all(name == found(name).AREA for name in PAGES)
    assert all(callable(found(name)) for name in QUESTIONS)
    opened = (re.match(r"open_page\('(.*?)'", action.does) for action in ACTIONS.values())
    assert {match[1] for match in opened if match} <= {*PAGES, *QUESTIONS}


def below(kind: type) -> set[type]:
    """Every class that is made from one."""
    return {one for sub in kind.__subclasses__() for one in {sub, *below(sub)}}


def test_every_usual_stage_has_its_cautions() -> None:
    assert set(BY_STAGE) == {stage.id for stage in USUAL_STAGES}
    for stage in USUAL_STAGES:
        assert cautions(stage.id)[-1] is DECORATIVE
        assert all(one.text.endswith(".") for one in cautions(stage.id))
    assert cautions("a stage of one's own") == (DECORATIVE,)
    assert "local code" in DECORATIVE.text
    assert "licensed professional" in DECORATIVE.text
