"""Changes, made and taken back, by random sequences of what a user may do."""

from copy import deepcopy
from datetime import UTC, datetime, timedelta
from fractions import Fraction as Fr

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.job.change import ABSENT, Change, Edit, as_json, edit, look, rows_after
from crewdesk.job.record import Record
from crewdesk.job.sync.undoing import Undoing, folded_back


def change(now, *edits: Edit) -> Change:
    return Change("x", edits, now)


def test_rows_after_leaves_the_tables_as_they_are(now) -> None:
    tables = {"beams": {"1": {"pieces": {"A": {"steps": {"rip": 1}}}, "note": "n"}}}
    before = deepcopy(tables)
    at = ("beams", "1", "pieces", "A", "steps", "ease")
    new = {"state": "done"}
    rows = rows_after(tables, change(now, edit(tables, at, new)))
    assert tables == before
    assert rows == {
        "beams": {
            "1": {"pieces": {"A": {"steps": {"rip": 1, "ease": {"state": "done"}}}}, "note": "n"}
        }
    }
    # What is put in is nobody else's to change.
    new["state"] = "lost"
    assert rows["beams"]["1"]["pieces"]["A"]["steps"]["ease"] == {"state": "done"}


def test_a_change_and_the_tables_share_nothing(now) -> None:
    one = change(now, Edit(("beams", "1"), ABSENT, {"pieces": {}}))
    rows = rows_after({}, one)
    rows["beams"]["1"]["pieces"]["A"] = {}
    assert one.edits[0].after == {"pieces": {}}


def test_edits_of_one_row_follow_one_another(now) -> None:
    tables = {"beams": {"1": {"note": "a"}}}
    at = ("beams", "1", "note")
    twice = change(now, Edit(at, "a", "b"), Edit(at, "b", "c"))
    assert rows_after(tables, twice) == {"beams": {"1": {"note": "c"}}}
    back = twice.taken_back(1, now)
    assert rows_after({"beams": {"1": {"note": "c"}}}, back) == {"beams": {"1": {"note": "a"}}}


@pytest.mark.parametrize(
    "wrong",
    [
        Edit(("beams", "1", "note"), "b", "c"),
        Edit(("beams", "1", "note"), ABSENT, "c"),
        Edit(("beams", "1", "name"), "b", "c"),
        Edit(("beams", "1", "note", "deeper"), ABSENT, "c"),
        Edit(("beams", "2", "note"), "a", "c"),
        Edit(("beams", "1"), ABSENT, {}),
        Edit(("walls", "1"), {}, ABSENT),
    ],
)
def test_an_edit_of_what_is_not_there_is_refused(now, refusing, wrong) -> None:
    tables = {"beams": {"1": {"note": "a"}}}
    said = refusing(rows_after, tables, change(now, wrong))
    assert " / ".join(wrong.at) in said
    assert tables == {"beams": {"1": {"note": "a"}}}


def test_look(now) -> None:
    tables = {"beams": {"1": {"note": None}}}
    assert look(tables, ("beams", "1", "note")) is None
    assert look(tables, ("beams", "1", "name")) is ABSENT
    assert look(tables, ("beams", "1", "note", "x")) is ABSENT


def test_a_change_goes_out_and_comes_in(now) -> None:
    one = Change(
        "told", (Edit(("beams", "1"), ABSENT, {"a": None}), Edit(("job", "1", "n"), 1, ABSENT)), now
    )
    for whole in (one, one.taken_back(3, now), one.made_again(3, now)):
        assert Change.from_doc(whole.to_doc()) == whole


def test_what_json_has_no_form_for_is_not_kept(refusing) -> None:
    assert as_json({"a": (1, ["x", None], True, 0.5)}) == {"a": [1, ["x", None], True, 0.5]}
    for odd in (Fr(1, 2), {1: "x"}, {"a": {2}}, float("inf"), [float("nan")], b"x", object):
        assert "can't be kept" in refusing(as_json, odd)


def test_a_record_has_no_other_tables_nor_rows(record, now, refusing) -> None:
    for at, told in (
        (("walls", "1"), "no table 'walls'"),
        (("beams", "01"), "can't be a row '01'"),
        (("beams", "x"), "can't be a row 'x'"),
        (("beams", "9" * 5000), "can't be a row"),
        (("beams", "٣"), "can't be a row"),
        (("job", "2"), "can't be a row '2' among the job"),
    ):
        assert told in refusing(record.make, change(now, Edit(at, ABSENT, {})))
    lost = Edit(("job", "1"), record.tables["job"]["1"], ABSENT)
    assert "can't lose its own row" in refusing(record.make, change(now, lost))


def test_a_change_is_made_whole_or_not_at_all(record, now, refusing, copied) -> None:
    before = copied(record.tables)
    good = edit(record.tables, ("beams", "1", "note"), "fine")
    bad = edit(record.tables, ("beams", "2", "ceiling"), "domed")
    refusing(record.make, change(now, good, bad))
    assert copied(record.tables) == before
    assert record.beam("1").note == ""


def test_a_view_is_made_anew_after_a_change_and_not_before(record, now) -> None:
    first, other = record.beam("1"), record.beam("2")
    stages = record.stages
    record.make(change(now, edit(record.tables, ("beams", "1", "note"), "fine")))
    assert record.beam("1") is not first
    assert record.beam("1").note == "fine"
    assert record.beam("2") is other
    assert record.stages is stages


def test_undo_and_redo_go_back_and_forth(now) -> None:
    undoing = Undoing()

    def change(**turning):
        return Change("x", (Edit(("beams", "1", "note"), "a", "b"),), now, **turning)

    for number in (1, 2, 3):
        undoing.note(number, change())
    undoing.note(4, change(undoes=3))
    undoing.note(5, change(undoes=2))
    assert (undoing.made, undoing.taken) == ([1], [3, 2])
    undoing.note(6, change(redoes=2))
    assert (undoing.made, undoing.taken) == ([1, 2], [3])
    undoing.note(7, change())
    assert (undoing.made, undoing.taken) == ([1, 2, 7], [])
    # One that only names what another machine did is none to take back.
    undoing.note(8, change()._replace(edits=()))
    assert (undoing.made, undoing.taken) == ([1, 2, 7], [])


@given(st.data())
def test_what_undo_knows_is_the_same_from_the_end_as_from_the_start(data) -> None:
    """A history of changes, undone and made again at random; more comes after it is read."""
    when = datetime(2026, 3, 2, tzinfo=UTC)
    whole, history, read = Undoing(), [], 0
    back = Undoing()
    for number in range(1, data.draw(st.integers(1, 25)) + 1):
        edits = (Edit(("beams", "1", "note"), "a", "b"),)
        acts = ["plain", "none"] + ["undo"] * bool(whole.made) + ["redo"] * bool(whole.taken)
        act = data.draw(st.sampled_from(acts))
        one = Change("x", edits if act != "none" else (), when)
        if act == "undo":
            one = one._replace(undoes=data.draw(st.sampled_from(whole.made)))
        elif act == "redo":
            one = one._replace(redoes=data.draw(st.sampled_from(whole.taken)))
        whole.note(number, one)
        history.append((number, one))
        if not read and data.draw(st.booleans()):
            read = number
            upto = data.draw(st.integers(0, number))
            back = folded_back(reversed(history[:]), upto)
        elif read:
            back.note(number, one)
        if read:
            assert (back.latest, back.taken) == (whole.made[-1] if whole.made else 0, whole.taken)
            assert back.made == whole.made[len(whole.made) - len(back.made) :]
    if read:
        assert [one for one in range(30) if back.stands(one)] == sorted(whole.made)
        assert back.made == whole.made


@settings(deadline=None, max_examples=12)
@given(data=st.data())
def test_whatever_is_done_can_be_taken_back_and_made_again(
    data, fresh_record, any_change, copied, now
) -> None:
    record = fresh_record()
    was, made = [copied(record.tables)], []
    for minute in range(data.draw(st.integers(1, 20))):
        one = any_change(data.draw, record, now + timedelta(minutes=minute))
        if one is not None:
            record.make(one)
            # A change lives on as JSON.
            made.append(Change.from_doc(one.to_doc()))
            was.append(copied(record.tables))
    for number, one in reversed(list(enumerate(made))):
        record.make(one.taken_back(number, now))
        assert copied(record.tables) == was[number]
    for number, one in enumerate(made):
        record.make(one.made_again(number, now))
        assert copied(record.tables) == was[number + 1]
    kept = record.beams, record.entries, record.job
    fresh = Record(record.tables)
    assert kept == (fresh.beams, fresh.entries, fresh.job)
