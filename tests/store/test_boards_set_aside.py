"""Boards on hand that a job has set aside are that job's, whatever its folder is called."""

import shutil
from datetime import timedelta
from fractions import Fraction

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.change import Change, edit
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.stock_list import take_stock_in, typed_hand
from crewdesk.job.lumber.task import rows_on_hand
from crewdesk.job.sync.conflicts import unsettled
from crewdesk.paper.text.lists import hand_text
from crewdesk.store.desk import Desk
from crewdesk.store.lumber import give_back, job_task, keep_plan, set_aside
from crewdesk.trade.cuts.section import Section

NAME = "Hill house"
STOCK = {
    "crewdesk": "stock",
    "stock": [
        {"species": "Oak", "size": "1x12", "lengths": "14'", "price": "6", "per": "foot"},
    ],
    "on_hand": [{"species": "Oak", "size": "1x12", "length": length} for length in ("100", "101")],
}

pytestmark = pytest.mark.unix("wine lacks a function that numpy calls, so no boards are planned")


def job_in(desk: Desk, now) -> str:
    """Begin a job of one short beam."""
    id_ = desk.create(beams.new_job(NAME, Section(Fraction(8), Fraction(10)), now))
    job = desk.open(id_)
    job.make(beams.add_beam(job.record, "Ridge", "Hall", now, rough=Fraction(64)))
    job.close(now)
    return id_


def plan(desk: Desk, id_: str, now) -> None:
    """Plan a job's boards and keep the plan."""
    job = desk.open(id_)
    keep_plan(desk, job, solve(job_task(desk, id_, job)), now)
    job.close(now)


def hands(desk: Desk, id_: str) -> set[str]:
    """The shop's boards on hand that a job may be cut from."""
    return {one.hand for one in job_task(desk, id_, desk.open(id_, writing=False)).sources} - {""}


def for_whom(desk: Desk) -> list[str]:
    return [one.job for one in desk.shop.record().on_hand]


@pytest.fixture
def shop(desk, now) -> Desk:
    desk.shop.make(lambda books, at: take_stock_in(books, STOCK, at), now)
    return desk


def test_a_job_keeps_its_boards_when_its_folder_is_renamed(shop, now) -> None:
    first = job_in(shop, now)
    plan(shop, first, now)
    taken = hands(shop, first)
    assert "hill-house" in for_whom(shop)
    (shop.jobs_folder / first).rename(shop.jobs_folder / "renamed")
    second = job_in(shop, now + timedelta(minutes=1))
    assert second == first == "hill-house"
    # The other job, in the folder of that name, has none of them; the renamed one has all.
    assert hands(shop, "renamed") == taken
    own = {one.row for one in shop.shop.record().on_hand if one.job}
    assert not hands(shop, second) & own
    job = shop.open(second)
    set_aside(shop, job, now)
    job.close(now)
    assert {one.row for one in shop.shop.record().on_hand if one.job} == own, "let go of"
    # What sets boards aside the next time writes the folder's name of today.
    job = shop.open("renamed")
    set_aside(shop, job, now)
    assert set(for_whom(shop)) == {"renamed", ""} or set(for_whom(shop)) == {"renamed"}
    assert ", set aside for renamed" in hand_text(shop.shop.record().on_hand[0])
    job.make(
        Change(
            "bought", tuple(edit(job.record.tables, ("boards", b.row, "state"), "bought")
            for b in job.record.boards), now,
        )
    )  # fmt: skip
    give_back(shop, job, now)
    job.close(now)
    assert not any(one.job or one.begun for one in shop.shop.record().on_hand)


def test_two_jobs_of_one_name_on_two_machines_share_no_board(shop, now, tmp_path) -> None:
    shutil.copytree(shop.folder, tmp_path / "other")
    there = Desk(tmp_path / "other", "there")
    for minute, desk in enumerate((shop, there)):
        plan(desk, job_in(desk, now + timedelta(minutes=minute)), now + timedelta(minutes=minute))
    for one in sorted(there.folder.rglob("there.*")):
        if one.suffix != ".lock":
            shutil.copy2(one, shop.folder / one.relative_to(there.folder))
    begun = {one.begun for one in shop.shop.record().on_hand if one.begun}
    assert len(begun) == 1, "one board can't be set aside for both"
    (owner,) = begun
    assert owner == shop.open("hill-house", writing=False).record.begun


def test_a_board_that_an_older_crewdesk_set_aside_is_known_by_the_name(shop, now) -> None:
    first = job_in(shop, now)
    at = ("on_hand", "1", "job")
    shop.shop.make(lambda r, when: Change("old", (edit(r.tables, at, "hill-house"),), when), now)
    second = job_in(shop, now)
    assert hands(shop, first) == {"1", "2"}
    assert hands(shop, second) == {"2"}
    job = shop.open(first)
    set_aside(shop, job, now)  # its plan uses none
    job.close(now)
    assert for_whom(shop) == ["", ""]


def test_boards_that_two_machines_add_are_both_there_and_whose_they_were(
    shop, now, tmp_path
) -> None:
    id_ = job_in(shop, now)
    shutil.copytree(shop.folder, tmp_path / "other")
    there = Desk(tmp_path / "other", "there")
    for minute, (desk, length) in enumerate(((shop, "90"), (there, "95"))):
        typed = {"species": "Oak", "size": "1x12", "length": length, "bad": ""}
        desk.shop.make(
            lambda r, at, typed=typed: typed_hand(r, typed, at), now + timedelta(minutes=minute)
        )
    job = there.open(id_)
    board = edit(job.record.tables, ("boards", "1"), {**board_doc("95"), "hand": "3"})
    job.make(Change("kept", (board,), now))
    set_aside(there, job, now + timedelta(minutes=2))
    job.close(now)
    for one in sorted(there.folder.rglob("there.*")):
        if one.suffix != ".lock":
            shutil.copy2(one, shop.folder / one.relative_to(there.folder))
    books, record = shop.shop.record(), shop.open(id_, writing=False).record
    assert [(str(one.length), one.job) for one in books.on_hand] == [
        ("100", ""), ("101", ""), ("90", ""), ("95", id_)]  # fmt: skip
    assert unsettled(books) == ()
    assert rows_on_hand(books, record, id_) == {"1": "4"}
    assert "4" not in hands(shop, id_), "it is used already"
    set_aside(shop, shop.open(id_), now + timedelta(minutes=3))
    assert for_whom(shop) == ["", "", "", id_]


def board_doc(length: str) -> dict:
    """A board of the stock's wood as a job keeps it, not cut."""
    return {
        "species": "Oak", "size": "1x12", "thickness": "3/4", "width": "45/4", "length": length,
        "price": "0.00", "state": "cut", "first": "rip", "pieces": [],
    }  # fmt: skip
