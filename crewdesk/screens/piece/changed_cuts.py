"""Cuts that need an answer after a change: reported, asked about, answered."""

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Change
from crewdesk.job.cuts.answer_cut import board_told, cut_again, keep_cut, steps_opened, take_back
from crewdesk.job.cuts.changed_cut import ChangedCut
from crewdesk.job.cuts.open_cuts import Keys, open_cuts, open_keys, told_since
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.page import front
from crewdesk.screens.parts.program import Host, Program
from crewdesk.sentence import many

KEY = "run-sheet.changed-cut"
_KEEP, _AGAIN, _NEW, _BACK = "keep", "again", "new", "back"
_ASKED_ON = ("run-sheet", "piece")
"""The pages where the answer key works."""


class ChangedCuts:
    """The effects of the open job's changes on made cuts; `told` has the last one's, "" if it had
    none."""

    def __init__(self, app: Host) -> None:
        self._app = app
        self.told = ""

    def keys(self) -> Keys:
        """Return the keys of cuts that need an answer now."""
        return open_keys(self._app.record) if self._app.job is not None else frozenset()

    def look(self, before: Keys) -> None:
        """Find cuts that need an answer only since a change."""
        app = self._app
        if app.job is not None:
            app.job.cuts_before(before)  # compared now, with merged changes
        text = told_since(app.record, before) if app.job is not None else ""
        how = f" {self.how()}" if text and open_cuts(app.record) else ""
        self.told = f"{text}{how}"

    def waiting(self) -> str:
        """Return the cuts that need an answer in a job just opened, and the answer key; "" if none.
        A business setting may have changed since the last time."""
        text = told_since(self._app.record, frozenset()) if self.keys() else ""
        return f"{text} {self.how()}" if text and open_cuts(self._app.record) else ""

    def how(self) -> str:
        """Return the key to answer, from the page in front."""
        page = front(self._app)
        here = page is not None and page.AREA in _ASKED_ON
        key = key_words(self._app.key(KEY)) or "?"
        return f"Press {key} to answer." if here else f"Press {key} on the run sheet to answer."


def cut_asked(app: Program, spot: Spot | None) -> ChangedCut | None:
    """Return the cut to ask about: one of a piece, else the first of the job; None if there is
    none."""
    every = open_cuts(app.record)
    return next((one for one in every if one.spot == spot), next(iter(every), None))


def ask_changed_cut(app: Program, cut: ChangedCut) -> None:
    """Ask about a cut: keep it, cut again, or restore what it was cut by."""

    from crewdesk.screens.parts.ask import choose

    spot, step_id = cut.spot, cut.step_id
    step = app.record.stages.step(step_id)
    keep = () if cut.clash else ((_KEEP, "Keep it as it was cut, with a reason"),)
    ways = [
        *keep,
        (_AGAIN, f"Cut it again: {_opens(app, cut)}"),
        (_NEW, "Cut it from a new board: every step of this piece opens again"),
    ]
    if (back := _back(app, cut)) is not None:
        ways.append((_BACK, f"Take the change back: {back.what}"))

    def chosen(way: str) -> None:
        if way == _KEEP:
            _ask_reason(app, cut)
        elif way == _BACK:
            app.do(lambda record, now: take_back(record, spot, step_id, now))
        else:
            new = way == _NEW
            if app.do(lambda record, now: cut_again(record, spot, step_id, now, new_board=new)):
                app.tell(f"{app.last_told} {board_told(app.record, spot)}", "saved")

    about = "\n".join(filter(None, (cut.told, cut.needs_a_board, *cut.doubts)))
    choose(app, f"{cut.where}: {step.name}", ways, chosen, about=about)


def _opens(app: Program, cut: ChangedCut) -> str:
    more = steps_opened(cut_again(app.record, cut.spot, cut.step_id, app.now())) - 1
    new = "; only a new board helps" if cut.needs_a_board else ""
    if not more:
        return f"this step opens again{new}"
    return f"this step and {many(more, 'later one')} open again{new}"


def _back(app: Program, cut: ChangedCut) -> Change | None:
    try:
        return take_back(app.record, cut.spot, cut.step_id, app.now())
    except CrewdeskError:
        return None


def _ask_reason(app: Program, cut: ChangedCut) -> None:
    from crewdesk.screens.parts.ask import Field, ask_change

    ask_change(
        app,
        "Keep it as it was cut?",
        (Field("reason", "Why", hint="shown on every sheet afterwards"),),
        lambda record, answer, now: keep_cut(record, cut.spot, cut.step_id, answer["reason"], now),
        about=cut.told,
        does="Keep it",
    )
