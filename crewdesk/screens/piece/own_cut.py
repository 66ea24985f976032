"""The user's own choices: a bottom board's lengths, and how a side is cut to its scribe line."""

from crewdesk.errors import BadInput
from crewdesk.job.beams.chosen_cuts import own_cut, own_scribe_cut, way_typed
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.scribe_settings import CAUTIONS, how_for
from crewdesk.job.cuts.scribe_way import scribe_cut_of
from crewdesk.length import to_type
from crewdesk.screens.parts.ask import Answer, Field, ask_change
from crewdesk.screens.parts.program import Program
from crewdesk.trade.cuts.shop_machine import SCRIBE_CUTS

_ABOUT = (
    "The length to cut instead of the one from the reading. A length over the reading "
    "needs a reason, which shows on every sheet. Leave edge A empty to go by the "
    "reading again."
)
_ABOUT_SCRIBE = (
    f"{', '.join(SCRIBE_CUTS[1:-1])} or {SCRIBE_CUTS[-1]}. Leave it empty to let "
    "crewdesk choose by the board's length, the cut depth and the ceiling."
)


def ask_own_cut(app: Program, spot: Spot) -> None:
    """Ask for both edges' lengths of a bottom, or how a side is scribed, and the reason; then
    keep them."""
    piece = app.record.beam(spot.beam).piece(spot.piece)
    if piece.kind == "side":
        _ask_scribe_cut(app, spot)
        return
    own = piece.own_cut
    if piece.kind != "bottom":
        app.tell("Only the bottom board can have a length of your own.", "wrong")
        return
    step = app.record.job.step
    edge_a, edge_b = (to_type(e, step) for e in (own.edge_a, own.edge_b)) if own else ("", "")
    if own and own.edge_a == own.edge_b:
        edge_b = ""  # One length: edge B follows from the walls.
    fields = (
        Field("edge_a", "Cut edge A", edge_a, "empty: by the reading"),
        Field("edge_b", "Cut edge B", edge_b, "empty: by the walls"),
        Field("reason", "Why, if over the reading", own.reason if own else ""),
    )

    ask_change(
        app,
        "A cut of your own",
        fields,
        lambda record, answer, now: own_cut(record, spot, **answer, now=now),
        about=_ABOUT,
    )


def _ask_scribe_cut(app: Program, spot: Spot) -> None:
    """Ask how a side is cut to its scribe line and why; then save that."""
    beam = app.record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    if "ceiling" not in piece.traits:
        app.tell("This side isn't scribed: it hangs below the ceiling.", "wrong")
        return
    own, step = piece.scribe_cut, app.record.job.step
    machine = app.shop.machine

    def live(answer: Answer) -> str:
        """Return the instructions, with their caution."""
        try:
            way = way_typed(answer["way"])
            if way is None:
                found = scribe_cut_of(beam, piece._replace(scribe_cut=None), machine, step)
                return f"{found.way[0].upper()}{found.way[1:]}: {found.why}."
        except BadInput:
            return ""
        return f"{how_for(beam, piece, way, machine)}\n! {CAUTIONS[way]}"

    ask_change(
        app,
        "How to cut to the scribe line",
        (
            Field(
                "way",
                "Cut to the scribe line",
                own.way if own else "",
                "empty: crewdesk chooses",
                answers=SCRIBE_CUTS[1:],
            ),
            Field("reason", "Why", own.reason if own else ""),
        ),
        lambda record, answer, now: own_scribe_cut(record, spot, **answer, now=now),
        about=_ABOUT_SCRIBE,
        live=live,
    )
