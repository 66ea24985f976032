"""The shop's own file."""

import os

import pytest

from crewdesk.errors import BadInput, Damaged, NotSaved, ReadOnly
from crewdesk.job.books.shop import Shop


def test_a_shop_that_was_never_written_has_the_usual_values(desk) -> None:
    assert desk.shop.shop() == Shop()
    assert not desk.shop.path.exists()


def test_values_change_one_at_a_time_and_stay(desk, now) -> None:
    assert desk.shop.change(now, who=" Ada  Quill ").who == "Ada Quill"
    desk.shop.change(now, level="48", theme="day")
    assert desk.shop.shop() == Shop(who="Ada Quill", level="48", theme="day")
    before = desk.shop.path.read_bytes()
    desk.shop.change(now, level="48")
    assert desk.shop.path.read_bytes() == before
    if os.name != "nt":  # modes mean nothing on Windows
        assert {one.stat().st_mode & 0o777 for one in desk.folder.glob("shop/*")} == {0o600}


def test_two_programs_do_not_undo_one_another(desk, now) -> None:
    one, other = desk.shop, desk.shop
    one.shop()
    other.change(now, who="Bo")
    one.change(now, level="72")
    assert desk.shop.shop() == Shop(who="Bo", level="72")


def test_what_no_shop_has_is_refused(desk, now, refusing) -> None:
    assert "1/16, 1/32, 1/64 or mm" in refusing(desk.shop.change, now, step="1/3")
    assert "more than zero" in refusing(desk.shop.change, now, level="0")
    assert "the limit is 80" in refusing(desk.shop.change, now, who="x" * 81)
    assert "must be text" in refusing(desk.shop.change, now, theme=None)
    with pytest.raises(BadInput):
        desk.shop.change(now, level="long")
    assert not desk.shop.path.exists()


def test_a_shop_that_another_holds_is_waited_for_and_not_for_ever(desk, now, monkeypatch) -> None:
    from filelock import FileLock

    from crewdesk.store import record_file

    monkeypatch.setattr(record_file, "PATIENCE", 0.05)
    with (
        FileLock(desk.shop.path.with_suffix(".lock")),
        pytest.raises(ReadOnly, match="shop is open in another crewdesk"),
    ):
        desk.shop.change(now, who="Bo")
    desk.shop.change(now, who="Bo")


def test_a_full_disk_and_a_shop_brought_back(desk, now, failing, refusing) -> None:
    desk.shop.change(now, who="Ada")
    with failing("line") as hits, pytest.raises(NotSaved):
        desk.shop.change(now, who="Bo")
    assert hits
    assert desk.shop.shop().who == "Ada"
    # The change counts once its line is there, checkpoint or no.
    with failing("rename") as hits:
        desk.shop.change(now, who="Bo")
    assert hits
    assert desk.shop.shop().who == "Bo"
    desk.shop.change(now, level="72")
    data = desk.shop.path.read_bytes()
    desk.shop.path.write_bytes(data[:-9])
    for ask in (desk.shop.shop, lambda: desk.shop.change(now, who="Cy")):
        with pytest.raises(Damaged):
            ask()
    assert desk.shop.path.read_bytes() == data[:-9]
    desk.shop.bring_back(now)
    assert desk.shop.shop() == Shop(who="Bo", level="72")
    assert "nothing to recover" in refusing(desk.shop.bring_back, now)
