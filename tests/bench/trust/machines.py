"""Three machines that share a data folder through a program that syncs folders.

Each machine has its own folder. A script draws what happens: a change on one of them, in a
program that stays open or a new one; files carried from one to another, in any order, late,
half-way, an older one over a newer one, or beside it as a conflict copy; a job's folder renamed,
another machine's file removed. A machine's own file is never written over by the sync, since no
other machine changes it. At the end of each episode all is carried everywhere and opened; then
every change that was acknowledged must be there, and every machine must hold the same.
"""

import json
import random
import shutil
import sys
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path

from crewdesk.errors import BadInput, CrewdeskError, Damaged
from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books import ledger as trail
from crewdesk.job.books.documents import credit_invoice, issue_invoice
from crewdesk.job.books.job_lists import typed_material
from crewdesk.job.books.payments import pay
from crewdesk.job.steps import ticks
from crewdesk.store.desk import Desk
from crewdesk.store.history_lines import History
from crewdesk.store.integrity import check, doubles
from crewdesk.store.job_file import JobFile
from crewdesk.trade.books.invoice import Draft, Issued
from crewdesk.trade.books.invoice_lines import Line
from crewdesk.trade.cuts.section import Section
from tests.bench.trust.count import Count
from tests.bench.trust.kills import NOW

NAMES = ("ada", "bo", "cy")
EPISODE = 250
ID = "hill"


def machines(folder: Path, steps: int, *, seed: int = 1) -> list[Count]:
    """Draw so many steps; what is lost is told on stderr, and counted."""
    chance = random.Random(seed)
    made = money = lost = parted = wrong = 0
    for number in range(0, steps, EPISODE):
        episode = _Episode(folder / str(number), chance)
        try:
            for _ in range(min(EPISODE, steps - number)):
                episode.step()
            told = episode.finish()
        except (AssertionError, CrewdeskError, OSError) as error:
            told = [f"{type(error).__name__}: {error}"]
        for one in told:
            print(f"episode {number}: {one}", file=sys.stderr)
        made += len(episode.tokens)
        money += len(episode.invoices) + len(episode.payments)
        lost += sum("lost" in one for one in told)
        parted += sum("not the same" in one for one in told)
        wrong += sum("lost" not in one and "not the same" not in one for one in told)
        shutil.rmtree(folder / str(number), ignore_errors=True)
    return [
        Count("steps of three machines that share a folder", steps, steps),
        Count("changes of jobs that were acknowledged", made, steps // 8),
        Count("invoices and payments that were acknowledged", money, steps // 16),
        Count("of them neither there nor kept apart at the end", lost, 0, most=True),
        Count("times the machines didn't hold the same at the end", parted, 0, most=True),
        Count("refusals, files called wrong, numbers given twice", wrong, 0, most=True),
    ]


class _Episode:
    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.chance, self.at = chance, NOW
        first = Desk(folder / NAMES[0], NAMES[0])
        first.create(beams.new_job(ID, Section(Fraction(8), Fraction(10)), NOW))
        job = first.open(ID)
        for name in ("Ridge", "Cross"):
            job.make(beams.add_beam(job.record, name, "Hall", NOW))
        job.close(NOW)
        first.shop.change(NOW, name="Quill Beams")
        for name in NAMES[1:]:
            shutil.copytree(first.folder, folder / name)
        self.desks = {name: Desk(folder / name, name) for name in NAMES}
        self.open: dict[str, JobFile] = {}
        self.late: list[tuple[str, Path, bytes]] = []
        self.tokens: dict[str, tuple[str, str]] = {}
        self.invoices: set[str] = set()
        self.payments: set[str] = set()
        self.count = 0
        self.renamed = 0

    def now(self) -> datetime:
        """A minute later; each machine's clock is a little off."""
        self.at += timedelta(minutes=1)
        return self.at + timedelta(seconds=self.chance.randrange(-90, 90))

    def step(self) -> None:
        """Something that happens."""
        act = self.chance.choices(
            (self._change, self._money, self._carry, self._deliver, self._close, self._rename,
             self._remove, self._look),
            (30, 12, 35, 15, 6, 0.4, 2, 6),
        )[0]  # fmt: skip
        act(self.chance.choice(NAMES))

    # What users do

    def _job(self, name: str) -> JobFile | None:
        if name in self.open:
            return self.open[name]
        ids = self.desks[name].ids()
        if not ids:
            return None
        id_ = self.chance.choice(ids)
        if not _came(lambda: self.desks[name].open(id_, writing=False)):
            return None
        job = self.desks[name].open(id_)
        if self.chance.random() < 0.4:
            self.open[name] = job
        return job

    def _change(self, name: str) -> None:
        job = self._job(name)
        if job is None:
            return
        self.count += 1
        token, now = f"token{self.count}", self.now()
        kind = self.chance.choice(("line", "line", "notes", "tick", "undo", "beam"))
        try:
            if kind == "line":
                job.make(typed_material(job.record, token, "1", "2", now))
            elif kind == "notes":
                job.make(beams.change_job(job.record, {"notes": token}, now))
            elif kind == "beam":
                job.make(beams.add_beam(job.record, token, "Hall", now))
            elif kind == "undo":
                text = json.dumps(job.undo(now).to_doc())
                for one in [one for one in self.tokens if f'"{one}"' in text]:
                    self.tokens[one] = ("taken back", self.tokens[one][1])
            else:
                spot = Spot(self.chance.choice("12"), self.chance.choice("AB"))
                job.make(ticks.tick(job.record, spot, "rip-side", now))
        except Damaged:
            raise
        except CrewdeskError:
            kind = ""
        if kind:
            seal = job._storage._session[-1].place.seal
            self.tokens[token] = (kind, seal)
        if name not in self.open:
            job.close(now)

    def _money(self, name: str) -> None:
        shop, now = self.desks[name].shop, self.now()
        self.count += 1
        who, on = f"Customer {self.count}", NOW.date()
        if not _came(shop.record):
            return
        issued = [one for one in shop.record().trail if isinstance(one, Issued)]
        if not issued or self.chance.random() < 0.5:
            lines = (Line("fixed", "Work", Decimal("100.00"), taxed=False),)
            draft = Draft("progress", "hill", who, lines, (), Decimal(0))
            shop.make(lambda r, at: issue_invoice(r, draft, trail.Letterhead(), on, at), now)
            self.invoices.add(who)
            return
        one = self.chance.choice(issued)
        note = f"{one.draft.customer} paid {self.count}"
        try:
            if self.chance.random() < 0.2:
                amounts = (Decimal("1.00"),)
                shop.make(
                    lambda r, at: credit_invoice(r, one.number, note, on, at, amounts=amounts), now
                )
            else:
                amount = Decimal("1.00")
                shop.make(lambda r, at: pay(r, one.number, amount, on, at, note=note), now)
        except BadInput:
            return
        self.payments.add(note)

    def _close(self, name: str) -> None:
        if name in self.open:
            self.open.pop(name).close(self.now())

    def _look(self, name: str) -> None:
        if name in self.open:
            self.open[name].look()
        else:
            list(self.desks[name].jobs())
            _came(self.desks[name].shop.record)

    # What the sync does

    def _files(self, name: str) -> Iterator[Path]:
        folder = self.desks[name].folder
        for one in folder.rglob("*"):
            if one.is_file() and one.suffix not in (".lock", ".new"):
                yield one.relative_to(folder)

    def _carry(self, name: str) -> None:
        """Carry some files to another machine, some of them only later."""
        to = self.chance.choice([one for one in NAMES if one != name])
        files = sorted(self._files(name))
        self.chance.shuffle(files)
        for path in files[: self.chance.randrange(1, len(files) + 1)]:
            data = (self.desks[name].folder / path).read_bytes()
            if self.chance.random() < 0.3:
                self.late.append((to, path, data))
            else:
                self._put(to, path, data)

    def _deliver(self, _: str) -> None:
        """What is late arrives, in any order."""
        for _ in range(self.chance.randrange(4)):
            if self.late:
                self._put(*self.late.pop(self.chance.randrange(len(self.late))))

    def _put(self, to: str, path: Path, data: bytes) -> None:
        there = self.desks[to].folder / path
        owner = path.name.partition(".")[0]
        if there.exists() and there.read_bytes() == data:
            return
        if owner == to or not there.parent.exists():
            if owner == to and there.exists() and self.chance.random() < 0.05:
                copy = there.with_name(f"{owner} (copy {self.chance.randrange(9)}){there.suffix}")
                if there.suffix in (".json", ".history"):
                    copy.write_bytes(data)
            if owner == to:
                return
            there.parent.mkdir(parents=True)
        if there.exists() and self.chance.random() < 0.3:
            return  # the one that is there wins
        if self.chance.random() < 0.1:
            data = data[: self.chance.randrange(len(data) + 1)]
        if self.chance.random() < 0.5:
            there.write_bytes(data)
        else:
            fresh = there.with_name(f".{there.name}.tmp")
            fresh.write_bytes(data)
            fresh.replace(there)

    def _rename(self, name: str) -> None:
        """A job's folder gets another name; the sync carries the new one, and takes the old one
        away where it is as it was."""
        ids = self.desks[name].ids()
        if name in self.open or not ids:
            return
        self.renamed += 1
        old = self.desks[name].jobs_folder / self.chance.choice(ids)
        was = {one.name: one.read_bytes() for one in old.iterdir() if one.suffix != ".lock"}
        new = old.with_name(f"{ID}-{self.renamed + 1}")
        if new.exists():
            return
        for one in old.glob("*.lock"):
            one.unlink()
        old.rename(new)
        for other in NAMES:
            folder = self.desks[other].jobs_folder / old.name
            if other == name or other in self.open or not folder.exists():
                continue
            for file, data in was.items():
                there = folder / file
                if there.exists() and there.read_bytes() == data and not file.startswith(other):
                    there.unlink()

    def _remove(self, name: str) -> None:
        """Another machine's file is gone for a while."""
        files = [one for one in self._files(name) if one.parts[0] == "jobs"]
        files = [one for one in files if not one.name.startswith(name)]
        owners = {one for one in files if (self.desks[_owner(one)].folder / one).exists()}
        if owners:
            (self.desks[name].folder / self.chance.choice(sorted(owners))).unlink()

    # The end

    def finish(self) -> list[str]:
        """Carry all everywhere, let each machine open it; gives what is wrong then."""
        for name in [*self.open]:
            self.open.pop(name).close(self.now())
        self._carry_all()
        if self._merge_doubles():
            self._carry_all()
        return [*self._same(), *self._jobs(), *self._books(), *self._checked()]

    def _carry_all(self) -> None:
        """Carry all everywhere and open it there, until nothing is new."""
        for _ in range(4):
            for name in NAMES:
                for path in list(self._files(name)):
                    if path.name.startswith(name + ".") or " (copy" in path.name:
                        data = (self.desks[name].folder / path).read_bytes()
                        for to in NAMES:
                            if to != name:
                                there = self.desks[to].folder / path
                                there.parent.mkdir(parents=True, exist_ok=True)
                                there.write_bytes(data)
            for name in NAMES:
                for id_ in self._ids(name):
                    self.desks[name].open(id_).close(self.now())
                self.desks[name].shop.change(self.at)

    def _merge_doubles(self) -> bool:
        """Do what `check` says where a job was changed in a folder after that was renamed
        elsewhere; the sync does the same on every machine. Gives whether there was any."""
        found = {id_: one.of for id_, one in doubles(self.desks[NAMES[0]]).items()}
        for desk in self.desks.values():
            for id_, of in found.items():
                old = desk.jobs_folder / id_
                for one in old.glob("*.history"):
                    one.rename(desk.jobs_folder / of / f"{one.stem} of {id_}.history")
                shutil.rmtree(old)
        return bool(found)

    def _ids(self, name: str) -> list[str]:
        """The jobs that can be read: of a folder that was renamed, a whole copy alone may be
        left."""
        desk = self.desks[name]
        return [id_ for id_ in desk.ids() if _came(partial(desk.open, id_, writing=False))]

    def _same(self) -> Iterator[str]:
        for folder in {one.parent for one in self._files("ada") if one.suffix == ".history"}:
            texts = {
                (desk.folder / folder / f"{name}.history").read_bytes()
                for name, desk in self.desks.items()
            }
            if len(texts) > 1:
                yield f"{folder} is not the same on all machines"

    def _jobs(self) -> Iterator[str]:
        desk = self.desks["ada"]
        held: set[str] = set()
        texts = ""
        for id_ in self._ids("ada"):
            job = desk.open(id_, writing=False)
            held |= History.read(desk.path(id_).with_suffix(".history")).holds.keys()
            texts += json.dumps([one.to_doc() for one in job.history()])
        for token, (kind, seal) in self.tokens.items():
            if seal not in held:
                yield f"{kind} {token} is lost"
            elif kind in ("line", "beam") and f'"{token}"' not in texts:
                yield f"{kind} {token} is lost, though its line is named"

    def _books(self) -> Iterator[str]:
        books = self.desks["ada"].shop.record()
        numbers = [one.number for one in books.trail]
        if numbers != list(range(1, len(numbers) + 1)):
            yield f"numbers are {numbers}"
        issued = {one.number: one.draft.customer for one in books.trail if isinstance(one, Issued)}
        if len(set(issued.values())) != len(issued):
            yield "an invoice is there twice"
        for who in sorted(self.invoices - set(issued.values())):
            yield f"the invoice of {who} is lost"
        notes = {one.note: issued[one.invoice] for one in books.payments}
        notes |= {one.reason: issued[one.of] for one in books.trail if not isinstance(one, Issued)}
        for note in self.payments:
            if note not in notes:
                yield f"the payment '{note}' is lost"
            elif not note.startswith(f"{notes[note]} paid"):
                yield f"the payment '{note}' landed on the invoice of {notes[note]}"

    def _checked(self) -> Iterator[str]:
        for name, desk in self.desks.items():
            for one in check(desk):
                # Half a file whose other half is nowhere any more is rightly called wrong.
                there = self.desks[_owner(one.path)].folder / one.path.relative_to(desk.folder)
                if not one.sound and " (copy" not in one.path.name and there.exists():
                    yield f"{name}: {one.path.name} is called wrong: {one.told}"


def _came(read: Callable[[], object]) -> bool:
    """Whether a record can be read: not where only a whole copy of it is there yet."""
    try:
        read()
    except Damaged as damaged:
        if "hasn't arrived yet" not in damaged.why:
            raise
        return False
    return True


def _owner(path: Path) -> str:
    owner = path.name.partition(".")[0].partition(" ")[0]
    return owner if owner in NAMES else NAMES[0]
