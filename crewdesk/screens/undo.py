"""Undo and redo of changes since the job was opened."""

from contextlib import suppress

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.page import front
from crewdesk.screens.parts.program import Host
from crewdesk.screens.piece.changed_cuts import ChangedCuts

_JOB, _SHOP = "job", "shop"
Made = tuple[str, str]
"""Whether a change was of the job or the business's record, and its words."""


class Undo:
    """Undo: on a page about the business only its changes, elsewhere the last change of either
    record."""

    def __init__(self, app: Host, cuts: ChangedCuts) -> None:
        self._app, self._cuts = app, cuts
        self._done: list[Made] = []
        self._undone: list[Made] = []

    def note(self, change: Change, *, shop: bool = False) -> None:
        """Record that a change was made."""
        self._done.append((_SHOP if shop else _JOB, change.what))
        self._undone.clear()

    def forget(self) -> None:
        """Forget everything: another job or desk is opened."""
        self._done.clear()
        self._undone.clear()

    def forget_job(self) -> None:
        """Forget the job's changes: it is closed. The business's stay."""
        self._done = [one for one in self._done if one[0] == _SHOP]
        self._undone.clear()

    def told(self, *, of_shop: bool) -> str:
        """What the undo key would undo since the job was opened, or ""; on a page about the
        business, of its record."""
        done = [what for where, what in self._done if where == _SHOP or not of_shop]
        return done[-1] if done else ""

    def back(self) -> None:
        """Undo the latest change; if the business's was made elsewhere since, say so first."""
        done, page = self._done, front(self._app)
        about_shop = page is not None and page.OF_SHOP
        ours = next((what for where, what in reversed(done) if where == _SHOP), "")
        if ours and (about_shop or done[-1][0] == _SHOP):
            with suppress(CrewdeskError):
                latest = self._app.desk.shop.to_undo()
                if latest is not None and latest.what != ours:
                    done.append((_SHOP, latest.what))
                    told = (
                        "Another computer changed your business; its latest change "
                        f"is: {latest.what}."
                    )
                    self._app.tell(told)
                    return
        again = key_words(self._app.key("everywhere.redo"))
        self._turn("undo", f"Undone: {{}}.  To redo it: {again}")

    def again(self) -> None:
        """Redo the change that was undone last."""
        self._turn("redo", "Redone: {}.")

    def _turn(self, way: str, words: str) -> None:
        app = self._app
        of, to = (self._done, self._undone) if way == "undo" else (self._undone, self._done)
        page = front(app)
        about_shop = page is not None and page.OF_SHOP
        where = _SHOP if about_shop else of[-1][0] if of else _JOB
        if where == _JOB and app.job is None:
            return
        if (same := [at for at, made in enumerate(of) if made[0] == where]) != []:
            del of[same[-1]]
        file = app.desk.shop if where == _SHOP else app.job
        waiting = len(app.job.waiting) if app.job else 0
        cuts = self._cuts.keys()
        try:
            change: Change = getattr(file, way)(app.now())
        except CrewdeskError as refused:
            if where == _JOB and app.job is not None and len(app.job.waiting) > waiting:
                to.append((where, app.job.waiting[-1].what))
                app.show_all()
            app.tell(refused.shown(app.shown_step), "wrong")
            app.look_at_signs()
            return
        to.append((where, change.what))
        if where == _SHOP:
            app.look_as_kept()
        self._cuts.look(cuts)
        app.show_made(change, words.format(change.what), shop=where == _SHOP)
        if where == _JOB:
            app.tell_after(words.format(change.what), "")
