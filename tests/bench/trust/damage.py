"""Files damaged in every way that disks, programs and people have.

A data folder with two jobs, their kept copies, histories, the shop and a copy that a sync
left; one file of it is changed. Then all that reads is done: the list, the jobs, the shop,
`crewdesk check`. Nothing may raise anything but a refusal in one sentence, nothing may be
written while something is damaged, what opens must be a state that the record once had, and
what is brought back must be the newest that can be.
"""

import contextlib
import io
import json
import random
import shutil
import sys
from collections.abc import Callable
from datetime import timedelta
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

from crewdesk.cli import main
from crewdesk.errors import Damaged, Newer
from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Tables
from crewdesk.job.steps import ticks
from crewdesk.job.time import clock
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check
from crewdesk.trade.cuts.section import Section
from tests.bench.trust.count import Count
from tests.bench.trust.kills import NOW

Data = bytes
STRANGE = (
    b"{}",
    b"[]",
    b"null",
    b'{"name": "left-pad", "version": "1.3.0", "scripts": {"test": "node test"}}',
    b'{"type": "FeatureCollection", "features": [{"geometry": null}]}\n',
    b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n",
    b"\x00" * 4096,
    b"[" * 50_000,
    b"\xef\xbb\xbf{}\n",
    b"PK\x03\x04\x14\x00",
)


def damage(folder: Path, times: int, *, seed: int = 1) -> list[Count]:
    """Damage `times` files; what goes wrong is told on stderr, and counted."""
    chance = random.Random(seed)
    desk = filled(folder / "data", folder / "other")
    sound = {one: one.read_bytes() for one in desk.folder.rglob("*") if one.is_file()}
    told_older = desk.folder / "shop.json"  # says that an older version is to be updated
    states = {id_: _states(desk, id_) for id_ in desk.ids()}
    wrong = unseen = brought = harmless = 0
    for number in range(times):
        path = chance.choice(sorted(sound.keys() - {told_older}))
        name, data = mutated(chance, sound[path], path, sound)
        if data is None:
            path.unlink()
        else:
            path.write_bytes(data)
        told = f"{number}: {name} of {path.name}"
        try:
            seen, back = _look(desk, states, deep=number % 10 == 0)
            brought += back
            if not seen:
                harmless += 1
                unseen += not _may_stay_unseen(path, name, data, sound[path])
                if not _may_stay_unseen(path, name, data, sound[path]):
                    print(told, "was not seen", file=sys.stderr)
        except (Exception, SystemExit) as error:
            wrong += 1
            print(told, type(error).__name__, error, file=sys.stderr)
        _put_right(desk, sound)
    return [
        Count("files damaged", times, times),
        Count("of them with a traceback, written over, or read as never was", wrong, 0, most=True),
        Count("of them that changed something and were not seen", unseen, 0, most=True),
        Count("jobs brought back, the newest that could be", brought, times // 20),
        Count("of them harmless, or as a kill leaves them", harmless, times, most=True),
    ]


def filled(folder: Path, other: Path) -> Desk:
    """A data folder with all kinds of files in it."""
    desk = Desk(folder)
    for name in ("Hill house", "Mill"):
        id_ = desk.create(beams.new_job(name, Section(Fraction(8), Fraction(10)), NOW))
        for day, step in enumerate(("rip-side", "ease", "sand", "cleat-line")):
            job, at = desk.open(id_), NOW + timedelta(days=day)
            if not day:
                job.make(beams.add_beam(job.record, "Ridge", "Hall", at))
            job.make(ticks.tick(job.record, Spot("1", "A"), step, at))
            job.make(beams.change_job(job.record, {"notes": f"day {day}"}, at))
            if day == 2:
                job.undo(at)
            if day == 3:
                job.make(clock.start(job.record, "rip", at))
                if name == "Mill":
                    break  # its last changes stand in the history alone, as after a kill
            job.close(at)
    for who in ("Ada", "Bo", "Cy"):
        desk.shop.change(NOW, who=who)
    shutil.copytree(folder, other)
    job = Desk(other, "there").open("mill")
    job.make(beams.change_job(job.record, {"site": "Lot 9"}, NOW + timedelta(days=5)))
    job.close(NOW + timedelta(days=5))
    shutil.copy(job.path.with_suffix(".history"), desk.path("mill").parent)
    return desk


def mutated(
    chance: random.Random, data: Data, path: Path, sound: dict[Path, Data]
) -> tuple[str, Data | None]:
    """The name of some damage and what is left of the data; None where the file is gone."""
    name = chance.choice(sorted(MUTATIONS))
    return name, MUTATIONS[name](chance, data, path, sound)


def _flip(chance: random.Random, data: Data, *_: object) -> Data:
    at = chance.randrange(len(data)) if data else 0
    flipped = bytes(byte ^ (1 << chance.randrange(8)) for byte in data[at : at + 1]) or b"x"
    return data[:at] + flipped + data[at + 1 :]


def _flips(chance: random.Random, data: Data, *more: object) -> Data:
    for _ in range(chance.randrange(2, 30)):
        data = _flip(chance, data)
    return data


def _cut(chance: random.Random, data: Data, *_: object) -> Data:
    return data[: chance.randrange(len(data) + 1)]


def _cut_front(chance: random.Random, data: Data, *_: object) -> Data:
    return data[chance.randrange(len(data) + 1) :]


def _hole(chance: random.Random, data: Data, *_: object) -> Data:
    at, size = chance.randrange(len(data) + 1), chance.randrange(1, 600)
    return data[:at] + b"\x00" * len(data[at : at + size]) + data[at + size :]


def _line_gone(chance: random.Random, data: Data, *_: object) -> Data:
    lines = data.splitlines(keepends=True)
    at = chance.randrange(len(lines)) if lines else 0
    return b"".join(lines[:at] + lines[at + 1 :])


def _line_twice(chance: random.Random, data: Data, *_: object) -> Data:
    lines = data.splitlines(keepends=True)
    at = chance.randrange(len(lines)) if lines else 0
    return b"".join(lines[: at + 1] + lines[at:])


def _other_file(chance: random.Random, _data: Data, path: Path, sound: dict[Path, Data]) -> Data:
    return sound[chance.choice(sorted(sound))]


def _older(_chance: random.Random, data: Data, path: Path, sound: dict[Path, Data]) -> Data:
    return next((one for other, one in sound.items() if other.name == path.name + ".1"), b"")


def _newer_schema(_chance: random.Random, data: Data, *_: object) -> Data:
    try:
        doc = json.loads(data)
        seal = b',"sha256":"' + doc["sha256"].encode() + b'",\n'
        bare = data.replace(seal, b"}\n").replace(b'"schema":2', b'"schema":9', 1)
    except (ValueError, TypeError, KeyError):
        return b'{"crewdesk":"job","schema":9}\n'
    return bare.replace(b"}\n", b',"sha256":"' + sha256(bare).hexdigest().encode() + b'",\n', 1)


def _without_seal(_chance: random.Random, data: Data, *_: object) -> Data:
    return data.replace(b'"sha256"', b'"sha255"', 1)


def _as_text(_chance: random.Random, data: Data, *_: object) -> Data:
    return data.replace(b"\n", b"\r\n")


def _garbage_behind(chance: random.Random, data: Data, *_: object) -> Data:
    return data + chance.randbytes(chance.randrange(1, 300))


Mutation = Callable[[random.Random, Data, Path, dict[Path, Data]], Data | None]
MUTATIONS: dict[str, Mutation] = {
    "a bit flipped": _flip,
    "bits flipped": _flips,
    "cut short": _cut,
    "its front cut off": _cut_front,
    "empty": lambda *_: b"",
    "gone": lambda *_: None,
    "a hole of zeros": _hole,
    "a line gone": _line_gone,
    "a line twice": _line_twice,
    "another file": _other_file,
    "an older file": _older,
    "another program's": lambda chance, *_: chance.choice(STRANGE),
    "a newer schema": _newer_schema,
    "without its seal": _without_seal,
    "line ends of another system": _as_text,
    "garbage behind it": _garbage_behind,
}


def _key(tables: Tables) -> str:
    bare = {name: rows for name, rows in tables.items() if rows}
    return sha256(json.dumps(bare, sort_keys=True).encode()).hexdigest()


def _states(desk: Desk, id_: str) -> list[str]:
    """Every state that a job went through, oldest first."""
    from crewdesk.job.record import Record

    record, keys = Record({}), []
    for change in desk.open(id_, writing=False).history():
        record.make(change)
        keys.append(_key(record.tables))
    return keys


def _look(desk: Desk, states: dict[str, list[str]], *, deep: bool) -> tuple[bool, int]:
    """Read all; gives whether damage was seen, and how many jobs were brought back."""
    before = _all(desk)
    list(desk.jobs())
    damaged = []
    for id_ in desk.ids():
        try:
            key = _key(desk.open(id_, writing=False).record.tables)
            assert key in states.get(id_, ()), f"{id_} is as it never was"
        except Damaged:
            damaged.append(id_)
    with contextlib.suppress(Damaged):
        desk.shop.record()
    seen = not all(one.sound for one in check(desk))
    if deep:
        desk.clocks()
        assert _command(desk, "check")[0] == int(seen)
        for words in (("progress", "hill"), ("cutlist", "mill"), ("hours", "mill"), ("shop",)):
            assert _command(desk, *words)[0] in (0, 2)
    assert _all(desk) == before, "something was written"
    back = 0
    for id_ in damaged:
        with contextlib.suppress(Newer):
            back += _bring_back(desk, id_, states.get(id_, []))
    return seen, back


def _bring_back(desk: Desk, id_: str, states: list[str]) -> int:
    """Bring a job back, and see that it is the newest state that any file tells."""
    copies = desk.copies(id_)
    if not copies:
        return 0
    before = _all(desk)
    best = copies[0]
    done = desk.bring_back(id_, NOW)
    key = _key(desk.open(id_, writing=False).record.tables)
    assert done == best, f"{done} was brought back, {best} was offered"
    assert key in states, f"{id_} was brought back as it never was"
    if key != states[-1] and not best.lost(None):
        # What is not told as lost is in no file any more.
        last = b'"number":%d,' % len(states)
        assert not any(last in data for data in _of(before, id_)), "what is lost is not told"
    aside = {data for path, data in _all(desk).items() if ".damaged-" in path.name}
    for path in (desk.path(id_), desk.path(id_).with_suffix(".history")):
        assert path not in before or before[path] in aside, f"{path.name} was not kept"
    return 1


def _of(files: dict[Path, Data], id_: str) -> list[Data]:
    return [
        data
        for path, data in files.items()
        if path.parent.name == id_ and path.suffix == ".history"
    ]


def _command(desk: Desk, *words: str) -> tuple[int, str]:
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        status = main([*words, "--data", str(desk.folder)])
    return status, out.getvalue()


def _all(desk: Desk) -> dict[Path, Data]:
    return {
        one: one.read_bytes()
        for one in desk.folder.rglob("*")
        if one.is_file() and one.suffix != ".lock"
    }


def _put_right(desk: Desk, sound: dict[Path, Data]) -> None:
    for one in desk.folder.rglob("*"):
        if one.is_file() and one not in sound:
            one.unlink()
    for path, data in sound.items():
        if not path.exists() or path.read_bytes() != data:
            path.write_bytes(data)


def _may_stay_unseen(path: Path, name: str, data: Data | None, was: Data) -> bool:
    """Whether `check` need not tell: nothing was changed, a lock, a kept copy that is gone or
    exchanged for another, or a history as a kill leaves it."""
    if data == was or path.suffix == ".lock":
        return True
    if path.stem == "there" and name == "another file":
        return True  # a job that another machine began under the same name
    if path.suffix == ".history":
        whole = (data or b"").rpartition(b"\n")[0]
        return was.startswith(whole) or (data or b"").startswith(was)
    if name in ("another file", "an older file"):
        return True  # of an older whole file the history leads on
    return data is None  # the history leads to all that a whole file held
