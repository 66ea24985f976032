"""A beam's type is changed on the run sheet: other pieces come, and the cursor goes on."""

from fractions import Fraction

import pytest

from crewdesk.job.beams.beams import change_beam
from tests.sampled import sampled

SIZE = (80, 24)
TYPES = {
    "usual": {},
    "wall": {},
    "mitred": {},
    "box": {},
    "mitred box": {},
    "ridge": {"pitch": "6/12", "pitch_b": "6/12"},
    "uneven": {"height_b": Fraction(8)},
}


@pytest.mark.parametrize("first", sampled(TYPES, 3))
async def test_the_cursor_goes_on_after_every_change_of_type(hill, start_app, first) -> None:
    app = start_app(hill)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()

        def to(form):
            fields = {"form": form, **TYPES[form]}
            assert app.do(lambda record, now: change_beam(record, "1", fields, now)), app.told

        if first != app.record.beam("1").form.id:
            to(first)
        await pilot.pause()
        grid = app.screen.grid
        own = [at for at, line in enumerate(grid.lines) if line.beam == "1"]
        rows = [*own, len(grid.lines) - 1]  # from every type on each; to each type on one or two
        others = [one for one in TYPES if one != first]
        for at, other in enumerate(others, list(TYPES).index(first)):
            for row in {rows[at % len(rows)], rows[-1 if at % 2 else 0]}:
                grid.row = row
                to(other)
                await pilot.press("down", "up", "ctrl+z")
                pieces = [line.piece for line in grid.lines if line.beam == "1"]
                assert pieces == list(app.record.beam("1").pieces)
                assert app.record.beam("1").form.id == first
