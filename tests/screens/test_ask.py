"""A question that was answered before its turn to be fitted came; the line that is refused."""

import pytest

from crewdesk.screens.ask import Choose, Line, refused_line


def test_a_question_that_is_gone_is_not_fitted() -> None:
    gone = Choose("Which batch?", [("rip", "Rip")])  # nothing of it stands on a screen
    gone.fit()
    assert not gone.query(".question")


@pytest.mark.parametrize(
    ("answer", "refused"),
    [
        ({"gap": "1/4", "longer": "left", "leg": "24"}, "longer"),  # its text is told
        ({"gap": "1/4", "longer": "", "leg": "24"}, "gap"),
        ({"gap": "x", "longer": "a", "leg": "12"}, "gap"),
        ({"gap": "", "longer": "a", "leg": "24"}, None),  # nothing was typed that is wrong
    ],
)
def test_one_is_put_into_the_line_that_is_refused(answer, refused) -> None:
    def told_of(given: dict[str, str]) -> str:
        if not given["gap"]:
            return "No gap was given."
        if given["gap"] == "x":
            return "x is not a length."
        if not given["longer"]:
            return "Say which side is the longer."
        return "" if given["longer"] in "ab" else f"The longer side is {given['longer'].upper()}."

    lines = (Line("gap", "Gap"), Line("longer", "Longer side"), Line("leg", "Leg", "24"))
    assert refused_line(lines, answer, told_of) == refused
