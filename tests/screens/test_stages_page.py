"""Stages and steps: renamed, added, moved, dropped, and all of it undone."""

from textual.widgets import Static

from crewdesk.job.steps.stages import Need
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.parts.lines import Lines


def names(record) -> list[str]:
    return [stage.name for stage in record.stages]


def told_here(app) -> str:
    return str(app.screen.query_one("#here", Static).content)


def asked(app) -> str:
    return " ".join(str(one.content) for one in app.screen.query(".about"))


async def answer(pilot, app, **lines: str) -> str:
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}").value = text
    await pilot.press("ctrl+s")
    await pilot.pause()
    if not isinstance(app.screen, Form):
        return ""
    return str(app.screen.query_one(".wrong", Static).content)


async def test_make_the_stages_ones_own_and_undo_it(start_app, hill: str, kept) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        lines = app.screen.query_one(Lines)

        await pilot.press("r")
        await pilot.pause()
        assert await answer(pilot, app, name="Rip it all") == ""
        await pilot.press("alt+down")
        await pilot.pause()
        assert "would no longer wait for 'Rip to width'" in asked(app)
        assert names(kept(hill))[:2] == ["Rip it all", "Ease"]
        assert "Give the reason" in await answer(pilot, app, reason=" ")
        assert await answer(pilot, app, reason="eased at the mill") == ""
        assert names(kept(hill))[:2] == ["Ease", "Rip it all"]
        assert lines.key == "stage rip"
        await pilot.press("u")
        await pilot.pause()
        assert await answer(pilot, app, reason="ripped here after all") == ""
        await pilot.press("u")
        await pilot.pause()
        assert "Rip it all is the first already" in app.told

        await pilot.press("s")
        await pilot.pause()
        assert "needs a name" in await answer(pilot, app, name=" ")
        assert await answer(pilot, app, name="Stain") == ""
        assert lines.key == "stage stain"
        await pilot.press("a")
        await pilot.pause()
        assert "posts isn't a kind of piece" in await answer(pilot, app, name="Wipe", kinds="posts")
        assert await answer(pilot, app, kinds="Sides and bottom") == ""
        (step,) = kept(hill).stages.stage("stain").steps
        assert (step.name, step.kinds) == ("Wipe", ("side", "bottom"))
        assert "For sides and bottoms. Needs every earlier step of the piece." in told_here(app)
        await pilot.press("k")
        await pilot.pause()
        assert await answer(pilot, app, kinds="cleats") == ""
        assert kept(hill).stages.step(step.id).kinds == ("cleats",)

        lines.go_to("step rip-top")
        await pilot.press("d")
        await pilot.pause()
        assert [one.id for one in kept(hill).stages.stage("rip").steps][-1] == "rip-top"
        await pilot.press("delete")
        await pilot.pause()
        assert await answer(pilot, app, reason="no top boards here") == ""
        assert not kept(hill).stages.has("rip-top")
        assert kept(hill).stages.waived[-1].reason == "no top boards here"

        for _ in range(8):
            await pilot.press("ctrl+z")
        await pilot.pause()
        assert kept(hill).stages == USUAL_STAGES
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert kept(hill).stages == USUAL_STAGES


async def test_dropping_a_step_lists_what_would_open_and_keeps_the_reason(
    start_app, hill: str, kept
) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        lines = app.screen.query_one(Lines)
        lines.go_to("step cleat-line")
        await pilot.press("delete")
        await pilot.pause()
        assert "'Nail a cleat inside each side' needs 'Mark the cleat line inside'" in asked(app)
        await pilot.press("escape")
        await pilot.pause()
        assert kept(hill).stages == USUAL_STAGES
        await pilot.press("delete")
        await pilot.pause()
        assert await answer(pilot, app, reason="a gauge block sets the cleats") == ""
        lines.go_to("step fix-cleats")
        await pilot.pause()
        assert "a gauge block sets the cleats" in told_here(app)

        # One that nothing waits for goes after a plain question.
        lines.go_to("step tape-off")
        await pilot.press("delete", "1")
        await pilot.pause()
        assert not kept(hill).stages.has("tape-off")


async def test_a_step_of_one_s_own_is_given_needs_from_a_list(start_app, hill: str, kept) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        lines = app.screen.query_one(Lines)
        await pilot.press("n")
        await pilot.pause()
        assert "Go to a step." in app.told
        lines.go_to("step gaps")
        await pilot.press("a")
        await pilot.pause()
        assert await answer(pilot, app, name="Photograph it", kinds="bottoms") == ""
        await pilot.press("n")
        await pilot.pause()
        facts = app.screen.query_one(Lines)
        rows = ["".join(text for text, _ in row.parts) for row in facts.rows]
        assert rows[0] == "■ every earlier step of the piece"
        wanted = rows.index("□ 'Tape off' done on both sides")
        facts.go_to(str(wanted))
        await pilot.press("space", "enter")
        await pilot.pause()
        step = kept(hill).stages.step("photograph-it")
        assert step.needs == (Need("earlier"), Need("done", who="sides", step="tape-off"))
        assert "'Tape off' done on both sides" in told_here(app)

        # To let go of one takes a reason.
        await pilot.press("n", "space", "enter")
        await pilot.pause()
        assert "would no longer need every earlier step of the piece" in asked(app)
        assert await answer(pilot, app, reason="for the customer only") == ""
        step = kept(hill).stages.step("photograph-it")
        assert step.needs == (Need("done", who="sides", step="tape-off"),)


async def test_work_outside_the_stages_is_made_ones_own(
    start_app, desk, hill: str, kept, now
) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "o", "a")
        await pilot.pause()
        assert "needs a name" in await answer(pilot, app, name=" ")
        assert await answer(pilot, app, name="Paperwork") == ""
        lines = app.screen.query_one(Lines)
        lines.go_to("travel")
        await pilot.press("enter")
        await pilot.pause()
        assert await answer(pilot, app, name="On the road") == ""
        lines.go_to("scraping")
        await pilot.press("delete", "1")
        await pilot.pause()
        assert [one.name for one in kept(hill).stages.other] == [
            "Set-up", "On the road", "Waiting on others", "Extra work", "Paperwork",
        ]  # fmt: skip
        lines.go_to("extra-work")
        await pilot.press("delete", "1")
        await pilot.pause()
        assert "can't be removed: change orders" in app.told

        # What a new job begins with stands in the shop.
        await pilot.press("f7", "p", "escape")
        await pilot.pause()
        app.screen.query_one(Lines).go_to("other_work")
        await pilot.press("enter")
        await pilot.pause()
        assert "Extra work can't be removed" in await answer(pilot, app, other_work="Travel")
        assert await answer(pilot, app, other_work="travel, Extra work, Paperwork") == ""
        assert desk.shop.shop().other_work == ("travel", "Extra work", "Paperwork")


async def test_what_a_step_needs_stands_in_words(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        app.screen.query_one(Lines).go_to("step cut-bottom")
        await pilot.pause()
        assert (
            "For bottoms. Needs every earlier step of the piece; 'Push up and nail' done on both "
            "sides; the length between the walls, sides up measured after 'Push up and nail' on "
            "both sides; edge B measured too, if the walls are out of square."
        ) in told_here(app)
