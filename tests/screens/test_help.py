"""Help: the keys out of the bindings, what to do next, and the cautions."""

from importlib import import_module
from pkgutil import iter_modules

from textual.widgets import Label, Static

import crewdesk.screens
from crewdesk.job.cautions import BY_STAGE, DECORATIVE, cautions
from crewdesk.job.usual_stages import USUAL_STAGES
from crewdesk.screens.help import WHAT_NEXT, HelpSheet
from crewdesk.screens.named_keys import NamedKeys, every_page, key_of, with_keys
from crewdesk.screens.page import Page


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
        assert "Push stick" in text(app)
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
    for module in iter_modules(crewdesk.screens.__path__):
        import_module(f"crewdesk.screens.{module.name}")
    pages = {page.__name__ for page in last_of(Page)}
    assert pages
    assert pages <= set(WHAT_NEXT)


def test_every_key_that_it_names_is_one_of_the_page_s() -> None:
    every_page()
    pages = {one.__name__: one for one in below(NamedKeys)}
    for name in set(WHAT_NEXT) - {"JobsPage", "RunSheetPage", "Choose"}:
        told = WHAT_NEXT[name](None)
        assert "{" not in with_keys(told, pages[name].KEYS_OF, lambda id_: key_of(id_, {}, "linux"))
    assert with_keys("{stages}", "Run sheet", lambda _: "f11") == "F11"


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
    assert "licensed practice" in DECORATIVE.text
