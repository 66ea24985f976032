"""A job as one document: exact there and back, and nothing hostile gets in or out as a crash."""

import json
from copy import deepcopy
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import beams
from crewdesk.job.books import job_lists as orders
from crewdesk.job.books.job_lists import typed_material
from crewdesk.job.books.pricing import accept, price_job
from crewdesk.job.books.shop import Shop
from crewdesk.job.record import Record
from crewdesk.job.steps import restage
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.job.time import clock, other_work
from crewdesk.job.time import other_work as plan_days


@pytest.fixture(scope="module")
def document(fresh_record, walk, now):
    """A job that is through, with every sort of part in it, as JSON gives it."""
    record = fresh_record()
    history = []

    def make(change) -> None:
        record.make(change)
        history.append(change)

    walk(record, make, "", now)
    make(clock.add(record, "rip", now, now + timedelta(hours=2), now + timedelta(hours=3)))
    make(clock.start(record, "ease", now + timedelta(hours=2)))
    make(restage.add_stage(record, "Stain", now))
    make(beams.change_beam(record, "1", {"ends": ("a", "b"), "rough": Fraction(147)}, now))
    make(other_work.add_other_work(record, "Paperwork", now))
    make(plan_days.plan_day(record, now.date(), now, note="tack"))
    of_job = {"hour": Decimal("85.00"), "share": "evenly", "billing": "price"}
    make(beams.change_job(record, of_job, now))
    pieces = [Spot("1", "A"), Spot("2", "bottom")]
    make(clock.mend(record, "1", now + timedelta(hours=3), pieces=pieces, billable=False))
    make(typed_material(record, "oak", "2.5", "4", now, waste="10", markup="5"))
    make(orders.typed_order(record, "Post", "85/h", now))
    make(orders.accept_order(record, "1", "Ada", now.date(), now, today=now.date()))
    make(accept(record, price_job(record, Shop(), ()), "Ada", now.date(), now, today=now.date()))
    return json.loads(json.dumps(to_document(record.tables, history)))


def refused(document) -> str | None:
    """The sentence, or None where it was taken in; anything else raised fails the test."""
    try:
        tables, _ = from_document(document)
        record = Record(tables)
        _ = record.job, record.beams, record.entries, record.materials, record.orders
        _ = record.accepted
    except CrewdeskError as no:
        said = str(no)
        assert said.endswith("."), said
        assert len(said) < 600
        said.encode("utf-8")
        assert "\n" not in said
        return said
    return None


def test_there_and_back(document) -> None:
    before = deepcopy(document)
    tables, history = from_document(document)
    assert to_document(tables, history) == before
    assert document == before
    assert json.loads(json.dumps(to_document(tables, history), allow_nan=False)) == before


def test_what_comes_in_shares_nothing_with_the_document(document) -> None:
    mine = deepcopy(document)
    tables, _ = from_document(mine)
    mine["beams"]["1"]["pieces"]["A"]["steps"].clear()
    assert tables["beams"]["1"]["pieces"]["A"]["steps"]


@settings(deadline=None, max_examples=12)
@given(data=st.data())
def test_random_jobs_there_and_back(data, fresh_record, any_change, now) -> None:
    record, history = fresh_record(), []
    for minute in range(data.draw(st.integers(0, 15))):
        change = any_change(data.draw, record, now + timedelta(minutes=minute))
        if change is not None:
            record.make(change)
            history.append(change)
    text = json.dumps(to_document(record.tables, history))
    tables, again = from_document(json.loads(text))
    assert json.dumps(to_document(tables, again)) == text
    assert Record(tables).beams == record.beams
    assert Record(tables).entries == record.entries
    assert Record(tables).job == record.job


def test_a_job_written_by_hand_may_leave_much_out(document) -> None:
    by_hand = {
        "crewdesk": "job",
        "schema": 1,
        "job": document["job"],
        "beams": {
            "3": {
                "name": "Ridge",
                "room": "Loft",
                "ends": ["", ""],
                "ceiling": "flat",
                "section": {"width": "8", "height": "19/2"},
            }
        },
    }
    tables, history = from_document(by_hand)
    assert history == []
    assert list(Record(tables).beam("3").pieces) == ["A", "B", "bottom", "cleats"]
    assert "pieces" not in by_hand["beams"]["3"]


def put(document, path, value):
    """A copy with one place changed; DROP takes it out."""
    copy = deepcopy(document)
    here = copy
    for key in path[:-1]:
        here = here[key]
    if value is DROP:
        del here[path[-1]]
    else:
        here[path[-1]] = value
    return copy


DROP = object()


def deep(levels: int):
    value: object = []
    for _ in range(levels):
        value = [value]
    return value


STEP = ("beams", "1", "pieces", "A", "steps", "tack")
READ = ("beams", "1", "pieces", "A", "readings", "run")


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("crewdesk",), "shop", "a crewdesk job"),
        (("crewdesk",), DROP, "a crewdesk job"),
        (("schema",), 3, "schema 3. This crewdesk reads 1 and 2"),
        (("schema",), "x" * 9999, "schema 'xx"),
        (("schema",), True, "schema True"),
        (("schema",), 10**4000, "too large"),
        (("job",), DROP, "has no"),
        (("job",), [], "That job's file is damaged: its 'job' is []."),
        (("job", "name"), DROP, "has no name"),
        (("job", "name"), None, "must be text"),
        (("job", "name"), "\ud800", "U+D800"),
        (("job", "name"), "\x1b[31mred", "U+001B"),
        (("job", "customer"), "x" * 201, "the limit is 200"),
        (("job", "site"), {"street": "x"}, "must be text"),
        (("job", "notes"), "x" * 20_000, "more than 10000"),
        (("job", "section"), DROP, "has no section"),
        (("job", "section", "width"), 8, "isn't an exact number"),
        (("job", "section", "width"), "9" * 101, "isn't an exact number"),
        (("job", "section", "width"), "-8", "more than zero"),
        (("job", "stages"), DROP, "has no stages"),
        (("job", "stages"), [], "from 1 to 50 stages"),
        (("job", "stages"), 7, "isn't written as stages must be"),
        (("job", "stages"), {"rip": {}}, "isn't written as stages must be"),
        (
            ("job", "stages", 0, "steps", 0, "id"),
            "ease",
            "Two steps have the name ease. Rename one.",
        ),
        (("job", "stages", 0, "id"), "ease", "Two stages have the name ease. Rename one."),
        (("job", "stages", 0, "name"), "x" * 81, "the limit is 80"),
        (("job", "stages", 0, "steps", 0, "kinds"), ["post"], "kinds of a step must be"),
        (("job", "stages", 0, "steps", 0, "kinds"), [["side"]], "kinds of a step must be"),
        (("job", "stages", 0, "steps", 0, "needs"), [{"sort": "luck"}], "makes no sense"),
        (("job", "stages", 0, "steps", 0, "needs"), DROP, "has no needs"),
        (("beams",), [], "job's beams are damaged"),
        (("beams", "0"), {}, "can't be a row '0'"),
        (("beams", "007"), {}, "can't be a row '007'"),
        (("beams", "-1"), {}, "can't be a row '-1'"),
        (("beams", "9" * 5000), {}, "can't be a row"),
        (("beams", "\u0663"), {}, "can't be a row"),
        (("beams", "one\n"), {}, "can't be a row"),
        (("beams", "1"), None, "is damaged"),
        (("beams", "2", "name"), "RIDGE", "two beams"),
        (("beams", "1", "pieces"), [], "isn't written as a beam must be"),
        (("beams", "1", "pieces", "C"), {}, "no piece 'C'"),
        (("beams", "1", "pieces", "A"), 3, "isn't written as a beam must be"),
        (("beams", "1", "ends"), "ns", "two ends"),
        (("beams", "1", "ends"), ["n", "e", "s"], "two ends"),
        (("beams", "1", "ceiling"), ["flat"], "flat or sloped"),
        (STEP, "done", "isn't written as a beam must be"),
        ((*STEP, "state"), DROP, "has no state"),
        ((*STEP, "state"), "ready", "not 'ready'"),
        ((*STEP, "state"), [], "not []"),
        ((*STEP, "when"), "2026-03-02T07:30:00", "has no offset"),
        ((*STEP, "when"), 1772454600, "isn't ISO 8601"),
        ((*STEP, "when"), "x" * 9999, "isn't ISO 8601"),
        ((*STEP, "when"), "0001-01-01T00:00:00+14:00", "can't be right"),
        ((*STEP, "when"), "9999-12-31T23:59:59-14:00", "can't be right"),
        ((*STEP, "override"), "x" * 2001, "the limit is 2000"),
        ((*STEP, "reason"), ["x"], "must be text"),
        ((*READ, 0, "value"), "a/b", "isn't an exact number"),
        ((*READ, 0, "value"), float("nan"), "can't be kept"),
        ((*READ, 0, "value"), "nan", "isn't an exact number"),
        ((*READ, 0, "value"), "1/0", "isn't an exact number"),
        ((*READ, 0, "value"), DROP, "has no value"),
        ((*READ, 0, "who"), "x" * 81, "the limit is 80"),
        ((*READ, 0, "level"), 24, "isn't an exact number"),
        (READ, {"value": "1"}, "isn't written as a beam must be"),
        (("beams", "1", "pieces", "A", "readings", "depth"), [], "can't have a reading 'depth'"),
        (("beams", "1", "pieces", "A", "readings"), [], "isn't written as a beam must be"),
        (("beams", "1", "odd"), float("inf"), "can't be kept"),
        (("beams", "1", "odd"), deep(60), "too deeply, over 40 levels"),
        (("entries", "1", "start"), DROP, "has no start"),
        (("entries", "1", "stop"), None, "isn't ISO 8601"),
        (("entries", "1", "stop"), "2026-03-02T07:29:59-05:00", "can't stop"),
        (("entries", "1", "stage"), 5, "must be text"),
        (("entries", "1", "note"), "\u2066x", "U+2066"),
        (("entries", "3"), {"start": "2026-03-02T07:30:00-05:00", "stage": "rip"}, "one clock"),
        (("history",), {}, "damaged: it isn't a list"),
        (("history",), "x", "damaged: it isn't a list"),
        (("history", 0), [], "Change 1 in that job's history"),
        (("history", 0, "edits"), DROP, "Change 1 in that job's history"),
        (("history", 0, "edits", 0, "at"), ["beams"], "Change 1 in that job's history"),
        (("history", 0, "edits", 0, "at"), [["beams"], 1], "Change 1 in that job's history"),
        (("history", 0, "edits", 0, "at"), 5, "Change 1 in that job's history"),
        (("history", 0, "what"), 5, "must be text"),
        (("history", 0, "when"), "2026-03-02T07:30:00", "has no offset"),
        (("history", 0, "undoes"), 7, "Change 1 in that job's history"),
        (("history", 1, "undoes"), True, "Change 2 in that job's history"),
        (("history", 1, "redoes"), [], "Change 2 in that job's history"),
        (("history", 4, "edits", 0, "after"), {"state": "done"}, "doesn't lead to the job"),
        (("history", -1, "edits", 0, "after"), ["a", "z"], "doesn't lead to the job"),
        (("beams", "1", "ends"), ["a", "z"], "doesn't lead to the job"),
    ],
)
def test_what_is_no_job_is_refused_in_one_sentence(document, path, value, told) -> None:
    said = refused(put(document, path, value))
    assert said is not None
    assert told in said


@pytest.mark.parametrize("document", [None, 7, "job", [], {}, float("nan"), {"crewdesk": ["job"]}])
def test_what_is_no_document_is_refused(document) -> None:
    said = refused(document)
    assert said is not None
    assert "a crewdesk job" in said


def test_too_many_rows(document) -> None:
    many = put(document, ("beams",), {str(row): {} for row in range(1, 100_002)})
    said = refused(many)
    assert said is not None
    assert "job's beams are damaged, or there are more than 100000." in said


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["done", "1/2", "\ud800", "2026-03-02T07:30:00-05:00", "1", "A", "run"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.text(max_size=4) | st.sampled_from(["1", "A", "steps"]), inner, max_size=3
        )
    ),
    max_leaves=6,
)


@given(data=st.data())
def test_any_json_in_any_place_is_taken_in_or_refused(data, document) -> None:
    # Also where the history is left out, so that it can't be what refuses.
    copy = deepcopy({**document, "history": []})
    here = copy
    while True:
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        key = data.draw(st.sampled_from(keys))
        if not isinstance(here[key], dict | list) or not here[key] or data.draw(st.booleans()):
            here[key] = data.draw(JSON)
            break
        here = here[key]
    if refused(copy) is None:
        tables, history = from_document(copy)
        text = json.dumps(to_document(tables, history), allow_nan=False)
        assert from_document(json.loads(text))[0] == tables
