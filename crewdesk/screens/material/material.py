"""The material: which boards to buy, the cuts of each, and their states."""

from collections.abc import Iterable, Sequence
from textwrap import wrap

from textual import on
from textual.widget import Widget

from crewdesk.errors import CrewdeskError
from crewdesk.job.lumber.boards import change_rules, rules_shown, spoil, tick_bought, tick_cut
from crewdesk.job.lumber.buying_list import Buy, buying_list, into_estimate, used_up
from crewdesk.job.lumber.kept import keep, kept_takeoff, label_of, without_board
from crewdesk.job.lumber.takeoff import Board, Takeoff
from crewdesk.job.lumber.task import saws_of
from crewdesk.job.record import Record
from crewdesk.paper.documents.letter import money
from crewdesk.paper.lengths import board_length, feet
from crewdesk.paper.plain import plain
from crewdesk.paper.text.plan_summary import first_cut_text, scarfed, splice_lines
from crewdesk.paper.text.takeoff import (
    cleats_text,
    cuts_compared,
    proof_text,
    rough_pieces,
    used_lines,
    waste_lines,
    without_beams,
)
from crewdesk.screens.material.boards import board_rows, buy_rows, cut_board_picture, text_rows
from crewdesk.screens.material.planning import Planning
from crewdesk.screens.parts.ask import Field, ask_change, filled, make_sure
from crewdesk.screens.parts.inked import Band
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import LinesPage, fit
from crewdesk.screens.parts.picture import Picture
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled
from crewdesk.sentence import many
from crewdesk.store.lumber import give_back, job_task, set_aside

SECONDS = 300
"""The time limit of a plan on the screen; it can be long, since the user can stop it."""
_BUY, _BOARD = "buy:", "board:"
_ROOMY = 22
"""The window's rows from which it shows how close the plan is to the cheapest."""
_TALL = 30
"""The window's rows from which every strip of a board has a line."""
_RULES = (
    Field("species", "Wood", hint="as in the stock list"),
    Field("grade", "Grade", hint="empty for any"),
    Field("saws", "First cut", answers=("rip", "crosscut", "either")),
    Field("kerf", "Kerf", hint="of the crosscut saw"),
    Field("rip_kerf", "Kerf of the rip"),
    Field("end_trim", "Trim off each end"),
    Field("edge_trim", "Trim off each edge"),
    Field("allowance", "Rough allowance per end", hint="of pieces not measured"),
    Field("splices", "Splices", answers=("none", "scarf", "butt")),
    Field("apart", "  from the partner's"),
    Field("from_centre", "  from the center"),
    Field("shortest", "  shortest part"),
    Field("match", "One board each for", hint="beams, with commas, or all or none"),
    Field("spare_percent", "Spare boards, percent"),
    Field("spare_count", "Spare boards, at least", hint="of each size"),
    Field("cleat", "Width of a cleat"),
    Field("cleat_shortest", "  shortest"),
    Field("keep", "Keep cutoffs from", hint="inches long"),
    Field("nail_spacing", "Nails every"),
    Field("nail_box", "  in a box"),
    Field("bead", "Bead of adhesive"),
    Field("tube", "  fluid ounces a tube"),
    Field("glue", "Glue, thousandths thick", hint="in splices and miters"),
    Field("bottle", "  fluid ounces a bottle"),
    Field("tape_roll", "Yards on a roll of tape"),
    Field("sheet", "Square feet a sheet", hint="of sandpaper lasts for"),
    Field("grits", "  grits"),
    Field("gaps", "Joints with gaps, %", hint="each takes a wedge"),
)


class MaterialPage(LinesPage):
    """The plan of boards; if none is kept, one is made while the page is looked at."""

    WHERE = "{job} · material"
    AREA = "material"
    DEFAULT_CSS = """
    MaterialPage Picture > .picture--mark { color: $dimension; text-style: none; }
    MaterialPage #here { height: 1; text-style: bold; }
    MaterialPage Picture { height: 8; background: $background; }
    MaterialPage.low Picture { height: 6; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._proposed: Takeoff | None = None
        self._wrong = ""

    def above(self) -> Iterable[Widget]:
        yield Band(id="sum")
        yield Planning("s", SECONDS)

    def body(self) -> Iterable[Widget]:
        yield from super().body()
        yield Picture()

    def on_mount(self) -> None:
        """Plan if no plan is kept."""
        if kept_takeoff(self.program.record) is None:
            self.call_after_refresh(self.action_plan)

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the current plan; a change of the beams drops one that wasn't kept."""
        if any(table in ("beams", "job") for table, _ in rows) and self._proposed is not None:
            self._proposed = None
        self.show()
        if not rows and self._wrong and self.takeoff is None and not self._planning.busy:
            self.action_plan()  # the stock may be another now

    @property
    def _planning(self) -> Planning:
        return self.query_one(Planning)

    @property
    def takeoff(self) -> Takeoff | None:
        """The shown plan: the kept one, else the one just made."""
        return self._proposed or kept_takeoff(self.program.record)

    # What is shown

    def rows(self) -> list[Row]:
        record, found = self.program.record, self.takeoff
        low = self.size.height < _TALL
        self.set_class(low, "low")
        sums, width = self.query_one("#sum", Band), max(40, self.size.width - 2)
        if found is None:
            sums.tell(self._without_plan(width))
            return []
        buy = buying_list(found, record.job.cutting.spare)
        sums.tell(self._sums(found, buy, width))
        rows = buy_rows(buy, width - 1, found.cost)
        if wasted := waste_lines(found)[1:]:
            rows += [Row((f" {line}", "muted")) for one in wasted for line in wrap(one, width - 2)]
        rows += board_rows(record, found.boards, width - 1, whole=not low)
        if cuts := cuts_compared(found):
            lines = wrap(cuts.removeprefix("These cuts: "), width - 2)
            rows += text_rows("These cuts", lines, width - 1)
        if splices := splice_lines(record, found.boards, max(12, width // 2 - 4)):
            rows += text_rows("Splices, each board from end 1", splices, width - 1)
        rows += text_rows("Cleats", (cleats_text(found).removeprefix("Cleats: "),), width - 1)
        used = used_lines(used_up(record, found.boards), self.program.shop.packs)
        rows += text_rows("Supplies", used, width - 1)
        return rows

    def _without_plan(self, width: int) -> list[list[Part]]:
        """Return why there is no plan, or how to make one."""
        if self._wrong:
            return [[(line, "wrong")] for line in wrap(f"! {self._wrong}", width)]
        text = "" if self._planning.busy else self.with_keys("No plan. Make one: press {plan-anew}")
        return [[(text, "set")]] if text else []

    def _sums(self, found: Takeoff, buy: tuple[Buy, ...], width: int) -> list[list[Part]]:
        """Return the plan's cost, its bound, its waste, and the next action."""
        record = self.program.record
        count = len(found.boards)
        title = f"{many(count, 'board')}, {feet(found.length)}, {money(found.cost)}"
        lines = [ruled(title + (", not saved" if self._proposed else ""), width)]
        if not self._planning.busy:
            lines.append([self._next(found, buy, width)])
        if self.size.height < _ROOMY:
            left_out = f"! Planned {without_beams(found.unmeasured)}." if found.unmeasured else ""
            return lines + [[(line, "text")] for line in wrap(left_out, width)]
        proof = proof_text(found)
        wasted = waste_lines(found)
        texts = [f"{proof[:1].upper()}{proof[1:]}", wasted[0]]
        if rough := rough_pieces(record):
            texts.append(f"{len(rough)} pieces aren't measured: planned by rough lengths.")
        lines += [[(line, "muted")] for line in wrap(plain(" ".join(texts)), width)]
        return lines

    def _next(self, found: Takeoff, buy: tuple[Buy, ...], width: int) -> Part:
        """Return the next action: plan the rest, buy, or cut."""
        record = self.program.record
        missing = () if self._proposed is not None else without_board(record)
        if missing:
            act = self.with_keys(": press {plan-anew}")
            text = plain(f"□ Plan {_missing_text(record, missing)}")
            return fit(text, width - len(act)).rstrip() + act, "set"
        short = next((one for one in buy if one.left), None)
        if short is not None:
            text = f"□ Buy {short.left} of {short.label}, {board_length(short.length)}: press "
            return plain(text) + self.with_keys("{bought} on its line"), "set"
        uncut = next((one for one in found.boards if one.state == "bought"), None)
        if uncut is not None:
            text = f"□ Cut board {uncut.row}, {uncut.label}: press "
            return plain(text) + self.with_keys("{cut} on its line"), "set"
        return "Every board is cut.", "text"

    def about(self, key: str) -> str:
        text, picture = self.query_one("#here"), self.query_one(Picture)
        board = self._board_here()
        text.display = picture.display = board is not None
        if board is None:
            picture.show(None)
            return ""
        record = self.program.record
        step = record.job.step
        cut = "ruined" if board.state == "spoiled" else first_cut_text(board, step)
        names = {one: label_of(record, one) for one in board.pieces}
        scarfs, saws = scarfed(record, (board,)), saws_of(record.job.cutting)
        picture.show(
            lambda columns, rows: cut_board_picture(
                board, names, saws, step, columns, rows, scarfs=scarfs
            )
        )
        return plain(f"Board {board.row}, {board.label}: {cut}")

    def _board_here(self) -> Board | None:
        """Return the board under the cursor; on a line to buy, the first of them."""
        found, rows = self.takeoff, self._here()
        if found is None or not rows:
            return None
        return next((one for one in found.boards if one.row == rows[0]), None)

    def _rows_of(self, key: str) -> tuple[str, ...]:
        if key.startswith(_BOARD):
            return (key.removeprefix(_BOARD),)
        if key.startswith(_BUY):
            return tuple(key.removeprefix(_BUY).split(","))
        return ()

    # Planning, away from the screen

    def action_plan(self) -> None:
        if self._planning.busy:
            self.tell("A plan is being made. Press s to stop it with the best so far.")
            return
        app = self.program
        assert app.job is not None
        try:
            task = job_task(app.desk, app.job.id, app.job)
        except CrewdeskError as refused:
            self._fail(refused)
            return
        self._wrong = ""
        self._planning.begin(task)
        self.show()

    def action_stop(self) -> None:
        if not self._planning.busy:
            self.tell("No plan is being made.")
            return
        self._planning.stop()

    @on(Planning.Made)
    def made(self, event: Planning.Made) -> None:
        """Show the plan; keep it at once if it was made around cut boards."""
        self._proposed = event.takeoff
        text = "Stopped. This is the best plan so far." if event.stopped else "The plan is made."
        self.tell(text)
        if kept_takeoff(self.program.record) is not None:
            self._keep()
        self.show()

    @on(Planning.Failed)
    def failed(self, event: Planning.Failed) -> None:
        """Say why there is no plan."""
        self._fail(event.refused)

    def _fail(self, refused: CrewdeskError) -> None:
        """Show the error once: in the lowest line if there is a plan, else in the plan's place."""
        self._wrong = refused.shown(self.program.shown_step)
        shown = self.takeoff is not None
        self.tell(self._wrong if shown else "", "wrong" if shown else "")
        self.show()

    # The keys that mark boards

    def _keep(self) -> bool:
        """Keep the plan just made, if any; return whether one is kept then."""
        app, found = self.program, self._proposed
        if found is None:
            if kept_takeoff(app.record) is None:
                self.tell("There is no plan. Press r to make one.", "wrong")
                return False
            return True
        if not app.do(lambda record, now: keep(record, found, now)):
            return False
        self._proposed = None
        assert app.job is not None
        try:
            set_aside(app.desk, app.job, app.now())
        except CrewdeskError as refused:
            self.tell(refused.shown(app.shown_step), "wrong")
        self.show()
        return True

    def _here(self) -> tuple[str, ...]:
        return self._rows_of(self.key)

    @on(Lines.Chosen)
    def action_bought(self) -> None:
        rows = self._here()
        if not self._planning.busy and rows and self._keep():
            self.program.do(lambda record, now: tick_bought(record, rows, now))

    def action_cut(self) -> None:
        if (row := self._one_board()) is not None:
            self.program.do(lambda record, now: tick_cut(record, (row,), now))

    def _one_board(self) -> str | None:
        key = self.key
        if not key.startswith(_BOARD):
            self.tell("Go to one board, below the list to buy.", "wrong")
            return None
        return key.removeprefix(_BOARD) if not self._planning.busy and self._keep() else None

    def action_spoil(self) -> None:
        row = self._one_board()
        if row is None:
            return
        app = self.program
        ask_change(
            app,
            f"Board {row} is ruined",
            (Field("bad", "Defect from .. to", hint="40..43, 90..92; empty: all of it"),),
            lambda record, answer, now: spoil(record, row, answer["bad"], now),
            then=lambda _: self.action_plan() if without_board(app.record) else None,
            does="Mark it and plan the rest again",
            about="Inches from the board's first end. What is cut already stays as it is.",
        )

    def action_rules(self) -> None:
        ask_change(
            self.program,
            "How boards are cut",
            filled(_RULES, rules_shown(self.program.record)),
            lambda record, answer, now: change_rules(record, answer, now),
            then=lambda _: self.action_plan(),
            does="Save, and plan again",
        )

    def action_estimate(self) -> None:
        app, found = self.program, self.takeoff
        if found is not None:
            shop = app.shop
            app.do(lambda record, now: into_estimate(record, found, shop, now))

    def action_leftovers(self) -> None:
        app = self.program

        def put_in() -> None:
            if app.job is None:
                return
            try:
                change = give_back(app.desk, app.job, app.now())
            except CrewdeskError as refused:
                self.tell(refused.shown(app.shown_step), "wrong")
                return
            self.record_changed(frozenset())
            self.tell(f"Saved: {change.what}.", "saved")

        make_sure(
            app,
            "Put this job's cutoffs into stock?",
            "The job is cut; put them in",
            put_in,
            about="Do this once, at the job's end. The next job's plan uses them first.",
        )


def _missing_text(record: Record, missing: Sequence[str]) -> str:
    """What has no board: the pieces of the first such beam, and whether there are more."""
    for beam in record.beams:
        head = f"{beam.label} "
        names = [one.removeprefix(head) for one in missing if one.startswith(head)]
        if names:
            more = " and more" if len(missing) > len(names) else ""
            return f"{beam.label}: {', '.join(names)}{more}"
    return ", ".join(missing)
