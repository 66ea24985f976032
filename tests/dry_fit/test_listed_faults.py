"""The faults that the bench puts in: each changes one place that is in its file, once."""

from tests.bench.dry_fit.faults import FAULTS


def test_every_listed_fault_is_where_it_was_listed() -> None:
    assert [str(one) for one in FAULTS if one.stale] == []
    assert len(FAULTS) >= 60
