"""The estimate out of the record, what was accepted, and invoices that add up to it."""

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewdesk.errors import BadInput, CrewdeskError, NotAllowed
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.gaps import keep_gap, typed_gap
from crewdesk.job.books import billing, pricing, work_value
from crewdesk.job.books import job_lists as materials
from crewdesk.job.books import job_lists as orders
from crewdesk.job.books.actuals import job_actuals
from crewdesk.job.books.contract import contract_on
from crewdesk.job.books.documents import credit_invoice, issue_invoice
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.work_value import done_by_stage
from crewdesk.job.change import Change, edit
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.time import clock
from crewdesk.paper.documents.estimate import estimate_letter, joined_reasons
from crewdesk.paper.documents.invoice import invoice_letter
from crewdesk.paper.documents.letter import Row, letter_lines, money
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.invoice_lines import part_done
from crewdesk.trade.books.money import cents
from crewdesk.trade.books.stage_rates import DEFAULT_RATES

D = Decimal
ZERO = D("0.00")
HOUR = timedelta(hours=1)


def accepted(record, books, now, by="Ada Quill"):
    """Accept the job's estimate as it is."""
    found = pricing.price_job(record, books.shop, ())
    record.make(pricing.accept(record, found, by, now.date(), now, today=now.date()))
    return found.estimate.likely


def bill(record, books, now, kind=None):
    """Issue the next invoice in memory; gives its draft."""
    draft = billing.next_invoice(JobBooks("j", record, books, (), now), kind=kind)
    head = billing.letterhead(record, books)
    books.make(issue_invoice(books, draft, head, now.date(), now))
    return draft


def test_the_price_by_hand_from_the_default_rates(priced, books, now) -> None:
    """30 ft and 2 beams: minutes a foot x 30 + minutes a beam x 2, at 60.00 an hour, so a
    minute is 1.00."""
    found = pricing.price_job(priced, books.shop, ())
    by_hand = {rate.stage: rate.per_foot * 30 + rate.per_beam * 2 for rate in DEFAULT_RATES}
    assert {line.key: line.amount for line in found.estimate.likely.lines} == by_hand
    assert found.feet == 30
    assert found.beams_told[0] == "Great room Ridge, 120 in, 8 x 10 in"
    assert all("default rate" in reason for reason in found.reasons)


def test_the_shop_tells_how_much_longer_a_kind_of_beam_takes(priced, fresh_books, now) -> None:
    plain = pricing.price_job(priced, fresh_books().shop, ()).estimate.likely
    books = fresh_books(times={"8 x 10": "150"})
    found = pricing.price_job(priced, books.shop, ())
    assert [one.amount for one in found.estimate.likely.lines] == [
        line.amount * D("1.5") for line in plain.lines
    ]
    assert "Section 8 x 10 in, 2 of the beams: 150.0% of a plain one's time." in found.reasons


def test_one_beam_without_a_length_is_left_out_of_the_price_and_named(
    priced, books, now, refusing
) -> None:
    whole = pricing.price_job(priced, books.shop, ())
    priced.make(beams.add_beam(priced, "Late", "Hall", now))
    found = pricing.price_job(priced, books.shop, ())
    assert found.estimate.likely == whole.estimate.likely
    assert found.left_out == ("Hall Late",)
    letter = estimate_letter(priced, books, found, now.date())
    assert "Hall Late isn't included: the length isn't known yet." in letter.notes
    assert dict(letter.facts)["Beams"] == "2, 30.0 ft in all"
    # What is accepted keeps it, also once that beam is measured.
    priced.make(pricing.accept(priced, found, "Ada", now.date(), now, today=now.date()))
    row = beams.find_beam(priced, "Hall Late").row
    priced.make(beams.change_beam(priced, row, {"rough": Fraction(90)}, now))
    assert priced.accepted.left_out == ("Hall Late",)
    again = pricing.price_job(priced, books.shop, ())
    assert again.left_out == ()
    told = " ".join(estimate_letter(priced, books, again, now.date()).notes)
    assert "The accepted price doesn't include Hall Late." in told
    assert again.estimate.likely.total > priced.accepted.total
    # Without any known length there is nothing to price.
    for beam in priced.beams:
        priced.make(beams.change_beam(priced, beam.row, {"rough": ""}, now))
    assert "isn't known" in refusing(pricing.price_job, priced, books.shop, ())


def test_material_has_the_shop_s_waste_and_markup_unless_it_has_its_own(
    priced, fresh_books, now
) -> None:
    books = fresh_books(waste="10", markup="20")
    for text, more in (("oak", {}), ("tape", {"waste": "0", "markup": "5"})):
        change = materials.typed_material(priced, text, "100", "4", now, **more)
        priced.make(change)
    found = pricing.price_job(priced, books.shop, ())
    amounts = {line.key: line.amount for line in found.estimate.likely.lines}
    assert (amounts["oak"], amounts["tape"]) == (D("528.00"), D("420.00"))
    priced.make(materials.typed_material(priced, "oak", ["2", "1/2"][1], "4", now, row="1"))
    priced.make(materials.remove_material(priced, "2", now))
    assert [(m.text, m.quantity) for m in priced.materials] == [("oak", Fraction(1, 2))]


def test_finished_jobs_make_the_next_price(priced, fresh_priced, walk, books, now) -> None:
    """A job that took twice the default's time on a stage doubles the rate of that stage."""
    assert pricing.past_job(priced, books.shop.factors, now) is None
    old = fresh_priced()
    walk(old, old.make, "", now)
    assert pricing.past_job(old, books.shop.factors, now) is None, "no time tells anything"
    first = pricing.price_job(priced, books.shop, ()).estimate.likely
    rip = next(line.amount for line in first.lines if line.key == "rip")
    # The walk reads runs of 12' 3 1/4 on both beams: the default of rip is 1 min/ft, 4 a beam.
    reckoned = 1 * Fraction(589, 2) / 12 + 4 * 2
    begin = now + 100 * HOUR
    end = begin + timedelta(minutes=float(2 * reckoned))
    old.make(clock.add(old, "rip", begin, end, end))
    past = [pricing.past_job(old, books.shop.factors, end)]
    again = pricing.price_job(priced, books.shop, past)
    assert next(s for s in again.estimate.stages if s.rate.stage == "rip").rate.jobs == 1
    twice = next(line.amount for line in again.estimate.likely.lines if line.key == "rip")
    assert twice == pytest.approx(2 * rip, abs=D("0.02"))
    assert any("1 of your past jobs" in reason for reason in again.reasons)


def test_what_was_accepted_is_frozen_and_a_new_one_supersedes(
    priced, fresh_books, now, refusing
) -> None:
    first = accepted(priced, fresh_books(), now)
    kept = priced.accepted
    assert (kept.total, kept.by, kept.on) == (first.total, "Ada Quill", now.date())
    place = ("accepted", "1", "by")
    mine = Change("mine", (edit(priced.tables, place, "Bo"),), now)
    assert "can't be changed. Accept a new one" in refusing(priced.make, mine)
    accepted(priced, fresh_books(hour="75"), now, by="Bo")
    assert priced.accepted.by == "Bo"
    assert priced.accepted.total == pytest.approx(first.total * 75 / 60, abs=D("0.05"))
    assert priced.tables["accepted"]["1"]["total"] == str(first.total)
    found = pricing.price_job(priced, fresh_books().shop, ())
    for by, on in (("", now.date()), ("Ada", now.date() + timedelta(1))):
        refusing(pricing.accept, priced, found, by, on, now, today=now.date())


def earned_so_far(record, books, now):
    """Bill progress, if there is any to bill; gives the drafts issued, one or none."""
    try:
        return [bill(record, books, now, "progress")]
    except CrewdeskError as no:
        if "nothing to bill" not in str(no):
            raise
        return []


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("total", "1.00", "don't add up to its total"),
        (
            "lines",
            [{"sort": "gift", "key": "x", "amount": "1.00", "taxed": False}],
            "sort must be",
        ),
        ("on", "2026-02-30", "isn't in the calendar"),
        (
            "stages",
            [{"stage": "rip", "low": "9", "likely": "1", "high": "2", "jobs": 0}],
            "minutes",
        ),
        ("tax_rate", "1000", "out of range"),
    ],
)
def test_an_accepted_estimate_that_makes_no_sense(priced, books, now, refusing, key, value, told):
    accepted(priced, books, now)
    doc = {**priced.tables["accepted"]["1"], key: value}
    tables = {**priced.tables, "accepted": {"1": doc}}
    assert told in refusing(Record(tables).check_all)


def test_change_orders(priced, now, refusing) -> None:
    priced.make(orders.typed_order(priced, "Wrap a post", "240", now))
    priced.make(orders.typed_order(priced, "Move a light", "85/h", now))
    priced.make(orders.typed_order(priced, "Wrap two posts", "450", now, row="1"))
    one, two = priced.orders
    assert (one.price, one.hour, two.price, two.hour) == (D("450.00"), None, None, D("85.00"))
    assert "or an hourly rate, like 85/h" in refusing(orders.typed_order, priced, "x", "4/ft", now)
    priced.make(orders.accept_order(priced, "1", "Ada", now.date(), now, today=now.date()))
    for act in (
        lambda: orders.typed_order(priced, "cheap", "1", now, row="1"),
        lambda: orders.accept_order(priced, "1", "Bo", now.date(), now, today=now.date()),
        lambda: orders.remove_order(priced, "1", now),
    ):
        assert "accepted" in refusing(act)
    tomorrow = now.date() + timedelta(1)
    refused = refusing(orders.accept_order, priced, "2", "Ada", tomorrow, now, today=now.date())
    assert "in the future" in refused
    priced.make(clock.add(priced, "extra-work", now, now + HOUR, now + HOUR, order="2"))
    assert "Time was logged" in refusing(orders.remove_order, priced, "2", now)
    with pytest.raises(BadInput, match=r"is below zero. Type zero or more"):
        orders.typed_order(priced, "x", "-5", now)


def test_progress_goes_by_the_ticks_weighted_by_their_minutes(priced, books, now) -> None:
    """Rip is 1 min/ft and 4 a beam: of 38 minutes beam 1 (10 ft) has 14, shared by its four
    pieces' steps; so one side of it is 3.5 of 38."""
    price = accepted(priced, books, now)
    with pytest.raises(NotAllowed, match="steps checked off on the run sheet, and none is yet"):
        billing.next_invoice(JobBooks("j", priced, books, (), now), kind="progress")
    priced.make(ticks.tick(priced, Spot("1", "A"), "rip-side", now))
    rip = done_by_stage(priced, books.shop.factors)[0]
    assert (rip.stage, rip.minutes, rip.part) == ("rip", 38, Fraction(7, 76))
    draft = billing.next_invoice(JobBooks("j", priced, books, (), now))
    (line,) = draft.lines
    assert (draft.kind, line.text, line.amount) == ("progress", "Rip, 9% of $38.00", D("3.50"))
    assert part_done(done_by_stage(priced, books.shop.factors)) == Fraction(7, 2) / Fraction(
        price.subtotal
    )


def test_the_kind_that_is_due(priced, books, walk, now, refusing) -> None:
    accepted(priced, books, now)
    assert billing.usual_kind(JobBooks("j", priced, books, (), now)) == "deposit"
    bill(priced, books, now)
    assert billing.usual_kind(JobBooks("j", priced, books, (), now)) == "progress"
    assert "nothing to bill" in refusing(bill, priced, books, now)
    walk(priced, priced.make, "", now)
    assert billing.usual_kind(JobBooks("j", priced, books, (), now)) == "final"
    bill(priced, books, now)
    assert "was billed already, on invoice 1" in refusing(bill, priced, books, now, "deposit")
    assert "nothing to bill" in refusing(bill, priced, books, now)


def test_a_box_is_done_without_the_steps_that_its_type_spares_it(priced, books, now) -> None:
    for beam in priced.beams:
        priced.make(beams.remove_beam(priced, beam.row, now))
    priced.make(beams.add_beam(priced, "1", "Hall", now, form="box"))
    (beam,) = priced.beams
    for key, piece in beam.pieces.items():
        for step in priced.stages.steps_of(piece.kind, piece.traits):
            mark = {"state": "done", "when": now.isoformat()}
            at = ("beams", beam.row, "pieces", key, "steps", step.id)
            priced.make(Change("done", (edit(priced.tables, at, mark),), now))
    assert billing.usual_kind(JobBooks("j", priced, books, (), now)) == "final"


def test_no_price_no_rate_no_deposit(priced, fresh_books, now, refusing) -> None:
    priced.make(beams.change_job(priced, {"billing": "price"}, now))
    assert "no price has been accepted. Accept the estimate first" in refusing(
        bill, priced, fresh_books(), now, "progress"
    )
    priced.make(beams.change_job(priced, {"billing": "rates"}, now))
    bare = fresh_books(deposit="0")
    assert "deposit in Business settings is 0%" in refusing(bill, priced, bare, now, "deposit")
    priced.make(clock.add(priced, "rip", now, now + HOUR, now + HOUR))
    none = fresh_books(hour="61")
    none.tables["shop"]["1"] = {}
    none.forget([("shop", "1")])
    assert "No hourly rate is set" in refusing(bill, priced, none, now, "progress")
    with pytest.raises(NotAllowed, match="way to bill a job must be"):
        priced.make(beams.change_job(priced, {"billing": "barter"}, now))


RATES = st.sampled_from(["0", "7.5", "8.875"])
TAXED = st.sampled_from(["", "materials", "labour, extras", "materials, labour, profit, extras"])
STEPS = ("rip-side", "rip-bottom", "rip-cleats", "ease", "sand", "cleat-line", "tape")


@settings(
    deadline=None, max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    RATES, TAXED, st.sampled_from(["0", "12", "33.3"]), st.lists(st.sampled_from(STEPS)), st.data()
)
def test_all_invoices_of_a_job_come_to_its_price_and_its_extras(
    fresh_priced, fresh_books, now, rate, taxed, put_on, steps, data
) -> None:
    books = fresh_books(tax=rate, taxed=taxed, profit=put_on, overhead=put_on, round_to="0.05")
    record = fresh_priced()
    record.make(materials.typed_material(record, "oak", "17", "41.37", now, waste="7"))
    base = accepted(record, books, now).subtotal
    record.make(orders.typed_order(record, "Post", "123.45", now))
    record.make(orders.accept_order(record, "1", "Ada", now.date(), now, today=now.date()))
    drafts = [bill(record, books, now, "deposit")] if data.draw(st.booleans()) else []
    for step in steps:
        for beam in record.beams:
            for key in beam.pieces:
                try:
                    record.make(ticks.tick(record, Spot(beam.row, key), step, now))
                except CrewdeskError:
                    continue
        if data.draw(st.booleans()):
            drafts += earned_so_far(record, books, now)
    drafts.append(bill(record, books, now, "final"))
    assert sum(d.base for d in drafts) == base
    assert sum(d.extra for d in drafts) == D("123.45")
    for draft in drafts:
        assert draft.subtotal == sum((line.amount for line in draft.all_lines), ZERO)
        assert draft.total == draft.subtotal + draft.tax
    assert [d.number for d in books.trail] == list(range(1, len(drafts) + 1))
    with pytest.raises(NotAllowed, match="nothing to bill"):
        bill(record, books, now, "final")


@settings(
    deadline=None, max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(st.tuples(st.sampled_from(["rip", "ease", "travel"]), st.integers(1, 20_000)),
             min_size=1, max_size=6),
    st.sampled_from(["none", "15 nearest day", "6 up", "5 down stage"]),
)  # fmt: skip
def test_hours_are_billed_once_however_often_it_is_billed(
    fresh_priced, fresh_books, now, worked, rounding
) -> None:
    books = fresh_books(rounding=rounding)
    record, begin = fresh_priced(), now
    asked = ZERO
    for stage, seconds in worked:
        end = begin + timedelta(seconds=seconds)
        record.make(clock.add(record, stage, begin, end, end))
        begin = end
        asked += sum(draft.base for draft in earned_so_far(record, books, end))
    total = work_value.billed_time(record, books.shop.rounding, begin)
    stages = total.by_stage()
    wanted = sum((D(s.billed_seconds) / 60 for s in stages), D(0))
    assert asked == pytest.approx(wanted, abs=D("0.02"))


def test_what_is_credited_is_billed_again(priced, books, now) -> None:
    base = accepted(priced, books, now).subtotal
    first = bill(priced, books, now, "deposit")
    back = (D("40.00"),)
    books.make(credit_invoice(books, 1, "agreed", now.date(), now, amounts=back))
    final = bill(priced, books, now, "final")
    assert final.base == base - first.base + D("40.00")


def test_the_sheet_tells_the_work_as_the_final_invoice_bills_it(priced, fresh_books, now) -> None:
    books = fresh_books(tax="7.65", profit="11", overhead="9", stage_rates={"rip": "3.10/ft"})
    priced.make(materials.typed_material(priced, "oak", "17", "41.37", now))
    found = pricing.price_job(priced, books.shop, ())
    sheet = estimate_letter(priced, books, found, now.date())
    told = {row.text: row.amount for row in sheet.parts[-1].rows}
    assert "Profit" not in told
    accepted(priced, books, now)
    final = bill(priced, books, now, "final")
    billed = {line.text: money(line.amount) for line in final.lines}
    assert billed.pop("Materials") == told.pop("oak")
    assert billed == told
    assert final.total == found.estimate.likely.total


def test_an_estimate_shows_the_price_to_sign_and_then_the_accepted_one(
    priced, fresh_books, now
) -> None:
    books = fresh_books(tax="7.65")
    found = pricing.price_job(priced, books.shop, ())
    before = estimate_letter(priced, books, found, now.date())
    price = money(found.estimate.likely.total)
    assert before.signing
    assert before.due == f"{price} to accept"
    assert before.totals[-1] == Row("Price to accept", price, strong=True)
    accepted(priced, books, now)
    dearer = fresh_books(tax="7.65", hour="75")
    again = pricing.price_job(priced, dearer.shop, ())
    assert money(again.estimate.likely.total) != price
    after = estimate_letter(priced, dearer, again, now.date())
    assert not after.signing
    assert after.due == f"{price} accepted {day_text(now.date())} by Ada Quill"
    assert after.totals[-1] == Row("Accepted price", price, strong=True)
    assert after.parts == before.parts
    assert money(again.estimate.likely.total) not in "".join(letter_lines(after))


def test_an_invoice_shows_how_far_it_takes_the_contract(priced, books, now) -> None:
    accepted(priced, books, now)
    day = now.date()
    whole = contract_on(JobBooks("bend", priced, books, (), now), day)
    assert whole == priced.accepted.total
    assert contract_on(JobBooks("bend", priced, books, (), now), day - timedelta(days=1)) is None
    first = bill(priced, books, now, "deposit").total
    final = bill(priced, books, now, "final").total
    letter = invoice_letter(books.headed(2), books, day, preview=False, contract=whole)
    told = {row.text: row.amount for row in letter.parts[0].rows}
    assert told == {
        "Contract, with the extra work accepted": money(whole),
        "Billed before": money(first),
        "This invoice": money(final),
        "Left to bill": "$0.00",
    }


def test_reasons_that_differ_only_in_their_stage_are_one() -> None:
    why = "no past job has time on it, so it uses a default rate, give or take 25.0%."
    reasons = (
        f"Rip: 161.58 min at $78.00/h; {why}",
        f"Ease: 40.4 min at $78.00/h; {why}",
        "Oak: 10% is added for waste.",
        "No line is taxable.",
    )
    # 161.58 min are 2 h 41.58 min
    assert joined_reasons(reasons) == (
        f"Rip 2h42, Ease 40 min at $78.00/h: {why.replace('25.0', '25')}",
        "Oak: 10% is added for waste.",
        "No line is taxable.",
    )


def test_took_against_the_accepted_estimate(priced, books, now) -> None:
    accepted(priced, books, now)
    end = now + 2 * HOUR
    priced.make(clock.add(priced, "rip", now, end, end, pieces=[Spot("1", "A")]))
    priced.make(clock.add(priced, "fix-up", end, end + HOUR, end + HOUR, pieces=[Spot("1", "A")]))
    took = job_actuals(priced, books.shop, (), end + HOUR)
    rip = next(one for one in took.stages if one.stage == "rip")
    assert (rip.minutes, rip.estimated, rip.over, rip.beyond) == (120, 38, 82, True)
    assert rip.per_foot == 4
    (beam,) = took.beams
    # Rip and fix-up of beam 1 are reckoned at 14 and 15 minutes.
    assert (beam.name, beam.minutes, beam.over) == ("Great room Ridge", 180, 151)
    assert beam.causes == (("fix-ups", 1),)
    assert (took.fix_up_seconds, took.fix_up_price, took.untold) == (3600, D("60.00"), 0)

    # By cause: a piece's time is shared evenly among the causes of its gaps.
    assert took.causes == (("no gap entered", 3600),)
    for cause in ("bowed wall", "Bowed wall", "short"):
        typed = {"width": "1/16", "where": "1", "cause": cause, "cure": "caulk"}
        spot = Spot("1", "A")
        priced.make(keep_gap(priced, spot, typed_gap(priced, spot, typed, end), end))
    priced.make(clock.add(priced, "fix-up", end + HOUR, end + 2 * HOUR, end + 2 * HOUR, pieces=[]))
    took = job_actuals(priced, books.shop, (), end + 2 * HOUR)
    assert dict(took.causes) == {"no pieces entered": 3600, "Bowed wall": 1800, "short": 1800}
    assert sum(seconds for _, seconds in took.causes) == took.fix_up_seconds
    priced.make(clock.remove(priced, "3", end + 2 * HOUR))

    # A run read twice is checked, and read a third time it is a re-read; an hour at another
    # rate costs that.
    for text in ("10'", "10' 1/32", "10'"):
        reading = take.typed_reading(priced, "run", text, end)
        priced.make(take.take(priced, Spot("1", "A"), "run", reading))
    priced.make(clock.mend(priced, "2", end + HOUR, rate=D("90.00")))
    took = job_actuals(priced, books.shop, (), end + HOUR)
    assert dict(took.beams[0].causes) == {"fix-ups": 1, "re-reads": 1, "gaps": 3}
    assert took.fix_up_price == D("90.00")


def test_took_without_an_accepted_estimate_goes_by_the_default_rates(priced, books, now) -> None:
    """Rip is reckoned at 38 minutes, give or take a quarter: 30.4 to 47.5; over 47.5 is beyond."""
    for minutes, over, beyond in ((47, 9, False), (48, 10, True)):
        record = Record({table: dict(rows) for table, rows in priced.tables.items()})
        end = now + timedelta(minutes=minutes)
        record.make(clock.add(record, "rip", now, end, end))
        took = job_actuals(record, books.shop, (), end)
        rip = next(one for one in took.stages if one.stage == "rip")
        assert (rip.estimated, rip.over, rip.beyond) == (38, over, beyond)


def test_fixing_costs_an_hour_s_rate_where_the_stage_has_one(priced, fresh_books, now) -> None:
    end = now + HOUR
    priced.make(clock.add(priced, "fix-up", now, end, end))
    for rate, price in (("75/h", "75.00"), ("4/ft", "60.00")):
        shop = fresh_books(stage_rates={"fix-up": rate}).shop
        assert job_actuals(priced, shop, (), end).fix_up_price == D(price)


def test_a_deposit_says_how_many_beams_its_price_leaves_out(priced, fresh_books, now) -> None:
    books = fresh_books(deposit="25")
    priced.make(beams.add_beam(priced, "Late", "Hall", now))
    (line,) = billing.next_invoice(JobBooks("j", priced, books, (), now), kind="deposit").lines
    assert line.text.endswith(", 1 beam not included")
    accepted(priced, books, now)
    (line,) = billing.next_invoice(JobBooks("j", priced, books, (), now), kind="deposit").lines
    assert line.text.endswith(", 1 beam not included")


def test_a_deposit_is_split_by_what_is_taxed(priced, fresh_books, now) -> None:
    """Materials of $100 are taxed, $38 of labor aren't: 25 % of each on a line of its own."""
    priced.make(materials.typed_material(priced, "Oak", "1", "100", now))
    books = fresh_books(deposit="25", tax="7.5", taxed="materials")
    accepted(priced, books, now)
    draft = billing.next_invoice(JobBooks("j", priced, books, (), now), kind="deposit")
    told = {line.taxed: (line.amount, line.text) for line in draft.lines}
    assert told[True][0] == D("25.00")
    assert "of $100.00" in told[True][1]
    labor = sum(line.amount for line in priced.accepted.lines if not line.taxed)
    assert told[False][0] == cents(Fraction(labor) / 4)
