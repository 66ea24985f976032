"""How a side is cut to its scribe line where you want another way than its board gives."""

from crewdesk.errors import BadInput
from crewdesk.job.change import rows_after
from crewdesk.job.own_scribe_cut import own_scribe_cut, way_typed
from crewdesk.job.piece import Spot
from crewdesk.job.scribe_settings import CAUTIONS, how_for
from crewdesk.job.scribe_way import scribe_cut_of
from crewdesk.job.shop_machine import SCRIBE_CUTS
from crewdesk.screens.ask import Answer, Ask, Line
from crewdesk.screens.program import Program

_ABOUT = (
    f"{', '.join(SCRIBE_CUTS[1:-1])} or {SCRIBE_CUTS[-1]}. "
    "Leave it empty to go by the board's length, the depth of the cut and the ceiling."
)


def ask_own_scribe_cut(app: Program, spot: Spot) -> None:
    """Ask how a side is cut to its scribe line and why; then keep that."""
    beam = app.record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    if "ceiling" not in piece.traits:
        app.tell("This side isn't scribed: it hangs below the ceiling.", "wrong")
        return
    own, step = piece.scribe_cut, app.record.job.step
    machine = app.desk.shop.shop().machine
    lines = (
        Line("way", "Cut to the scribe line", own.way if own else "", "empty: by the board"),
        Line("reason", "Why", own.reason if own else ""),
    )

    def check(answer: Answer) -> None:
        change = own_scribe_cut(app.record, spot, **answer, now=app.now())
        app.record.check(rows_after(app.record.tables, change))

    def live(answer: Answer) -> str:
        """How to go about it, with its caution."""
        try:
            way = way_typed(answer["way"])
            if way is None:
                found = scribe_cut_of(beam, piece._replace(scribe_cut=None), machine, step)
                return f"{found.way[0].upper()}{found.way[1:]}: {found.why}."
        except BadInput:
            return ""
        return f"{how_for(beam, piece, way, machine)}\n! {CAUTIONS[way]}"

    def given(answer: Answer | None) -> None:
        if answer is not None:
            app.do(lambda record, now: own_scribe_cut(record, spot, **answer, now=now))

    app.push_screen(
        Ask("How to cut to the scribe line", lines, check, about=_ABOUT, live=live), given
    )
