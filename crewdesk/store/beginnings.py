"""The permanent ids of jobs (`begun`), whatever their folders are called."""

import json
import re
import secrets
from contextlib import suppress
from pathlib import Path

from crewdesk.errors import CrewdeskError, Damaged
from crewdesk.job.change import Change, Tables
from crewdesk.job.job_row import BEGUN
from crewdesk.job.record import JOB_ROW
from crewdesk.store import checkpoint
from crewdesk.store.history_lines import History, beginning, copy_files, first_line, histories
from crewdesk.store.job_file import KIND, JobFile

_NAME = re.compile("[0-9a-f]{16}")


def begun(path: Path) -> str:
    """Return a job's permanent id (see `Record.begun`), read from as few of its files as possible;
    "" if there is none or it can't be read. `path` is this machine's whole file."""
    with suppress(CrewdeskError, OSError):
        if name := _in_head(path):
            return name
        names = {beginning(line) for one in histories(path.parent) if (line := first_line(one))}
        if len(names) < 2:
            return "".join(names)
        return JobFile(path, writing=False).record.begun
    return ""


def _in_head(path: Path) -> str:
    """Return the id in the job's row, as a whole copy's head has it."""
    for one in sorted(copy_files(path.parent), key=lambda one: one != path):
        with suppress(Damaged, OSError):
            name = checkpoint.read_head(one, KIND).summary.get(BEGUN)
            return name if isinstance(name, str) else ""
    return ""


def with_beginning(
    tables: Tables, history: list[Change], here: set[str]
) -> tuple[Tables, list[Change]]:
    """Return an imported job with its permanent id: it is the same job on every machine.

    A job without one, or whose id is `here` already, gets a new one.
    """
    first = History(Path(), ())
    first.add(history[:1])
    name = tables["job"][JOB_ROW].get(BEGUN) or first.begun
    if isinstance(name, str) and _NAME.fullmatch(name) and name not in here:
        return tables, history
    return _anew(tables, history)


def _anew(tables: Tables, history: list[Change]) -> tuple[Tables, list[Change]]:
    row, name = tables["job"][JOB_ROW], secrets.token_hex(8)
    if history and BEGUN not in row:
        return tables, [history[0]._replace(of=(name,)), *history[1:]]
    old = row.get(BEGUN)
    if not history or not isinstance(old, str) or not _NAME.fullmatch(old):
        return {**tables, "job": {JOB_ROW: {**row, BEGUN: name}}}, history
    # The changes have the old id wherever they hold the whole row.
    text = json.dumps([tables, [one.to_doc() for one in history]])
    tables, docs = json.loads(text.replace(f'"{old}"', f'"{name}"'))
    return tables, [Change.from_doc(one) for one in docs]
