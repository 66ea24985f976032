"""The one notion of today, and the time zone that it goes by.

Offsets are those of the IANA time zone database (https://www.iana.org/time-zones).
"""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.job.books.accounts import accounts
from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.books.ledger import Letterhead
from crewdesk.job.books.payments import pay
from crewdesk.job.books.shop_record import ShopRecord, change_shop, changed_values
from crewdesk.job.time.logged import entry_day
from crewdesk.job.time.today import books_day, today, typed_zone, zone_of
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import fixed_line


@pytest.mark.parametrize(
    ("moment", "zone", "day"),
    [
        # America/Denver is 7 hours behind UTC in winter and 6 from the second Sunday of March on.
        ("2026-01-01T06:59:59+00:00", "America/Denver", "2025-12-31"),
        ("2026-01-01T07:00:00+00:00", "America/Denver", "2026-01-01"),
        ("2027-03-15T05:59:59+00:00", "America/Denver", "2027-03-14"),
        ("2027-03-15T06:00:00+00:00", "America/Denver", "2027-03-15"),
        ("2028-02-29T02:30:00+00:00", "America/Denver", "2028-02-28"),
        # Asia/Tokyo is 9 hours ahead all year; Kiritimati 14 ahead, Pago Pago 11 behind.
        ("2027-12-31T23:50:00+00:00", "Asia/Tokyo", "2028-01-01"),
        ("2026-03-20T10:30:00+00:00", "Pacific/Kiritimati", "2026-03-21"),
        ("2026-03-20T10:30:00+00:00", "Pacific/Pago_Pago", "2026-03-19"),
        # Without a zone it is the day on the clock that `now` was read from.
        ("2026-03-20T00:30:00+09:00", "", "2026-03-20"),
        ("2026-03-19T23:30:00-07:00", "", "2026-03-19"),
    ],
)
def test_today_is_the_business_s_day(moment: str, zone: str, day: str) -> None:
    now = datetime.fromisoformat(moment)
    assert today(now, zone_of(zone)) == date.fromisoformat(day)
    books = ShopRecord({})
    if zone:
        books.make(change_shop(books, {"zone": zone}, now))
    assert books.today(now) == date.fromisoformat(day)


@given(
    st.datetimes(datetime(2000, 1, 2), datetime(2036, 12, 30), timezones=st.just(UTC)),
    st.sampled_from(("America/Denver", "Asia/Tokyo", "Pacific/Kiritimati", "UTC")),
    st.integers(-14 * 60, 14 * 60),
)
def test_the_machine_s_zone_changes_nothing_where_one_is_set(
    moment: datetime, name: str, minutes: int
) -> None:
    zone = zone_of(name)
    elsewhere = moment.astimezone(timezone(timedelta(minutes=minutes)))
    assert today(elsewhere, zone) == today(moment, zone)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("America/Denver", "America/Denver"),
        ("  america/denver ", "America/Denver"),
        ("America/New York", "America/New_York"),
        ("america/argentina/buenos aires", "America/Argentina/Buenos_Aires"),
        ("utc", "UTC"),
        ("", ""),
        ("   ", ""),
    ],
)
def test_a_zone_is_taken_as_iana_spells_it(typed: str, name: str, now) -> None:
    assert typed_zone(typed) == name
    books = ShopRecord({})
    assert changed_values(books, {"zone": typed}) == ({"zone": name} if name else {})
    assert bool(name) == (zone_of(name) is not None)


NO_ZONE = (
    "../../etc/passwd",
    "../zoneinfo/UTC",
    "America/../UTC",
    "./UTC",
    "America//Denver",
    "America/Denver/",
    "/etc/localtime",
    "/usr/share/zoneinfo/UTC",
    "C:\\UTC",
    "localtime",
    "posixrules",
    "Factory",
    "posix/America/Denver",
    "right/UTC",
    "tzdata.zi",
    "zone.tab",
    "America",
    "MDT",
    "-7",
    "Here/There",
    "x" * 150,
)


@pytest.mark.parametrize("typed", NO_ZONE)
def test_what_names_no_zone_is_refused(typed: str, now) -> None:
    books = ShopRecord({})
    with pytest.raises(BadInput) as caught:
        change_shop(books, {"zone": typed}, now)
    said = str(caught.value)
    assert "isn't a known time zone. Type " in said
    assert said.endswith(", or leave it empty.")
    assert caught.value.field == "zone"


def test_a_place_by_itself_is_told_its_zone() -> None:
    for typed, offered in (
        ("Denver", "Type America/Denver, or"),
        ("new york", "Type America/New_York, or"),
        ("Berlin", "Type Europe/Berlin, or"),
        ("Nowhere", "Type its name, for example America/Denver, or"),
    ):
        with pytest.raises(BadInput, match=offered):
            typed_zone(typed)


@pytest.mark.parametrize("name", ["America/Atlantis", "../../etc/passwd", "localtime", "right/UTC"])
def test_a_shop_whose_zone_is_not_known_here_can_still_be_read(name: str, now) -> None:
    """A record can come from a computer with newer zones; it must not be shut out for that."""
    books = ShopRecord({"shop": {"1": {"zone": name, "hour": "85.00"}}})
    assert books.shop.zone == name
    assert books.zone is None
    assert books.today(now) == now.date()
    books.make(change_shop(books, {"zone": "America/Denver"}, now))
    assert str(books.zone) == "America/Denver"


@pytest.mark.parametrize(
    ("latest", "books"),
    [(None, 20), (1, 20), (20, 20), (21, 21), (22, 22), (23, 20)],
)
def test_the_day_of_the_books_goes_back_by_no_zone(latest: int | None, books: int) -> None:
    """A date that no zone explains is a clock that was wrong: the books don't follow it."""
    day = date(2026, 3, 20)
    used = None if latest is None else date(2026, 3, latest)
    assert books_day(day, used) == date(2026, 3, books)


def test_a_job_s_zone_reads_its_entries_alone(fresh_record, now) -> None:
    from crewdesk.job.beams import beams

    record = fresh_record()
    late = datetime.fromisoformat("2026-03-20T02:00:00+00:00")
    assert entry_day(record, late) == date(2026, 3, 20)
    record.make(beams.change_job(record, {"zone": "America/Denver"}, now))
    assert entry_day(record, late) == date(2026, 3, 19)
    assert ShopRecord({}).today(late) == date(2026, 3, 20)


def test_what_came_is_held_to_the_business_s_day(now, refusing) -> None:
    """At 10:30 UTC on the 20th it is the 21st in Kiritimati and the 19th in Pago Pago."""
    at = datetime.fromisoformat("2026-03-20T10:30:00+00:00")
    for zone, day in (("Pacific/Kiritimati", 21), ("Pacific/Pago_Pago", 19), ("", 20)):
        books = ShopRecord({})
        books.make(change_shop(books, {"zone": zone, "terms": "14"}, now))
        draft = Draft("progress", "hill", "Ada Quill", (fixed_line("Work", Decimal("240.00")),))
        books.make(issue_invoice(books, draft, Letterhead(), date(2026, 3, 1), now))
        last = date(2026, 3, day)
        books.make(pay(books, 1, Decimal("5.00"), last, at))
        tomorrow = last + timedelta(1)
        assert "in the future" in refusing(pay, books, 1, Decimal("5.00"), tomorrow, at)
        assert accounts(books, (), at).on == last
