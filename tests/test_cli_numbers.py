"""Two machines gave the same number: what the commands say, and whose invoice they take."""

import json
from collections.abc import Callable
from datetime import datetime

import pytest

from crewdesk.cli import main
from crewdesk.store.desk import Desk
from tests.two_papers import bring, two_papers

NEWS = "Invoice 1 of Birch Row is number 2 now, because another computer used number 1 too."
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def bo(tmp_path, now: datetime) -> Desk:
    """Bo's machine after a sync."""
    ada, bo = two_papers(tmp_path, now)
    bring(ada, bo)
    bring(bo, ada)
    return bo


@pytest.fixture
def run(bo: Desk, capsys, monkeypatch) -> Run:
    """Run a command on a machine, Bo's unless told; its status, output and errors."""

    def go(*words: str, machine: str = "bo") -> tuple[int, str, str]:
        monkeypatch.setenv("CREWDESK_MACHINE", machine)
        status = main((*words, "--data", str(bo.folder.with_name(machine))))
        out, err = capsys.readouterr()
        return status, " ".join(out.split()), " ".join(err.split())

    return go


def paid(desk: Desk) -> list[tuple[int, str]]:
    """Each payment: the invoice, and its customer."""
    books = Desk(desk.folder, "bo").shop.record()
    return [(p.invoice, books.invoice(p.invoice).draft.customer) for p in books.payments]


@pytest.mark.parametrize("change", [("shop", "hour=80"), ("customers", "Rowan", "phone=555-0140")])
def test_a_number_that_changed_is_said_once_and_stays_listed(
    bo: Desk, run: Run, change: tuple[str, ...]
) -> None:
    listed = "Invoice 2, Zimmer Builders, Birch Row: first sent as number 1"
    status, out, _ = run("accounts")
    assert (status, NEWS in out, listed in out) == (0, True, True)
    _, out, err = run("accounts", "--json")
    assert json.loads(out)["renumbered"] == [{"number": 2, "was": [1]}]
    assert NEWS in err
    assert "first sent as number 1" in run("accounts", "--year", "2026", "--csv")[1]
    assert NEWS in run(*change)[1]  # this change takes the news in
    status, out, err = run("accounts")
    assert (status, NEWS in out + err, listed in out) == (0, False, True)
    # Ada's invoice kept its number: nothing to say, though it is listed there too.
    status, out, err = run("accounts", machine="ada")
    assert (status, NEWS in out + err, listed in out) == (0, False, True)


def test_a_payment_needs_to_know_whose_where_two_papers_have_its_number(bo: Desk, run: Run) -> None:
    status, out, err = run("pay", "1", "50")
    assert (status, NEWS in out) == (2, True)
    assert "More than one document has number 1" in err
    assert "--customer" in err
    assert paid(bo) == []
    assert run("pay", "1", "50", "--customer", "zimmer")[1].startswith(
        "Saved: payment of $50.00 on invoice 2 (Zimmer Builders, Birch Row, first sent as number 1)"
    )
    assert run("pay", "1", "5", "--customer", "Quill")[1].startswith(
        "Saved: payment of $5.00 on invoice 1 (Quillfeather Homes, Tamarack Bend)."
    )
    run("pay", "2", "7")
    zimmer = (2, "Zimmer Builders")
    assert paid(bo) == [zimmer, (1, "Quillfeather Homes"), zimmer]
    assert "Paid on invoice 2 (Zimmer" in run("pay", "1", "--customer", "zimmer")[1]
    assert "not Ada" in run("pay", "1", "5", "--customer", "Ada")[2]
    run("pay", "1", "--remove", "1", "--customer", "zimmer")
    assert paid(bo) == [(1, "Quillfeather Homes"), zimmer]


def test_credit_and_void_need_to_know_it_too(bo: Desk, run: Run) -> None:
    for words in (("--void",), ("--line", "1=5"), ()):
        status, _, err = run("credit", "1", "--reason", "a slip", *words)
        assert (status, "More than one document has number 1" in err) == (2, True)
    assert len(Desk(bo.folder, "bo").shop.record().trail) == 2
    whose = ("--customer", "zimmer")
    said = run("credit", "1", "--reason", "agreed", "--line", "1=5", *whose)[1]
    assert "credited 5.00 of invoice 2 (Zimmer Builders, Birch Row, first sent as" in said
    run("credit", "1", "--reason", "sent twice", "--void", *whose)
    assert [one.of for one in Desk(bo.folder, "bo").shop.record().trail[2:]] == [2, 2]


def test_credit_is_applied_from_the_paper_of_the_same_customer(bo: Desk, run: Run, now) -> None:
    from tests.two_papers import invoiced

    invoiced(Desk(bo.folder, "bo"), "Zimmer Builders", "Birch Row", now)
    run("pay", "2", "130")
    assert "applied to invoice 3 (Zimmer" in run("pay", "3", "--from", "1")[1]
    (_, one) = Desk(bo.folder, "bo").shop.record().payments
    assert (one.source, one.invoice) == (2, 3)
