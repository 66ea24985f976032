"""A page that comes to the front again keeps its styles, whatever changed over it."""

from textual.css.stylesheet import Stylesheet

from crewdesk.screens.piece.piece import PiecePage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage


def styles(screen) -> list[tuple[str, ...]]:
    """How each widget of a screen is laid out and colored."""
    return [
        (str(one), str(one.styles.css), str(one.size), str(one.visual_style))
        for one in screen.walk_children(with_self=True)
    ]


async def test_a_page_below_follows_the_theme_and_the_layout(hill, start_app, monkeypatch) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        usual = styles(app.screen)
        await pilot.press("right", "right", "enter")
        await pilot.pause()
        assert isinstance(app.screen, PiecePage)
        app.action_next_theme()
        await pilot.pause()
        app.action_turn_large()
        await pilot.pause()
        styled = []
        with monkeypatch.context() as patch:
            apply = Stylesheet.apply
            patch.setattr(
                Stylesheet, "apply", lambda *at, **more: styled.append(at) or apply(*at, **more)
            )
            await pilot.press("escape")
            await pilot.pause()
        assert isinstance(app.screen, RunSheetPage)
        kept = styles(app.screen)
        assert kept != usual
        # What Textual would work out for all of its widgets anew, was so already.
        assert len(styled) < len(kept)
        app.screen.update_node_styles(animate=False)
        await pilot.pause()
        assert styles(app.screen) == kept
