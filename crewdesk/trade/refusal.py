"""The one way in which the trade says no."""


class Refusal(ValueError):
    """Input that no mark can be made from.

    `why` names the reason in a fixed, lower-case, hyphened form (`length-empty`).
    `facts` holds the values that a sentence about it needs: what was given, what
    would be accepted. `crewdesk.job.sentences` has one sentence for each name.
    """

    def __init__(self, why: str, **facts: object) -> None:
        super().__init__(why)
        self.why = why
        self.facts = facts
