"""The walk in DEVELOPERS.md, one reading from key to mark, is the way that it goes."""

import re
import sys
from pathlib import Path

import crewdesk
from crewdesk.job.beams.take import take, typed_reading
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.screens.piece.piece import PiecePage

PACKAGE = Path(crewdesk.__file__).parent
GUIDE = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
WALK = GUIDE.partition("## One reading, from key to mark")[2].partition("\n## ")[0]
STOPS = re.findall(r"`([a-z_/]+\.py)` `([A-Za-z_.]+)`", WALK)


async def test_the_walk_is_true(start_app, job, now) -> None:
    assert len(STOPS) >= 15
    assert len(re.findall(r"^\d+\. ", WALK, re.MULTILINE)) == 10
    passed: list[tuple[str, str]] = []

    def note(frame, event: str, _arg) -> None:
        code = frame.f_code
        if event == "call" and code.co_filename.startswith(str(PACKAGE)):
            path = Path(code.co_filename).relative_to(PACKAGE).as_posix()
            passed.append((path, code.co_qualname))

    for what, text, lean in (("end1", "5/32", "in"), ("end2", "1/16", "out")):
        reading = typed_reading(job.record, what, text, now, lean=lean, level="24")
        job.make(take(job.record, Spot("1", "A"), what, reading))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await app.push_screen(PiecePage(Spot("1", "A")))
        await pilot.pause()
        await pilot.press(*"147-5/16")
        sys.setprofile(note)
        await pilot.press("enter")
        await pilot.pause()
        sheet = cut_list(job.id, app.record)
        sys.setprofile(None)
    assert "147 5/16" in "\n".join(sheet.lines)
    at = -1
    for stop in STOPS:
        assert stop in passed[at + 1 :], f"{stop} is not passed after {STOPS[: STOPS.index(stop)]}"
        at = passed.index(stop, at + 1)
