"""Whole job files with one thing off, 2,000 of them: import refuses each by its field, or the job
opens in every command, on every page, and takes changes.

Run with ``pytest -n 0 -s tests/bench/test_job_files_bench.py``; `JOB_FILES` names another number,
`JOB_FILES_SEED` another seed. Commands are run for every job that is taken, pages for one in ten.
It takes a quarter of an hour and more.
"""

import os
import tempfile
from collections import Counter
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.job.job_files import NearlySound, nearly_sound_jobs, sound_jobs
from tests.job.opened import open_in_commands, open_on_pages, taken, work_on

COUNT = int(os.environ.get("JOB_FILES", "2000"))
SEED = int(os.environ.get("JOB_FILES_SEED", "1"))
PAGES_OF = 10
LONG = settings(
    max_examples=COUNT,
    deadline=None,
    database=None,
    phases=(Phase.generate,),
    suppress_health_check=list(HealthCheck),
)


async def test_what_is_taken_opens_everywhere() -> None:
    drawn: list[NearlySound] = []

    @seed(SEED)
    @LONG
    @given(sound_jobs(), nearly_sound_jobs())
    def draw(sound: object, nearly: NearlySound) -> None:
        assert taken(sound) is None, "a sound job was refused"
        drawn.append(nearly)

    draw()
    seen: Counter[str] = Counter()
    for nearly in drawn:
        where = f"{nearly.what} at {nearly.at}"
        if taken(nearly.document) is not None:
            seen["refused"] += 1
            continue
        seen["taken"] += 1
        try:
            seen["changes"] += work_on(nearly.document)
            with tempfile.TemporaryDirectory() as folder:
                desk = open_in_commands(nearly.document, Path(folder))
                if seen["taken"] % PAGES_OF == 1:
                    seen["on pages"] += 1
                    seen["screens"] += await open_on_pages(desk)
        except BaseException as error:
            error.add_note(where)
            raise
    print(
        f"\n{len(drawn)} job files with one thing off: {seen['refused']} refused by their field, "
        f"{seen['taken']} taken; {seen['changes']} changes, every command, "
        f"{seen['screens']} screens of {seen['on pages']} jobs; failures 0 (bar 0)"
    )
    assert seen["refused"]
    assert seen["taken"]
