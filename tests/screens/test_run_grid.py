"""The run sheet's grid: a beam in a row, opened into its pieces, and what the keys act on there."""

from pathlib import Path

import pytest
from textual.widgets import Static

from crewdesk.job.beams.piece import Spot
from crewdesk.screens.parts.coach import FIRST
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.run_sheet.beam_beside import BeamBeside
from crewdesk.screens.run_sheet.cell_words import letters_told
from crewdesk.screens.run_sheet.coach_line import CoachLine
from crewdesk.screens.run_sheet.grid import RunGrid
from crewdesk.screens.run_sheet.grid_rows import EARLY, LETTERS, Line
from tests.pictures.inks import states_drawn, unlike
from tests.pictures.pages import StillApp, app_in
from tests.pictures.run_sheet import screen_text

ORDER = ("A", "B", "bottom", "cleats")


def grid_of(app: StillApp) -> RunGrid:
    return app.screen.query_one(RunGrid)


def here(app: StillApp) -> str:
    return str(app.screen.query_one("#here", Static).render())


def row_of(app: StillApp, label: str) -> tuple[str, int]:
    """A beam's row in the record, and its line."""
    row = next(beam.row for beam in app.record.beams if beam.label == label)
    return row, next(at for at, line in enumerate(grid_of(app).lines) if line.beam == row)


@pytest.mark.parametrize("first_time", [False, True])
async def test_ten_beams_in_three_rooms_are_in_sight(tmp_path: Path, first_time: bool) -> None:
    app = app_in("sample", tmp_path, first_time=first_time)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.2)
        grid = grid_of(app)
        assert [len(app.record.beams), len({beam.room for beam in app.record.beams})] == [10, 3]
        assert len(grid.lines) == 13 <= grid.size.height
        assert grid.scroll_offset.y == 0
        assert grid.max_scroll_y == 0


async def test_each_piece_has_its_sign_in_its_place(tmp_path: Path) -> None:
    """What a row shows is what the record says of each piece, always in one order."""
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        grid = grid_of(app)
        rules = [grid.row_strip(at).text for at, line in enumerate(grid.lines) if not line.beam]
        rooms = ("Great room", "Dining room", "Study")
        assert all(f"── {room} ──" in rule for room, rule in zip(rooms, rules, strict=True))
        whole, early = 0, 0
        for at, line in enumerate(grid.lines):
            if not line.beam:
                continue
            cells = app.screen.sheet.cells(app.record.beam(line.beam))
            text = grid.row_strip(at).text[grid.name_width :]
            for column in range(len(grid.stages)):
                drawn = text[column * grid.cell_width :][: grid.cell_width]
                here = {key: cells[key][column] for key in ORDER}
                states = {cell.state for cell in here.values()} - {"none"}
                if states == {"done"} and not any(cell.overridden for cell in here.values()):
                    assert set(drawn[1:].rstrip()) == {"━"}
                    whole += 1
                    continue
                signs = "".join(
                    EARLY if cell.overridden and cell.state == "done" else SIGNS[cell.state] or " "
                    for cell in here.values()
                )
                assert drawn[1:].rstrip() == signs.rstrip()
                early += EARLY in drawn
        assert whole > 20
        assert early == 1
        heads = str(app.screen.query_one("#heads", Static).content)
        assert "A B sides  b bottom" in heads
        assert "c cleats" in heads
        assert [LETTERS[key] for key in ORDER] == list("ABbc")


async def test_only_the_cell_under_the_cursor_and_its_line_are_bright(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        app.register_theme(unlike())
        app.theme = "unlike"
        await pilot.pause(0.2)
        bright = [text for state, text in states_drawn(app.screen) if state == "ready"]
        assert bright == ["□", "□ Rip to width: Study 4 side A"]


async def test_a_row_has_its_length_as_it_was_read(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        grid = grid_of(app)

        def left(label: str) -> list[str]:
            return grid.row_strip(row_of(app, label)[1]).text[: grid.name_width].split()

        assert left("Study 3") == ["3", "not", "measured"]
        assert left("Study 4")[:2] == ["4", "4/12"]
        row, _ = row_of(app, "Study 4")
        read = app.record.beam(row).pieces["A"].latest("run").value
        feet, inches = left("Study 4")[2].rstrip("'"), left("Study 4")[3]
        assert int(feet) == read // 12
        assert int(inches) == read % 12 // 1


async def test_a_beam_opens_into_its_pieces_and_closes_again(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        grid = grid_of(app)
        row, at = row_of(app, "Dining room 2")
        grid.go(at, 0)
        await pilot.press("end")
        closed = list(grid.lines)
        assert here(app).split("  ")[0].endswith(": Dining room 2 side A")
        await pilot.press("v")
        assert grid.lines[:at] == closed[:at]  # nothing above it jumps
        assert grid.lines[at : at + 4] == [
            Line("Dining room", row, key, not place) for place, key in enumerate(ORDER)
        ]
        assert grid.lines[at + 4 :] == closed[at + 1 :]
        assert grid.spot == Spot(row, "A")
        await pilot.press("down", "down")
        assert grid.spot == Spot(row, "bottom")
        await pilot.press("v")
        assert grid.lines == closed
        assert grid.row == at
        assert grid.spot.beam == row

        # The last beam's pieces come in sight as it opens.
        await pilot.press("ctrl+end", "v")
        await pilot.pause()
        assert grid.scroll_offset.y + grid.size.height == len(grid.lines)


async def test_a_click_on_its_name_opens_a_beam_too(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24), tooltips=True) as pilot:
        await pilot.pause()
        grid = grid_of(app)
        row, at = row_of(app, "Study 3")
        await pilot.click(RunGrid, offset=(3, at))
        await pilot.pause()
        assert [line.piece for line in grid.lines if line.beam == row] == list(ORDER)
        at = grid.lines.index(Line("Study", row, "B")) - grid.scroll_offset.y
        await pilot.hover(RunGrid, offset=(grid.name_width + 2, at))
        assert grid.tooltip == "Study 3 · Rip\nside B blocked: Rip to width"


async def test_keys_on_a_closed_beam_act_on_the_piece_that_is_named(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        row, at = row_of(app, "Study 4")
        grid = grid_of(app)
        assert (grid.row, grid.stage.id) == (at, "rip")

        def state(piece: str) -> str:
            return app.screen.sheet.cells(app.record.beam(row))[piece][0].state

        assert here(app).startswith("□ Rip to width: Study 4 side A  Space checks it off, b all 2")
        await pilot.press("space")
        assert [state(key) for key in ORDER] == ["done", "ready", "ready", "ready"]
        assert "side A" in app.last_told
        assert here(app).startswith("□ Rip to width: Study 4 side B  Space checks it off")
        await pilot.press("space")
        assert ": Study 4 bottom" in here(app)
        await pilot.press("backspace")  # what was recorded last, not what comes next
        assert [state(key) for key in ORDER] == ["done", "ready", "ready", "ready"]
        assert grid.spot == Spot(row, "B")

        # Its piece opens, and the cursor comes back on the one that was left.
        await pilot.press("enter", "ctrl+n")
        await pilot.pause()
        assert app.screen.spot == Spot(row, "bottom")
        await pilot.press("escape")
        await pilot.pause()
        assert grid.closed
        assert grid.spot == Spot(row, "bottom")
        assert ": Study 4 bottom" in here(app)
        await pilot.press("right", "left")
        assert grid.spot == Spot(row, "B")

        # All done: said of the whole beam.
        _, at = row_of(app, "Great room 1")
        grid.go(at, 0)
        await pilot.pause()
        assert here(app) == "Great room 1 · Rip\nDone on every piece."


async def test_the_cell_that_was_checked_off_is_lit_for_a_moment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        grid = grid_of(app)

        def grounds() -> set[str]:
            return {str(one.style.bgcolor) for one in grid.row_strip(grid.row)}

        before = grounds()
        app.animation_level = "none"
        await pilot.press("space")
        assert grounds() == before
        app.animation_level = "full"
        await pilot.press("space")
        assert grounds() - before
        await pilot.pause(0.6)
        assert grounds() == before


async def test_the_first_minute_s_line_goes_act_by_act(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path, first_time=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        line = app.screen.query_one(CoachLine)

        def said() -> str:
            return str(line.render())

        assert said().startswith("1 of 3  □ is ready")
        await pilot.press("up", "down")
        await pilot.pause()
        assert said().startswith("2 of 3  Space checks off")
        await pilot.press("space")
        assert said().startswith("3 of 3  Enter opens a piece")
        assert len(said()) <= 78
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        assert not line.display
        assert not app.coaching.left
    again = app_in("sample", tmp_path / "again")
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert not again.screen.query(CoachLine)
    assert FIRST.after("open").left == ("look", "check off")


async def test_a_wide_window_draws_the_beam_beside_it(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.3)
        shown = screen_text(app)
        beside = app.screen.query_one(BeamBeside)
        assert beside.region.right == 120
        assert "Study 4: two sides, bottom between" in shown
        assert "to scale: 1 row = 2 columns" in shown
        assert "Ready to batch" in shown
        assert "Rip: Rip to width" in shown
        grid = grid_of(app)
        assert grid.row_height == 2  # there is room to spread the rows
        lines = grid.virtual_size.height
        await pilot.press("v")
        assert grid.row_height == 2  # no row jumps as one opens
        assert grid.virtual_size.height > lines


def test_the_letters_are_told_in_as_many_words_as_there_is_room() -> None:
    assert letters_told(ORDER, 22) == (" A B sides  b bottom", " c cleats         ready")
    assert letters_told(ORDER, 17)[0] == " AB sides b bottom"
    for width in range(8, 40):
        assert all(len(line) <= width + 1 for line in letters_told(ORDER, width))
