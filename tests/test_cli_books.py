"""A job from estimate to paid, through the door that the user goes through."""

import csv
import io
import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.job.beams import beams
from crewdesk.job.books import job_lists as orders
from crewdesk.job.books.pricing import beam_length
from crewdesk.job.books.shop_lists import keep_customer
from crewdesk.job.time import clock
from crewdesk.store.desk import Desk

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
D = Decimal
JOB = "tamarack-bend"
NOW = datetime.fromisoformat("2026-03-20T16:40:00-06:00")
"""As the clock of the commands in `tests/conftest.py`, a Friday."""

Said = Callable[..., str]


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, copy_data) -> Path:
    monkeypatch.setenv("CREWDESK_DATA", str(tmp_path / "data"))
    return copy_data(tmp_path / "data")


@pytest.fixture
def told(data: Path, capsys: pytest.CaptureFixture[str]) -> Said:
    """What a command prints."""

    def run(*words: str) -> str:
        assert main(words) == 0, capsys.readouterr().err
        out, err = capsys.readouterr()
        assert err == ""
        return out

    return run


@pytest.fixture
def wrong(data: Path, capsys: pytest.CaptureFixture[str]) -> Said:
    """The one sentence of a command that is refused."""

    def run(*words: str) -> str:
        try:
            status = main(words)
        except SystemExit as left:
            status = left.code
        out, err = capsys.readouterr()
        assert (status, out) == (2, "")
        assert err.startswith("crewdesk: ")
        assert err.count("\n") == 1
        assert err.endswith(".\n")
        assert "Traceback" not in err
        return err

    return run


def invoice(told: Said, *words: str) -> dict:
    """An invoice's JSON, its sums held to one another."""
    sheet = json.loads(told("invoice", "tamarack", *words, "--json"))
    for key in ("subtotal", "tax", "total", "paid", "balance"):
        assert isinstance(sheet[key], str)
        assert D(sheet[key]).as_tuple().exponent == -2
    assert D(sheet["subtotal"]) == sum(D(line["amount"]) for line in sheet["lines"])
    assert D(sheet["total"]) == D(sheet["subtotal"]) + D(sheet["tax"])
    owed = D(sheet["total"]) - D(sheet["credited"]) - D(sheet["paid"]) - D(sheet["applied"])
    assert D(sheet["balance"]) == owed
    return sheet


def test_from_estimate_to_paid(told: Said, wrong: Said, data: Path) -> None:
    told("shop", "name=Larkspur Beam & Trim", "licence=C-11873", "hour=80", "tax=7.5", "deposit=25",
         "terms=10", "terms_text=Checks only.")  # fmt: skip
    # The offer is accepted; it then stands, also when the rates change.
    offer = json.loads(told("estimate", "tamarack", "--json"))
    assert D(offer["low"]["total"]) < D(offer["likely"]["total"]) < D(offer["high"]["total"])
    assert all(stage["default"] for stage in offer["stages"])
    assert any("no past job" in reason for reason in offer["reasons"])
    told("estimate", "tamarack", "--accept", "--by", "M. Quillfeather")
    told("shop", "hour=95", "markup=30")
    accepted = json.loads(told("estimate", "tamarack", "--json"))["accepted"]
    assert accepted["total"] == offer["likely"]["total"]
    assert accepted["by"] == "M. Quillfeather"
    base = D(accepted["subtotal"])

    deposit = invoice(told, "--kind", "deposit", "--issue")
    assert (deposit["number"], deposit["issued"]) == (1, True)
    assert D(deposit["subtotal"]) == pytest.approx(base / 4, abs=D("0.01"))
    assert "was billed already, on invoice 1" in wrong("invoice", "tamarack", "--kind", "deposit")
    told("pay", "1", deposit["total"], "--note", "check 2044")
    assert invoice(told, "--number", "1")["balance"] == "0.00"

    progress = invoice(told)
    assert (progress["number"], progress["issued"], progress["kind"]) == (2, False, "progress")
    less = -sum(D(li["amount"]) for li in progress["lines"] if li["sort"] == "less")
    assert less == D(deposit["subtotal"])
    (extra,) = [li for li in progress["lines"] if li["sort"] == "extra"]
    assert extra["amount"] == "240.00"
    assert invoice(told, "--issue") == {**progress, "issued": True}
    assert "nothing to bill" in wrong("invoice", "tamarack")

    final = invoice(told, "--kind", "final", "--issue")
    asked = [deposit, progress, final]
    assert sum(D(one["subtotal"]) for one in asked) == base + 240
    for one in asked[1:]:
        told("pay", str(one["number"]), one["total"])
    found = json.loads(told("accounts", "--json"))
    assert found["owed"] == []
    assert [one["balance"] for one in found["invoices"]] == ["0.00"] * 3
    (year,) = [y for y in found["years"] if y["year"] == NOW.year]
    assert D(year["paid"]) == D(year["total"]) == sum(D(one["total"]) for one in asked)
    assert "No one owes anything" in told("accounts")
    assert "Paid in full" in told("invoice", "tamarack", "--number", "3", "--text")


def test_what_was_issued_never_changes_whatever_is_changed_after(told: Said, data: Path) -> None:
    told("shop", "name=Larkspur", "tax=7.5", "hour=80")
    issued = invoice(told, "--issue")
    before = told("invoice", "tamarack", "--number", "1", "--text")
    told("shop", "name=Another", "tax=0", "hour=200", "terms=0", "taxed=labour", "licence=X")
    desk, now = Desk(data), NOW
    job = desk.open(JOB)
    job.make(beams.change_job(job.record, {"name": "Renamed", "customer": "Else"}, now))
    job.make(clock.remove(job.record, "1", now))
    job.close(now)
    assert invoice(told, "--number", "1") == issued
    assert json.loads(told("invoice", "renamed", "--number", "1", "--json")) == issued
    assert told("invoice", "renamed", "--number", "1", "--text") == before


def test_credit_and_void(told: Said, wrong: Said) -> None:
    invoice(told, "--kind", "deposit", "--issue")
    assert told("credit", "1", "--void", "--reason", "wrong house") == (
        "Saved: voided invoice 1 (Quillfeather Homes, Tamarack Bend), as number 2.\n"
    )
    assert "Nothing is credited on" in wrong("credit", "1", "--reason", "again")
    assert invoice(told, "--kind", "deposit", "--issue")["number"] == 3
    told("pay", "3", "100")
    assert "can't be voided" in wrong("credit", "3", "--void", "--reason", "x")
    assert told("credit", "3", "--reason", "agreed", "--line", "1=40") == (
        "Saved: credited 40.00 of invoice 3 (Quillfeather Homes, Tamarack Bend), "
        "as number 4.\n"
        "Credited work goes back to unbilled: the job's next invoice asks for it "
        "again. To give it for good, credit the final invoice.\n"
    )
    for words, says in (
        (("--line", "9=1"), "isn't a line of invoice 3"),
        (("--line", "1"), "isn't a line of invoice 3"),
        (("--line", "1=99999"), "can't be credited; type from 0 to"),
        (("--line", "1=-4"), "below zero"),
        (("--line", "1="), "Nothing is credited on"),
        (("--line", "1=4", "--void"), "--void credits the whole invoice. Leave out"),
    ):
        assert says in wrong("credit", "3", "--reason", "x", *words)
    told("credit", "3", "--reason", "job called off")
    assert invoice(told, "--number", "3")["balance"] == "-100.00"
    told("pay", "3", "100", "--refund")
    assert invoice(told, "--number", "3")["balance"] == "0.00"
    credit = json.loads(told("invoice", "tamarack", "--number", "5", "--json"))
    assert credit["total"].startswith("-")
    assert "Credit memo 5" in told("invoice", "tamarack", "--number", "5")


def test_overdue_is_told(told: Said, data: Path) -> None:
    desk, now = Desk(data), NOW
    desk.shop.make(lambda r, at: keep_customer(r, at, name="quillfeather homes", terms="0"), now)
    from crewdesk.store.books import issue

    ago = now - timedelta(days=12)
    issue(desk, JOB, desk.open(JOB, writing=False).record, ago, kind="deposit")
    sheet = invoice(told, "--number", "1")
    assert sheet["overdue_days"] in (11, 12, 13)  # the site's day may be another
    assert "overdue" in told("invoice", "tamarack", "--number", "1")
    (owes,) = json.loads(told("accounts", "--json"))["owed"]
    assert owes["overdue"] == owes["balance"] == sheet["total"]


def test_by_rates_hours_feet_and_beams_and_extra_hours(told: Said, wrong: Said, data: Path) -> None:
    desk, now = Desk(data), NOW
    told(
        "shop", "hour=60", "stage_rates.tape=2/ft", "stage_rates.rip=10 each", "rounding=15 up day"
    )
    job = desk.open(JOB)
    job.make(beams.change_job(job.record, {"billing": "rates", "hour": None}, now))
    order = orders.accept_order(
        job.record, "2", "M. Quillfeather", now.date(), now, today=now.date()
    )
    job.make(order)
    begin = now - timedelta(hours=3)
    extra = clock.add(
        job.record, "extra-work", begin, begin + timedelta(minutes=100), now, order="2"
    )
    job.make(extra)
    job.make(clock.mend(job.record, "9", now, rate=D("90.00")))
    job.close(now)
    sheet = invoice(told, "--kind", "final")
    texts = {line["text"]: line["amount"] for line in sheet["lines"]}
    beams_ = job.record.beams
    assert texts[f"Rip, {len(beams_)} beams at $10.00 each"] == f"{10 * len(beams_)}.00"
    feet = sum((beam_length(beam) for beam in beams_), Fraction(0)) / 12
    tape = next(text for text in texts if text.startswith("Tape"))
    assert D(texts[tape]) == pytest.approx(2 * D(float(feet)), abs=D("0.006"))
    # 100 minutes go up to 1h45 at 78.00.
    assert texts["Move a light box off beam 4's line, 1h45 at $78.00/h"] == "136.50"
    assert any(text.startswith("Scribe") and "at $60.00/h" in text for text in texts)
    assert any("at $90.00/h" in text for text in texts)
    assert not any("extra" in text.lower() for text in texts)

    # What the hours sheet bills of the base and of the change order is what the invoice bills.
    hours = json.loads(told("hours", "tamarack", "--json"))["entries"]
    extra = [one["billed_seconds"] for one in hours if one["change_order"]]
    assert sum(extra) == 105 * 60

    # From its first invoice by hours on the job keeps the rate.
    invoice(told, "--kind", "final", "--issue")
    told("shop", "hour=75")
    assert Desk(data).open(JOB, writing=False).record.job.hour == D(60)
    assert "nothing to bill" in wrong("invoice", "tamarack", "--kind", "final")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("shop", "tax=1000"), "out of range for tax; it must be from 0 to 50%"),
        (("shop", "hour=-5"), "below zero. Type zero or more; to give money back, enter a credit"),
        (("shop", "hour=0"), "more than zero"),
        (("shop", "hour"), "Type it like hour=85"),
        (("customers", "phone=555-0140"), "is the name. Type"),
        (("shop", "colour=red"), "Business settings have no 'colour'"),
        (("shop", "terms=1000"), "from 0 to 365"),
        (("shop", "rounding=7 min"), "isn't a rounding rule"),
        (("shop", "taxed=labour, air"), "be on 'air'. It can be on labour"),
        (("shop", "stage_rates.rip=9/mile"), "per mile, which isn't known."),
        (("shop", "instruments=1/16"), "Type one at a time, for example instruments.laser=1/16"),
        (("shop", "instruments="), "'instruments' has several values. Type one at a time"),
        (("shop", "stage-rates=95"), "for example stage_rates.tack=95/h"),
        (("shop", "packs=8.40"), "for example packs.tape=8.40"),
        (("shop", "times=125"), "for example times.sloped=125"),
        (("shop", "instruments.laser=wide"), "wide isn't a length"),
        (("shop", "instruments.ruler=1/16"), "There is no instrument 'ruler'"),
        (("shop", "saw_tilt=up"), "must be left or right, not 'up'"),
        (("shop", "scribe_back_cut="), "Type the back-cut in degrees"),
        (("pay", "1", "10"), "There is no invoice 1"),
        (("pay", "x", "10"), "'x' isn't a whole number"),
        (("pay", "1", "-10"), "-10 is below zero"),
        (("credit", "1", "--reason", "x"), "There is no document 1; none has been issued"),
        (("credit", "1"), "--reason"),
        (("invoice", "tamarack", "--number", "1"), "none has been issued"),
        (
            ("invoice", "tamarack", "--number", "1", "--issue"),
            "invoice. Leave out --issue and --kind",
        ),
        (("invoice", "tamarack", "--kind", "bill"), "invalid choice"),
        (("invoice", "tamarack", "--json", "--text"), "Choose one of --json and --text"),
        (("estimate", "tamarack", "--by", "Ada"), "only with --accept"),
        (("estimate", "tamarack", "--accept", "--on", "2026-02-30"), "isn't in the calendar"),
        (("estimate", "tamarack", "--accept", "--on", "tomorrow"), "in the future"),
        (("hours", "tamarack", "--from", "2026-02-30"), "isn't in the calendar"),
        (
            ("hours", "tamarack", "--from", "mar 5 2026", "--to", "mar 1 2026"),
            "The days run backward, from 2026-03-05",
        ),
        (("hours", "tamarack", "--round", "15 sideways"), "isn't a rounding rule"),
        (("hours", "tamarack", "--csv", "--json"), "Choose one"),
        (("accounts", "--year", "20260"), "no year"),
        (("took", "nowhere"), "There is no job nowhere"),
    ],
)
def test_bad_input_gets_one_sentence(wrong: Said, words: tuple[str, ...], said: str) -> None:
    assert said in wrong(*words)


def test_a_price_needs_a_rate_and_a_length(told: Said, wrong: Said, data: Path) -> None:
    desk, now = Desk(data), NOW
    job = desk.open(JOB)
    job.make(beams.change_job(job.record, {"hour": None}, now))
    job.make(beams.add_beam(job.record, "9", "Attic", now))
    job.close(now)
    assert "No hourly rate is set" in wrong("estimate", "tamarack")
    told("shop", "hour=80")
    # One beam without a length is left out, and named.
    assert "Attic 9 isn't included" in told("estimate", "tamarack")
    assert json.loads(told("estimate", "tamarack", "--json"))["left_out"] == ["Attic 9"]


def test_a_pdf_is_a_new_file_and_nothing_is_issued_where_it_can_t_be(
    told: Said, wrong: Said, tmp_path: Path
) -> None:
    path = tmp_path / "mine.txt"
    path.write_text("mine")
    assert "exists already" in wrong("invoice", "tamarack", "--issue", "--pdf", str(path))
    assert path.read_text() == "mine"
    assert "none has been issued" in wrong("invoice", "tamarack", "--number", "1")
    told("invoice", "tamarack", "--pdf", str(tmp_path / "new.pdf"))
    assert (tmp_path / "new.pdf").read_bytes().startswith(b"%PDF-")


def test_accounts_as_csv(told: Said) -> None:
    told("shop", "hour=80", "tax=7.5")
    sheet = invoice(told, "--issue")
    told("pay", "1", "50", "--note", "=1+1")
    year = str(NOW.year)
    rows = list(csv.DictReader(io.StringIO(told("accounts", "--year", year, "--csv"), newline="")))
    # The tax of a document is its rate on what is taxed, half up to the cent.
    taxed, rate, tax = (D(rows[0][name]) for name in ("taxed", "tax_rate", "tax"))
    assert 0 < taxed < D(rows[0]["before_tax"])
    assert tax == (taxed * rate / 100).quantize(D("0.01"), ROUND_HALF_UP)
    assert [row["what"] for row in rows] == ["progress", "payment"]
    assert rows[0]["total"] == sheet["total"]
    assert (rows[1]["paid"], rows[1]["note"]) == ("50.00", "'=1+1")
    years = list(csv.DictReader(io.StringIO(told("accounts", "--csv"), newline="")))
    by_year = {row["year"]: row for row in years}
    assert by_year[year]["paid"] == "50.00"
    assert by_year[year]["taxed"] == rows[0]["taxed"]
    assert sum(D(row["hours"]) for row in years) == D("32.5")


def test_accounts_as_they_stood_on_a_day_and_what_is_owed_back(
    told: Said, wrong: Said, data: Path
) -> None:
    desk, now = Desk(data), NOW
    from crewdesk.store.books import issue

    ago = now - timedelta(days=12)
    issue(desk, JOB, desk.open(JOB, writing=False).record, ago, kind="deposit")
    total = D(invoice(told, "--number", "1")["total"])
    told("pay", "1", str(total + 7))
    assert "Quillfeather Homes has a credit balance of $7.00 on invoice 1" in told("accounts")
    (back,) = json.loads(told("accounts", "--json"))["owed_back"]
    assert back == {"customer": "Quillfeather Homes", "invoice": 1, "amount": "7.00"}
    # Before the payment, all of it was owed; before the invoice, nothing.
    day = f"{now.date() - timedelta(days=5)}"
    then = json.loads(told("accounts", "--on", day, "--json"))
    assert (then["on"], then["owed_back"]) == (day, [])
    assert [D(one["balance"]) for one in then["owed"]] == [total]
    assert {D(year["paid"]) for year in then["years"]} == {D(0)}
    day = f"{now.date() - timedelta(days=20)}"
    assert json.loads(told("accounts", "--on", day, "--json"))["owed"] == []
    csv_then = told("accounts", "--on", day, "--year", f"{ago.year}", "--csv")
    assert len(csv_then.splitlines()) == 1
    assert "in the future" in wrong("accounts", "--on", "tomorrow")


def test_credit_goes_to_the_next_invoice_and_a_slip_is_taken_out(
    told: Said, wrong: Said, data: Path
) -> None:
    from crewdesk.store.books import issue

    ago = NOW - timedelta(days=2)
    issue(Desk(data), JOB, Desk(data).open(JOB, writing=False).record, ago, kind="deposit")
    deposit = D(invoice(told, "--number", "1")["total"])
    seen = told("pay", "1", str(deposit + 100), "--note", "check 2044")
    assert "100.00 more than is due on it" in seen
    assert "crewdesk pay OTHER --from 1" in seen
    assert "Invoice 1 of this customer has a credit balance of 100.00. Once" in told(
        "invoice", "tamarack"
    )
    total = D(invoice(told, "--kind", "progress", "--issue")["total"])
    assert "Invoice 2 has no credit balance" in wrong("pay", "1", "--from", "2")
    assert "balance is 100.00" in wrong("pay", "2", "100.01", "--from", "1")
    told("pay", "2", "--from", "1")
    assert "Invoice 1 has no credit balance" in wrong("pay", "2", "--from", "1")
    assert "refunded or applied to another invoice since" in wrong("pay", "1", "--remove", "1")
    one, two = (invoice(told, "--number", number) for number in ("1", "2"))
    assert (one["paid"], one["applied"], one["balance"]) == (str(deposit + 100), "-100.00", "0.00")
    assert (two["paid"], two["applied"], two["balance"]) == ("0.00", "100.00", str(total - 100))
    assert "Applied to invoice 2" in told("invoice", "tamarack", "--number", "1")
    assert "Credit from invoice 1" in told("invoice", "tamarack", "--number", "2")
    assert "Credit it instead" in wrong("credit", "2", "--reason", "a slip", "--void")
    # Money came once: the year's sum and the lines of its CSV add up to it.
    year = NOW.year
    years = json.loads(told("accounts", "--json"))["years"]
    assert [D(each["paid"]) for each in years if each["year"] == year] == [deposit + 100]
    text = told("accounts", "--year", f"{year}", "--csv")
    lines = [row for row in csv.DictReader(io.StringIO(text, newline="")) if row["paid"]]
    assert [(row["what"], row["of_invoice"], row["paid"]) for row in lines] == [
        ("payment", "1", str(deposit + 100)),
        ("credit applied", "1", "-100.00"),
        ("credit applied", "2", "100.00"),
    ]

    # A slip is found at once, or later; either way it is out of the books.
    told("pay", "2", "70", "--note", "meant 7")
    assert "undone: payment of $70.00 on invoice 2" in told("undo")
    assert "redone: payment of $70.00 on invoice 2" in told("undo", "--redo")
    told("shop", "hour=90")
    assert "  2  " in told("pay", "2")
    assert "removed payment of $70.00" in told("pay", "2", "--remove", "2")
    assert "removed credit of $100.00 applied from invoice 1" in told("pay", "2", "--remove", "1")
    assert invoice(told, "--number", "2")["balance"] == str(total)
    assert "Nothing has been paid on invoice 2 (Quillfeather Homes, Tamarack Bend)" in told(
        "pay", "2"
    )
    for words, says in (
        (("pay", "2", "--remove", "1"), "there is none yet"),
        (("pay", "2", "5", "--remove", "1"), "takes only the payment's number. Leave out the rest"),
        (("pay", "2", "5", "--refund", "--from", "1"), "Make one change at a time"),
        (("pay", "2", "--note", "x"), "Type the amount"),
        (("pay", "7"), "There is no document 7"),
    ):
        assert says in wrong(*words)

    told("credit", "2", "--reason", "sent twice", "--void")
    assert "was voided by number 3 and can't be paid" in wrong("pay", "2", "50")
    assert "where it becomes a credit balance for the next one" in wrong("pay", "2", "50")
    assert "undone: " in told("undo", "tamarack")


def test_all_weeks_of_a_year_are_told(told: Said) -> None:
    for week in range(1, 15):
        day = date.fromisocalendar(2024, week, 3)
        told("hours", "tamarack", "--add", f"{day} 8:00-9:00", "--stage", "rip")
    assert told("accounts", "--year", "2024").count("  2024-W") == 14
    assert "In 2019 nothing was billed, paid or worked." in told("accounts", "--year", "2019")
    every = told("accounts")
    assert "Hours by week, the latest 12" in every


def test_what_to_know_before_an_invoice_is_issued(told: Said) -> None:
    seen = told("invoice", "tamarack")
    assert "was accepted with a tax" not in seen
    assert "The document has no business name on it. Enter" in seen
    told("customers", "Ada Quill")
    assert "Quillfeather Homes isn't among your customers" in told("invoice", "tamarack")
    told("customers", "Quillfeather Homes", "address=4 Mill Road")
    told("shop", "name=Larkspur Trim")
    assert "has no" not in told("invoice", "tamarack")
    told("shop", "tax=7.5", "tax_per=line")
    seen = told("invoice", "tamarack")
    assert "The price was accepted with a tax of 0%; Business settings have 7.5% now." in seen
    assert ", line by line" in seen
    told("orders", "tamarack", "--accept", "2", "--by", "M. Quillfeather")
    idle = "No billed hour is on Move a light box off beam 4's line"
    assert idle not in told("invoice", "tamarack")
    assert idle in told("invoice", "tamarack", "--kind", "final")
    told("hours", "tamarack", "--add", "2026-03-10 8-10", "--stage", "extra", "--order", "2")
    assert idle not in told("invoice", "tamarack", "--kind", "final")
    assert "was accepted" not in told("invoice", "tamarack", "--issue")


def test_time_of_extra_work_is_never_left_out_in_silence(told: Said, wrong: Said) -> None:
    told("hours", "tamarack", "--add", "2026-03-10 8-10:30", "--stage", "extra")
    assert "2h30 of extra work is on no change order" in told("invoice", "tamarack")
    assert "--extra only with --issue" in wrong("invoice", "tamarack", "--extra", "later")
    asked = wrong("invoice", "tamarack", "--issue")
    assert "2h30 of extra work is on no change order, so no invoice bills it. Add --extra" in asked
    there = wrong("invoice", "tamarack", "--issue", "--extra", "7")
    assert "Known are 1 Wrap the header over the patio door, 2 Move a light box" in there
    told("invoice", "tamarack", "--issue", "--extra", "later")
    told("orders", "tamarack", "--accept", "2", "--by", "M. Quillfeather")
    final = invoice(told, "--kind", "final", "--issue", "--extra", "2")
    (extra,) = [li for li in final["lines"] if li["sort"] == "extra"]
    # 2.5 hours at the order's 78.00
    assert (extra["amount"], "2h30 at $78.00/h" in extra["text"]) == ("195.00", True)

    # What comes after is told as well: on an order that is billed, on one that nobody accepted.
    told("orders", "tamarack", "Sand a mantel", "60/h")
    for order in ("2", "3"):
        told("hours", "tamarack", "--add", f"2026-03-11 {order}pm for 1h", "--stage", "extra",
             "--order", order)  # fmt: skip
    told("orders", "tamarack", "Hang a shelf", "40")
    told("orders", "tamarack", "--accept", "4", "--by", "M. Quillfeather")
    seen = told("invoice", "tamarack")
    assert "on Move a light box off beam 4's line after invoice 2 billed it" in seen
    assert "1h is on Sand a mantel, which hasn't been accepted" in seen
    told("hours", "tamarack", "--add", "2026-03-12 8-9", "--stage", "extra")
    told("invoice", "tamarack", "--issue", "--extra", "unbilled")
    last = json.loads(told("hours", "tamarack", "--json"))["entries"][-1]
    assert (last["billable"], last["change_order"]) == (False, "")
    told("hours", "tamarack", "--add", "2026-03-12 10-11", "--stage", "extra")
    nothing = wrong("invoice", "tamarack")
    assert "nothing to bill" in nothing
    assert "1h of extra work is on no change order" in nothing


def test_hours_on_a_change_order_by_command(told: Said, wrong: Said) -> None:
    told("hours", "tamarack", "--add", "2026-03-10 8-10", "--stage", "extra", "--order", "2")
    entry = json.loads(told("hours", "tamarack", "--json"))["entries"][-1]
    assert (entry["seconds"], bool(entry["change_order"])) == (7200, True)
    assert f"Extra work, on {entry['change_order']}" in told("hours", "tamarack")
    words = ("--add", "2026-03-10 11-12", "--stage", "extra", "--order", "7")
    assert "could be more than one change order" in wrong("hours", "tamarack", *words)
    assert "only with --add" in wrong("hours", "tamarack", "--order", "2")


def test_customers_orders_material_and_days_are_kept_by_command(
    told: Said, wrong: Said, data: Path
) -> None:
    told("customers", "Ada Quill", "address=4 Mill Road / Pine Hollow", "terms=14")
    told("customers", "ada quill", "phone=555-0140")
    (ada,) = json.loads(told("customers", "--json"))["customers"]
    assert (ada["address"], ada["phone"], ada["terms"]) == (
        "4 Mill Road\nPine Hollow", "555-0140", 14,
    )  # fmt: skip
    told("customers", "Ada Quill", "--remove")
    assert json.loads(told("customers", "--json"))["customers"] == []

    told("orders", "tamarack", "Sand a mantel", "85/h")
    order = json.loads(told("orders", "tamarack", "--json"))["orders"][-1]
    assert (order["text"], order["hour"], order["accepted_by"]) == ("Sand a mantel", "85.00", None)
    number = str(order["number"])
    told("orders", "tamarack", "--accept", number, "--by", "Ada Quill", "--on", "2026-03-03")
    order = json.loads(told("orders", "tamarack", "--json"))["orders"][-1]
    assert (order["accepted_by"], order["accepted_on"]) == ("Ada Quill", "2026-03-03")
    told("orders", "tamarack", "Spare", "10")
    told("orders", "tamarack", "--remove", str(int(number) + 1))

    told("materials", "tamarack", "Glue", "3", "6.25", "--consumable", "--markup", "15")
    glue = json.loads(told("materials", "tamarack", "--json"))["materials"][-1]
    assert (glue["sort"], glue["cost"], glue["amount"]) == ("consumables", "18.75", "21.56")
    told("materials", "tamarack", "--remove", str(glue["number"]))

    told("planned", "tamarack", "2026-03-11", "scribe")
    days = json.loads(told("planned", "tamarack", "--json"))["planned"]
    assert days[-1] == {"day": "2026-03-11", "note": "scribe"}
    told("planned", "tamarack", "--remove", "2026-03-11")
    assert json.loads(told("planned", "tamarack", "--json"))["planned"] == days[:-1]

    before = json.loads(told("hours", "tamarack", "--json"))
    told("hours", "tamarack", "--add", "2026-03-03 5pm for 1h20", "--stage", "scribe")
    after = json.loads(told("hours", "tamarack", "--json"))
    assert after["seconds"] - before["seconds"] == 80 * 60

    for words, says in (
        (("customers", "Ada Quill", "age=3"), "has no 'age'"),
        (("customers", "Ada Quill", "terms=400"), "from 0 to 365 days"),
        (("customers", "Nobody", "--remove"), "isn't a customer"),
        (("orders", "tamarack", "Sand"), "needs a price or a rate"),
        (("orders", "tamarack", "Sand", "4/ft"), "an hourly rate, like 85/h"),
        (("orders", "tamarack", "Sand", "--", "-40"), "below zero"),
        (("orders", "tamarack", "Sand", "4", "--accept", "1"), "Make one change at a time"),
        (("orders", "tamarack", "--accept", "99"), "no row 99"),
        (("orders", "tamarack", "--accept", number), "was accepted already"),
        (("orders", "tamarack", "--remove", number), "was accepted and can't"),
        (("materials", "tamarack", "Glue", "3"), "needs a quantity and a unit price. Type"),
        (("materials", "tamarack", "Glue", "3", "--", "-6"), "below zero"),
        (("materials", "tamarack", "Gold", "1000000", "9999999"), "more than any job here costs"),
        (("materials", "tamarack", "Glue", "3", "6", "--markup", "900"), "out of range for markup"),
        (("planned", "tamarack", "2026-02-30"), "isn't in the calendar"),
        (("planned", "tamarack", "--remove", "2026-03-12"), "isn't planned"),
        (("hours", "tamarack", "--add", "2026-03-03 9-7", "--stage", "1"), "before it starts"),
        (("hours", "tamarack", "--add", "2026-03-08 2:30-4", "--stage", "1"), "There was no 02:"),
        (("hours", "tamarack", "--add", "2026-03-03 7-8"), "Choose a stage"),
        (("hours", "tamarack", "--stage", "1"), "only with --add"),
    ):  # fmt: skip
        assert says in wrong(*words)


def test_planned_days_are_icalendar(told: Said, wrong: Said) -> None:
    """Read back by icalendar, a general library for RFC 5545."""
    from icalendar import Calendar

    text = told("planned", "tamarack", "--ics")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    assert text.count("\n") == text.count("\r\n")
    events = Calendar.from_ical(text).walk("VEVENT")
    assert [event.decoded("dtstart") for event in events] == [date(2026, 3, 6), date(2026, 3, 9)]
    assert str(events[1]["summary"]) == "Tamarack Bend: great room, study"
    assert len({str(event["uid"]) for event in events}) == 2
    assert "Mar 6, 2026" in told("planned", "tamarack")


def test_what_it_took(told: Said) -> None:
    sheet = json.loads(told("took", "tamarack", "--json"))
    assert sheet["accepted"]
    tack = next(one for one in sheet["stages"] if one["stage"] == "tack")
    assert tack["minutes"] == 535
    assert tack["over"] == pytest.approx(tack["minutes"] - tack["estimated"], abs=0.01)
    # Two hours of fix-ups at the job's 78.00.
    causes = sheet["fix_up"].pop("causes")
    assert sheet["fix_up"] == {"seconds": 7200, "price": "156.00"}
    assert sum(one["seconds"] for one in causes) == 7200
    assert {one["cause"] for one in causes} >= {"no gap entered", "level held on a bulge"}
    assert {beam["name"] for beam in sheet["beams_over"]} >= {"Dining room 1", "Dining room 2"}
    printed = told("took", "tamarack")
    assert "Tack" in printed
    assert "Fix-ups took 2h, worth $156.00." in printed
    assert "!!" in printed
