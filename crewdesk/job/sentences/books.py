"""Sentences about hours and money."""

from crewdesk.trade.books.estimate import Reason

_WHEN = "7:30-11:45, yesterday 2pm for 1h20, mon 8-12, 2026-03-09 14:00 or 1h20"
_LONG = "1h20, 90 min, 7.5h or PT2H30M"
_DAY = "today, yesterday, mon, 3/9, mar 9 or 2026-03-09"

_TIMES = {
    "time-empty": f"No time was given; write one as {_WHEN}.",
    "time-too-long": "A time has at most {limit} characters, and this text has more: {text}...",
    "time-unread": f"{{text}} is not a time; write one as {_WHEN}.",
    "time-ambiguous": "{text} can be read in more than one way; write {readings}.",
    "time-no-clock": "{text} is a day without hours; add them, as 7:30-11:45 or 8:00 for 1h20.",
    "time-no-stop": (
        "{text} says when work began and not when it stopped; "
        "write both, as 7:30-11:45 or 7:30 for 1h20."
    ),
    "time-no-such-clock": (
        "{text} has a time of day that no clock shows, {clock}; "
        "write 0:00 to 23:59, or 1 to 12 with am or pm."
    ),
    "time-overlap": "{text} shares time with a stretch before it; each is counted once.",
    "time-no-length": (
        "{text} stops at the very time it starts; the stop must be after the start."
    ),
    "time-backwards": "{text} stops before it starts; write {readings}.",
    "time-stop-before-start": "{text} stops before it starts; the stop must be after the start.",
    "time-not-yet": "{text} stops at {stop}, which is yet to come; log hours once they are done.",
    "time-skipped": (
        "There was no {clock} on {day}: clocks went from {before} straight to {after} for "
        "daylight saving; write a time before {before}, or {after} or later."
    ),
    "time-doubled": (
        "Clocks showed {clock} twice on {day}, going back from daylight saving; write {readings}."
    ),
    "time-wrong-zone": (
        "{zone} is not what the site's clocks ran on at {clock} on {day}; "
        "write {readings}, or leave it off."
    ),
    "day-empty": f"No day was given; write one as {_DAY}.",
    "day-unread": f"{{text}} is not a day; write one as {_DAY}.",
    "day-does-not-exist": "{text} is not in the calendar; write a day that is, as 2026-03-09.",
    "day-too-far": "{text} is more than {years} years away; check the year.",
    "duration-empty": f"No length of time was given; write one as {_LONG}.",
    "duration-unread": f"{{text}} is not a length of time; write one as {_LONG}.",
    "duration-zero": "{text} is no time at all; write one as 1h20 or 90 min.",
    "duration-minutes-over": "{text} has more than 59 minutes after its hours; write {reading}.",
    "duration-too-long": "{text} is over {days} days of work without a stop; check its ends.",
}

_SHARES = {
    "share-below-zero": "A share of {total} can't be made; what is shared must be zero or more.",
    "share-weight-below-zero": "A piece has a length below zero; lengths must be zero or more.",
    "share-of-nobody": "There is no piece to share the time among; name one or more.",
    "share-way-unknown": "{way} is no way to share a batch's time; write length or evenly.",
    "rounding-unread": (
        "{text} is not a rounding rule; write none, 5, 6 or 15 (minutes), then nearest, up or "
        "down, then entry, day or stage, as 15 nearest day."
    ),
}

_MONEY = {
    "money-empty": "No amount was given; write one as 1,250.00 or $85.",
    "money-unread": "{text} is not an amount of money; write one as 1,250.00 or $85.",
    "money-below-zero": "{text} is below zero; an amount is zero or more, and a credit takes back.",
    "money-parts-of-a-cent": "{text} has parts of a cent; write two decimals at most.",
    "money-ambiguous": "{text} can be read in more than one way; write {readings}.",
    "money-too-large": "{text} is more than any job here costs; the most is {most}.",
    "rate-unit-unknown": "{text} is per {unit}, which is unknown; write 85/h, 4.50/ft or 300 each.",
    "percent-unread": "{text} is not a percentage; write one as 7.5 or 7.5 %.",
    "percent-out-of-range": "{value} % is out of range for {sort}; it must be from 0 to {most} %.",
}

_ESTIMATES = {
    "estimate-no-beams": "There is no beam to price; give one or more.",
    "estimate-count": "{name} stands for {count} beams; it must be 1 or more.",
    "estimate-length": "{name} is {length} in long; it must be more than zero.",
    "estimate-ceiling-unknown": "{name} hangs on a ceiling of kind {ceiling}; known are {known}.",
    "estimate-rate": "An hour costs {rate}; it must be more than zero.",
    "estimate-round-to": "A price can't go to steps of {step}; write 0.01, 1, 10 or the like.",
    "estimate-taxed-unknown": "Tax on {sort} is unknown; it can be on {known}.",
    "material-below-zero": "{text} has a quantity or price below zero; both are zero or more.",
}

_INVOICES = {
    "line-below-zero": "{text} is {amount}, below zero; a credit takes back, not a line.",
    "line-without-text": "A line of {amount} has no text; say what it is for.",
    "line-parts-of-a-cent": "{text} is {amount}, with parts of a cent; give whole cents.",
    "extra-not-accepted": (
        "The change order {text} is not accepted; enter by whom and when before it is billed."
    ),
    "extra-price": "The change order {text} needs a price or an hourly rate, just one of them.",
    "extra-billed-twice": "The change order {text} stands on invoice {number} already.",
    "extra-twice-here": "The change order {text} stands on this invoice twice; once is enough.",
    "invoice-kind": "{kind} is no kind of invoice; it is deposit, progress or final.",
    "invoice-terms": "Terms of {days} days are out of range; give 0 to {most}.",
    "invoice-empty": "The invoice has no line; add one before it is issued.",
    "invoice-total-below-zero": (
        "The invoice comes to {total}, below zero; credit an earlier invoice instead."
    ),
    "invoice-date": (
        "{on} is before {last}, the date of number {number}; numbers and dates go up together."
    ),
    "number-repeated": "Number {number} is in the trail twice or out of order; mend that first.",
    "number-missing": "Number {number} is missing in the trail; mend that first.",
    "credit-without-reason": "Taking back from invoice {number} needs a reason; write one.",
    "credit-lines": (
        "Invoice {number} has {lines} line(s) and {given} amount(s) were given; give one for each."
    ),
    "credit-nothing": "Nothing is taken back of invoice {number}; give an amount it still asks.",
    "credit-out-of-range": "{amount} of {text} can't be taken back; it may be from 0 to {left}.",
    "credit-too-much": (
        "{amount} can't be taken back of invoice {number}; it may be over 0 and up to {left}."
    ),
    "void-paid": "Invoice {number} has {paid} paid on it and can't be voided; credit it instead.",
    "tick-below-zero": "A step of stage {stage} has minutes below zero; give zero or more.",
    "payment-not-positive": "A payment of {amount} is none; give more than zero.",
    "payment-unknown-invoice": "There is no invoice {number} to pay; check the number.",
    "payment-long-before-invoice": (
        "{on} is more than a year before invoice {number} of {issued_on}; money may come ahead of "
        "its invoice, but not so long: write the day with the right year."
    ),
    "credit-before-invoice": (
        "{on} is before invoice {number} was issued; credit is applied from and to it on "
        "{issued_on} or later."
    ),
    "refund-too-much": "{amount} can't be refunded on invoice {number}; {paid} is paid on it.",
    "payment-on-void": (
        "Invoice {number} is void by number {by} and takes no payment; book it on one of that "
        "customer that still asks for money: invoice {others}."
    ),
    "payment-on-void-none-open": (
        "Invoice {number} is void by number {by} and takes no payment; if money came, book it on "
        "invoice {other} of that customer, where it is credit to apply to the next one."
    ),
    "payment-on-void-alone": (
        "Invoice {number} is void by number {by} and takes no payment, and that customer has no "
        "other; if money came, issue the invoice that it is for and book it there."
    ),
    "credit-same-invoice": "Credit on invoice {number} goes to another invoice; give its number.",
    "credit-other-customer": (
        "Invoice {number} is not of the customer of invoice {source}; credit goes to an invoice "
        "of the same customer."
    ),
    "credit-not-owed": (
        "{amount} of credit can't be taken from invoice {source}; what was paid over on it and "
        "can be applied is {over}."
    ),
    "credit-over-balance": (
        "{amount} of credit can't be applied to invoice {number}; what it still asks is {due}."
    ),
    "payment-used": (
        "{amount} on invoice {number} can't be taken out: it was given back or applied to another "
        "invoice since; take that out first."
    ),
}

SENTENCES = {**_TIMES, **_SHARES, **_MONEY, **_ESTIMATES, **_INVOICES}

REASONS = {
    "stage-default": (
        "{stage}: {work}; no past job has time on it, so by a default rate, give or take "
        "{percent} %."
    ),
    "stage-scaled": (
        "{stage}: {work}; the default rate scaled to {jobs} of your past jobs, give or take "
        "{percent} %."
    ),
    "stage-fitted": (
        "{stage}: {work}; from {jobs} past jobs, which were {percent} % apart from the rate."
    ),
    "ceiling-factor": (
        "Under a {kind} ceiling, {count} of the beams: {percent} % of a flat one's time."
    ),
    "section-factor": "Section {kind}, {count} of the beams: {percent} % of a plain one's time.",
    "material-waste": "{text}: {percent} % waste is bought besides.",
    "material-no-price": "{text}: no price is known yet, so it counts for nothing.",
    "materials-alike": "Materials are the same in low, likely and high; only the hours differ.",
    "tax-on": "Tax of {percent} % is on {sorts}.",
    "tax-on-nothing": "No line is taxed.",
}
"""Sentences for an estimate's reasons, by `Reason.name`, over `Reason.facts`."""


_WORK = {
    "hour": "{many} min at ${rate}/h",
    "foot": "{many} ft at ${rate}/ft",
    "each": "{many} beam(s) at ${rate} each",
}


def reason_sentence(reason: Reason) -> str:
    """The sentence for one reason of an estimate; what a stage comes to is told as minutes, feet
    or beams at their price, rounded to two places, so that it can be reckoned again."""
    told = {k: ", ".join(v) if isinstance(v, tuple) else v for k, v in reason.facts.items()}
    if "per" in reason.facts:
        many = f"{reason.facts['many']:f}".rstrip("0").rstrip(".")
        told["work"] = _WORK[str(told["per"])].format(many=many, rate=told["rate"])
    return REASONS[reason.name].format(**told)
