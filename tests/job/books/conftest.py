"""A job of two beams of known length, a shop that has no file, and what changes both."""

from collections.abc import Callable
from datetime import timedelta
from fractions import Fraction

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.books.shop_record import ShopRecord, change_shop
from crewdesk.job.record import Record


@pytest.fixture(scope="session")
def fresh_priced(fresh_record, now) -> Callable[[], Record]:
    """Makes a job of two beams, 10 and 20 ft long."""

    def make() -> Record:
        record = fresh_record()
        for row, inches in (("1", 120), ("2", 240)):
            record.make(beams.change_beam(record, row, {"rough": Fraction(inches)}, now))
        return record

    return make


@pytest.fixture
def priced(fresh_priced) -> Record:
    return fresh_priced()


@pytest.fixture(scope="session")
def fresh_books(now) -> Callable[..., ShopRecord]:
    """Makes the books of a shop that has some values; 60 an hour unless told."""

    def make(**values: object) -> ShopRecord:
        books = ShopRecord({})
        books.make(change_shop(books, {"hour": "60", **values}, now))
        return books

    return make


@pytest.fixture
def books(fresh_books) -> ShopRecord:
    return fresh_books()


@pytest.fixture(scope="session")
def later(now) -> Callable[[float], object]:
    """So many hours after `now`."""
    return lambda hours: now + timedelta(hours=hours)
