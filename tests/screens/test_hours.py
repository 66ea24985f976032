"""The hours: added up by day and stage; added, mended and removed by hand."""

import re
from datetime import datetime, timedelta

from textual.widgets import Static

from crewdesk.job.beams import beams
from crewdesk.job.change import Change, edit
from crewdesk.job.time.entry import Entry
from crewdesk.screens.hours.hours import HoursPage
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.parts.lines import Lines
from crewdesk.store.desk import Desk


def log(desk: Desk, id_: str, *entries: tuple[datetime, int, str]) -> None:
    """Time entries as they are in the record: start, minutes, stage."""
    job = desk.open(id_)
    docs = [
        Entry(str(row), start, stage, start + timedelta(minutes=minutes))
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
    if not isinstance(app.screen, Form):
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
        read = [" ".join(re.sub("[─·━]+", " ", line).split()) for line in shown(app)]
        assert read == [
            "Mon Mar 2, yesterday 1h45",
            "23:00 to 00:45 +1 1h45 Tack",
            "Sun Mar 1 3h05",
            "10:30 to 11:20 50 min Tack",
            "09:45 to 10:30 nothing logged for 45 min",
            "07:30 to 09:45 2h15 Rip",
            "Fri Feb 27 1h30",
            "07:30 to 09:00 1h30 Rip",
        ]
        # Each day is a stick on one scale of hours, 7 to 24, its gap dotted.
        day = next(line for line in shown(app) if "Sun Mar 1" in line).partition("3h05  ")[2]
        assert re.fullmatch("·+━+·+━+·+", day)
        begin, end = day.index("━"), day.rindex("━") + 1
        assert abs(begin - len(day) * 30 / 1020) <= 1
        assert abs(end - len(day) * 260 / 1020) <= 1
        heads = str(app.screen.query_one("#heads", Static).content).split()
        assert (heads[0], heads[-1]) == ("7", "23")
        totals = str(app.screen.query_one("#totals", Static).content)
        assert totals == ("Whole job 6h20   today 0 min\nRip 3h45   Tack 2h35")


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
            ({"when": "", "stage": "1"}, "Type a time, for example"),
            ({"when": "yesterday 7:30"}, "not when it stopped"),
            ({"when": "7:30-11:75"}, "clocks don't show, 11:75"),
            ({"when": "11:45-7:30"}, "stops before it starts"),
            ({"when": "7:30-11:45", "stage": "T"}, "could be more than one stage. Type its number"),
            ({"stage": "tac", "when": "2026-02-30 7-8"}, "isn't in the calendar"),
            ({"when": "tomorrow 7-8"}, "in the future"),
            ({"when": "yesterday 7.30-11.45", "note": "laser borrowed"}, ""),
        ):
            assert says in await fill(pilot, app, **lines)
        assert "Saved: added 4h15 on Tack" in app.told
        (entry,) = kept(hill).entries
        assert (entry.start, entry.stage, entry.note) == (
            now - timedelta(days=1),
            "tack",
            "laser borrowed",
        )
        await pilot.press("enter")
        await pilot.pause()
        assert "That is the same as before." in await fill(pilot, app)
        assert await fill(pilot, app, stop="1h20", stage="5") == ""
        (entry,) = kept(hill).entries
        assert (entry.lasted(app.at), entry.stage) == (timedelta(minutes=80), "scribe")
        await pilot.press("delete", "1")
        await pilot.pause()
        assert kept(hill).entries == ()
        assert "No time has been logged" in "".join(shown(app))
        await pilot.press("ctrl+z", "ctrl+z")
        await pilot.pause()
        assert [one.stage for one in kept(hill).entries] == ["tack"]
        assert "4h15  Tack" in shown(app)[1]
        # What was added last is what the next key is for.
        await pilot.press("a")
        await pilot.pause()
        assert await fill(pilot, app, when="yesterday 13-14", stage="rip") == ""
        await pilot.press("delete", "1")
        await pilot.pause()
        assert [one.stage for one in kept(hill).entries] == ["tack"]
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
        assert "1h  Ease" in shown(app)[1]
    (entry,) = kept(hill).entries
    assert (entry.start, entry.running) == (now - timedelta(minutes=30), True)


async def test_only_lines_in_sight_are_drawn(
    start_app, desk: Desk, hill: str, now: datetime
) -> None:
    count = 2000
    log(desk, hill, *((now + timedelta(hours=one), 60, "rip") for one in range(-count, 0)))
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h")
        await pilot.pause()
        lines = app.screen.query_one(Lines)
        assert sum(bool(row.key) for row in lines.rows) == count
        drawn: list[int] = []
        draw = lines.row_strip
        lines.row_strip = lambda at: (drawn.append(at), draw(at))[1]
        await pilot.press("end", "up", "up")
        await pilot.pause()
        assert 0 < len(drawn) < 4 * lines.size.height


async def test_split_join_move_pieces_and_how_it_is_billed(
    start_app, desk: Desk, hill: str, now: datetime, kept
) -> None:
    log(desk, hill, (now - timedelta(days=1), 120, "rip"))
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h", "s")
        await pilot.pause()
        assert "split only between its ends, 07:30 and 09:30" in await fill(pilot, app, at="11:00")
        assert await fill(pilot, app, at="8:15") == ""
        assert [one.lasted(now) for one in kept(hill).entries] == [
            timedelta(minutes=45),
            timedelta(minutes=75),
        ]
        await pilot.press("j")
        await pilot.pause()
        assert "Saved: joined two entries on Rip" in app.told
        await pilot.press("v")
        await pilot.pause()
        assert "can't be in the future" in await fill(pilot, app, day="tomorrow")
        assert await fill(pilot, app, day="yesterday", start="6:00") == ""
        (entry,) = kept(hill).entries
        assert (entry.start, entry.lasted(now)) == (now - timedelta(hours=25.5), timedelta(hours=2))
        await pilot.press("enter")
        await pilot.pause()
        assert "yes or no" in await fill(pilot, app, billed="maybe")
        assert "below zero" in await fill(pilot, app, billed="yes", rate="-95")
        assert "could be more than one change order" in await fill(
            pilot, app, rate="95/h", order="3"
        )
        assert await fill(pilot, app, order="") == ""
        # Two hours over all eight pieces of two beams, of unknown length: an hour to each beam.
        await pilot.press("p", "a", "enter")
        await pilot.pause()
        (entry,) = kept(hill).entries
        assert (str(entry.rate), len(entry.pieces)) == ("95.00", 8)
        told = str(app.screen.query_one("#here", Static).content)
        assert "shared evenly" in told or "shared by length" in told
        assert "Ridge 1h, Great room Cross 1h" in told


async def test_what_is_odd_is_shown_and_mended_in_place(
    start_app, desk: Desk, hill: str, now: datetime, kept
) -> None:
    hour = timedelta(hours=1)
    third = now - 28 * hour + timedelta(minutes=45)
    log(
        desk,
        hill,
        (now - 30 * hour, 120, "rip"),
        (now - 29 * hour, 60, "tack"),
        (third, 15, "ease"),
    )
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        # In the gap there was another piece of work.
        await pilot.press("h", "o", "enter", "3")
        await pilot.pause()
        assert "could be more than one stage" in await fill(pilot, app, stage="nothing")
        assert await fill(pilot, app, stage="travel") == ""
        other = next(one for one in kept(hill).entries if one.stage == "travel")
        assert (other.start, other.stop) == (now - 28 * hour, third)

        await pilot.press("o")
        await pilot.pause()
        assert "Rip and Tack both count 1h" in " ".join(shown(app))
        await pilot.press("enter", "1")
        await pilot.pause()
        assert [one.lasted(now) for one in kept(hill).entries][:2] == [hour, hour]
        await pilot.press("o")
        await pilot.pause()
        assert "No problems" in app.told


async def test_an_hour_that_daylight_saving_skips_is_refused(
    start_app, desk: Desk, hill: str, now: datetime
) -> None:
    """Clocks in the United States went from 2:00 to 3:00 on 9 March 2025, as the second Sunday
    in March asks for (15 U.S.C. 260a)."""
    job = desk.open(hill)
    job.make(beams.change_job(job.record, {"zone": "America/Denver"}, now))
    job.close(now)
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h", "a")
        await pilot.pause()
        wrong = await fill(pilot, app, when="2025-03-09 2:30am-4:00am", stage="1")
        assert "There was no 02:30 on 2025-03-09" in wrong


async def test_days_are_planned(start_app, hill: str, kept, tmp_path) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h", "d", "a")
        await pilot.pause()
        assert "isn't in the calendar" in await fill(pilot, app, day="2026-02-30")
        assert await fill(pilot, app, day="3/9", note="scribe") == ""
        # March 1, 2026 is a Sunday (by the Gregorian calendar: ISO 8601 week 9, day 7).
        weeks = str(app.screen.query_one("#weeks", Static).content).split("\n")
        assert "□ planned" in weeks[0]
        assert weeks[1].split() == ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"]
        assert [one.split()[:2] for one in weeks[2:]] == [["Mar", "1"], ["Mar", "8"]]
        assert [one for one in weeks[2:] if "□" in one] == [weeks[3]]
        # Planned on Monday; today, March 2, is one, too.
        assert weeks[3].index("□") == weeks[1].index("Mon")
        assert weeks[2].index("┃") + 1 == weeks[1].index("Mon")
        assert any(line.startswith("□ Mon Mar 9") for line in shown(app))
        file = tmp_path / "days.ics"
        await pilot.press("s")
        await pilot.pause()
        assert await fill(pilot, app, file=str(file)) == ""
        assert b"DTSTART;VALUE=DATE:20260309" in file.read_bytes()
        await pilot.press("delete")
        await pilot.pause()
        assert kept(hill).job.planned == ()
