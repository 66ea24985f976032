"""Why an estimate is what it is, in sentences."""

from crewdesk.trade.books.estimate import Reason

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
