"""The hours: added up by day and stage; added, mended and removed by hand."""

from datetime import datetime, timedelta

from textual.widgets import Static

from crewdesk.job import beams
from crewdesk.job.change import Change, edit
from crewdesk.job.entry import Entry
from crewdesk.screens.ask import Ask
from crewdesk.screens.hours import HoursPage
from crewdesk.screens.lines import Lines
from crewdesk.store.desk import Desk


def log(desk: Desk, id_: str, *entries: tuple[datetime, int, str]) -> None:
    """Time entries as they are in the record: start, minutes, stage."""
    job = desk.open(id_)
    docs = [
        Entry(str(row), start, start + timedelta(minutes=minutes), stage)
        for row, (start, minutes, stage) in enumerate(entries, 1)
    ]
    job.make(
        Change(
            "logged",
            tuple(edit(job.record.tables, ("entries", one.row), one.to_doc()) for one in docs),
            entries[0][0],
        )
    )
    job.close(entries[0][0])


def shown(app) -> list[str]:
    rows = app.screen.query_one(Lines).rows
    return ["".join(text for text, _ in row.parts).strip() for row in rows]


async def fill(pilot, app, **lines: str) -> str:
    """Fills lines of the question in and answers; gives what is told to be wrong."""
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}").value = text
    await pilot.press("ctrl+s")
    await pilot.pause()
    if not isinstance(app.screen, Ask):
        return ""
    return str(app.screen.query_one(".wrong", Static).content)


async def test_days_are_the_newest_first_with_their_totals(
    start_app, desk: Desk, hill: str, now: datetime
) -> None:
    day = timedelta(days=1)
    log(
        desk,
        hill,
        (now - 3 * day, 90, "rip"),
        (now - day, 135, "rip"),
        (now - day + timedelta(hours=3), 50, "tack"),
        (now + timedelta(hours=15, minutes=30), 105, "tack"),
    )
    app = start_app(hill, minutes=20 * 60)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h")
        await pilot.pause()
        assert [" ".join(line.split()) for line in shown(app)] == [
            "Mon 2026-03-02 yesterday 1 h 45 min",
            "23:00 to 00:45 +1 1 h 45 min Tack",
            "",
            "Sun 2026-03-01 3 h 05 min",
            "10:30 to 11:20 0 h 50 min Tack",
            "07:30 to 09:45 2 h 15 min Rip",
            "",
            "Fri 2026-02-27 1 h 30 min",
            "07:30 to 09:00 1 h 30 min Rip",
        ]
        totals = str(app.screen.query_one("#totals", Static).content)
        assert totals == (
            "Whole job 6 h 20 min   today 0 h 00 min\nRip 3 h 45 min   Tack 2 h 35 min"
        )


async def test_add_mend_remove_and_undo(
    start_app, desk: Desk, hill: str, now: datetime, kept
) -> None:
    job = desk.open(hill)
    job.make(beams.change_job(job.record, {"zone": "America/New_York"}, now))
    job.close(now)
    app = start_app(hill, minutes=8 * 60)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h", "a")
        await pilot.pause()
        for lines, says in (
            ({"start": "7:30", "stop": "", "stage": "1"}, "Say when it stopped"),
            ({"stop": "11:75"}, "no clock shows, 11:75"),
            ({"stop": "11:45", "stage": "T"}, "names no one stage; write its number"),
            ({"stage": "tac", "day": "someday"}, "someday is not a day"),
            ({"day": "tomorrow"}, "can't lie in the future"),
            ({"day": "yesterday", "start": ""}, "Say when it started"),
            ({"start": "7.30", "note": "laser borrowed"}, ""),
        ):
            assert says in await fill(pilot, app, **lines)
        assert "Saved: added 4 h 15 min on Tack" in app.told
        (entry,) = kept(hill).entries
        assert (entry.start, entry.stage, entry.note) == (
            now - timedelta(days=1),
            "tack",
            "laser borrowed",
        )
        await pilot.press("enter")
        await pilot.pause()
        assert "Nothing is different" in await fill(pilot, app)
        assert await fill(pilot, app, stop="1h20", stage="5") == ""
        (entry,) = kept(hill).entries
        assert (entry.lasted(app.at), entry.stage) == (timedelta(minutes=80), "scribe")
        await pilot.press("delete", "1")
        await pilot.pause()
        assert kept(hill).entries == ()
        assert app.screen.query_one("#none").display
        await pilot.press("ctrl+z", "ctrl+z")
        await pilot.pause()
        assert [one.stage for one in kept(hill).entries] == ["tack"]
        assert "4 h 15 min  Tack" in shown(app)[1]
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(app.screen, HoursPage)


async def test_a_running_entry_counts_up_and_its_start_is_mended(
    start_app, hill: str, now: datetime, kept
) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "2")
        await pilot.pause()
        app.later(minutes=30)
        await pilot.press("f2", "h", "enter")
        await pilot.pause()
        assert await fill(pilot, app, start="7:00") == ""
        assert "07:00 to now" in shown(app)[1]
        assert "1 h 00 min  Ease" in shown(app)[1]
    (entry,) = kept(hill).entries
    assert (entry.start, entry.running) == (now - timedelta(minutes=30), True)


async def test_only_lines_in_sight_are_drawn(
    start_app, desk: Desk, hill: str, now: datetime
) -> None:
    count = 2000
    log(desk, hill, *((now + timedelta(hours=one), 30, "rip") for one in range(-count, 0)))
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h")
        await pilot.pause()
        lines = app.screen.query_one(Lines)
        assert sum(bool(row.key) for row in lines.rows) == count
        drawn: list[int] = []
        draw = lines._line
        lines._line = lambda at: (drawn.append(at), draw(at))[1]
        await pilot.press("end", "up", "up")
        await pilot.pause()
        assert 0 < len(drawn) < 4 * lines.size.height
