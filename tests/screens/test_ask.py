"""A question that was answered before its turn to be fitted came."""

from crewdesk.screens.ask import Choose


def test_a_question_that_is_gone_is_not_fitted() -> None:
    gone = Choose("Which batch?", [("rip", "Rip")])  # nothing of it stands on a screen
    gone.fit()
    assert not gone.query(".question")
