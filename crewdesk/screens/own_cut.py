"""The bottom board's lengths where the user wants others than its reading gives."""

from crewdesk.job.change import rows_after
from crewdesk.job.own_cut import own_cut
from crewdesk.job.piece import Spot
from crewdesk.length import to_type
from crewdesk.screens.ask import Answer, Ask, Line
from crewdesk.screens.program import Program

_ABOUT = (
    "The length to cut in place of what the reading gives. One that is longer than its "
    "reading takes a reason, which shows on every sheet. Edge A empty: by the reading again."
)


def ask_own_cut(app: Program, spot: Spot) -> None:
    """Ask for both edges' lengths and the reason; then keep them."""
    piece = app.record.beam(spot.beam).piece(spot.piece)
    own = piece.own_cut
    if piece.kind != "bottom":
        app.tell("Only the bottom board takes a length of your own.", "wrong")
        return
    step = app.record.job.step
    edge_a, edge_b = (to_type(e, step) for e in (own.edge_a, own.edge_b)) if own else ("", "")
    if own and own.edge_a == own.edge_b:
        edge_b = ""  # One length: edge B follows from the walls.
    lines = (
        Line("edge_a", "Cut edge A", edge_a, "empty: by the reading"),
        Line("edge_b", "Cut edge B", edge_b, "empty: by the walls"),
        Line("reason", "Why, if over a reading", own.reason if own else ""),
    )

    def check(answer: Answer) -> None:
        change = own_cut(app.record, spot, **answer, now=app.now())
        app.record.check(rows_after(app.record.tables, change))

    def given(answer: Answer | None) -> None:
        if answer is not None:
            app.do(lambda record, now: own_cut(record, spot, **answer, now=now))

    app.push_screen(Ask("A cut of your own", lines, check, about=_ABOUT), callback=given)
