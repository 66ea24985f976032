"""Cuts that a change made doubtful: said at once, asked about, answered."""

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
"""The pages on which the key to answer works."""


class ChangedCuts:
    """What the changes of the open job do to cuts that were made; `told` says it of the last
    one, "" where it did nothing."""

    def __init__(self, app: Host) -> None:
        self._app = app
        self.told = ""

    def keys(self) -> Keys:
        """Which cuts wait for an answer now."""
        return open_keys(self._app.record) if self._app.job is not None else frozenset()

    def look(self, before: Keys) -> None:
        """After a change: see which cuts wait for an answer that didn't before."""
        app = self._app
        if app.job is not None:
            app.job.cuts_before(before)  # looked at now, with what came in
        told = told_since(app.record, before) if app.job is not None else ""
        how = f" {self.how()}" if told and open_cuts(app.record) else ""
        self.told = f"{told}{how}"

    def waiting(self) -> str:
        """What waits for an answer in a job that was just opened, and which key answers; ""
        where nothing does. A business setting may have changed since it was open last."""
        told = told_since(self._app.record, frozenset()) if self.keys() else ""
        return f"{told} {self.how()}" if told and open_cuts(self._app.record) else ""

    def how(self) -> str:
        """Which key answers, from the page in front."""
        page = front(self._app)
        here = page is not None and page.AREA in _ASKED_ON
        key = key_words(self._app.key(KEY)) or "?"
        return f"Press {key} to answer." if here else f"Press {key} on the run sheet to answer."


def cut_asked(app: Program, spot: Spot | None) -> ChangedCut | None:
    """The cut to ask about: one of a piece, else the first of the job; None where none waits."""
    every = open_cuts(app.record)
    return next((one for one in every if one.spot == spot), next(iter(every), None))


def ask_changed_cut(app: Program, cut: ChangedCut) -> None:
    """Ask what becomes of a cut: kept, made again, or what it was cut by put back."""

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
