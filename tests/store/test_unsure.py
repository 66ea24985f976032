"""A disk that takes a line, fails to say so, and can't be made to take it back: as a folder on
the network that goes away between the two."""

import os
from decimal import Decimal
from pathlib import Path

import pytest
from filelock import FileLock

from crewdesk.errors import NotSaved
from crewdesk.job.beams import beams
from crewdesk.job.books import ledger as trail
from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.books.payments import pay
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import Line


@pytest.fixture
def gone(monkeypatch):
    """While it lasts, neither fsync nor ftruncate work, though the line was written."""

    def fail(*_):
        raise OSError(5, "Input/output error")

    def go():
        patch = pytest.MonkeyPatch()
        patch.setattr(os, "fsync", fail)
        patch.setattr(os, "ftruncate", fail)
        return patch

    return go


def test_a_payment_that_may_stand_is_told_so_and_is_there_once(desk, now, gone) -> None:
    on = now.date()
    lines = (Line("fixed", "Work", Decimal("100.00"), taxed=False),)
    draft = Draft("progress", "hill-house", "Ada Quill", lines, (), Decimal(0))
    desk.shop.make(lambda r, at: issue_invoice(r, draft, trail.Letterhead(), on, at), now)
    patch = gone()
    with pytest.raises(NotSaved) as caught:
        desk.shop.make(lambda r, at: pay(r, 1, Decimal("50.00"), on, at), now)
    patch.undo()
    assert caught.value.unsure
    assert "nothing was changed" not in str(caught.value)
    assert "It may be on the disk. When the disk is back" in str(caught.value)
    # The next start finds out: here it stands.
    assert [one.amount for one in desk.shop.record().payments] == [Decimal("50.00")]


def test_what_waits_on_the_screens_is_not_made_twice(desk, job, now, gone, copied) -> None:
    job.holding = True
    patch = gone()
    with pytest.raises(NotSaved):
        job.make(beams.add_beam(job.record, "Third", "Hall", now))
    with pytest.raises(NotSaved):
        job.make(beams.change_job(job.record, {"notes": "x"}, now))
    patch.undo()
    want = copied(job.record.tables)
    job.save()
    assert job.waiting == ()
    assert len(job.record.beams) == 3
    assert copied(job.record.tables) == want
    assert job.undo(now).what == "changed the job settings"
    assert job.undo(now).what == "added beam Hall Third"
    job.close(now)
    assert len(desk.open(job.id).record.beams) == 2


@pytest.fixture
def lost(monkeypatch):
    """Let nothing be looked at or locked any more once it is `begun`: ESTALE, as where a folder
    on the network went away."""
    begun = []

    def failing(real):
        def call(*args, **kwargs):
            if begun:
                raise OSError(116, "Stale file handle")
            return real(*args, **kwargs)

        return call

    for holder, name in ((Path, "is_dir"), (Path, "exists"), (os, "scandir"), (os, "open")):
        monkeypatch.setattr(holder, name, failing(getattr(holder, name)))
    release = FileLock.release

    def release_and_fail(lock, *, force=False):
        release(lock, force=force)
        if begun:
            raise OSError(116, "Stale file handle")

    monkeypatch.setattr(FileLock, "release", release_and_fail)
    return begun


def test_what_was_saved_before_the_folder_went_away_is_told_as_saved(
    desk, now, lost, monkeypatch
) -> None:
    on, fsync = now.date(), os.fsync
    lines = (Line("fixed", "Work", Decimal("100.00"), taxed=False),)
    draft = Draft("progress", "hill-house", "Ada Quill", lines, (), Decimal(0))
    desk.shop.make(lambda r, at: issue_invoice(r, draft, trail.Letterhead(), on, at), now)

    def and_gone(handle):
        fsync(handle)
        lost.append(True)

    monkeypatch.setattr(os, "fsync", and_gone)
    # Told as refused, it would be typed again.
    desk.shop.make(lambda r, at: pay(r, 1, Decimal("50.00"), on, at), now)
    lost.clear()
    assert [one.amount for one in desk.shop.record().payments] == [Decimal("50.00")]


def test_what_is_made_while_the_folder_is_away_is_kept(desk, job, now, lost) -> None:
    job.holding = True
    lost.append(True)
    with pytest.raises(NotSaved, match=r"says 'Stale file handle'\. It is kept here"):
        job.make(beams.add_beam(job.record, "Third", "Hall", now))
    job.look()
    lost.clear()
    job.save()
    job.close(now)
    assert len(desk.open(job.id).record.beams) == 3


def test_the_zone_stays_while_the_folder_is_away(desk, now, lost) -> None:
    desk.shop.change(now, zone="America/Chicago")
    assert str(desk.shop.zone()) == "America/Chicago"
    lost.append(True)
    assert str(desk.shop.zone()) == "America/Chicago"
