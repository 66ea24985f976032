"""Help: what to do next here, the keys that work here, and the cautions for the work."""

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import Screen
from textual.widgets import Label, Static

from crewdesk.job.answer_cut import open_cuts
from crewdesk.job.run_sheet import RunSheet
from crewdesk.job.stages import Stages
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Question
from crewdesk.screens.cautions import cautions_told, stage_of_work
from crewdesk.screens.named_keys import NamedKeys, with_keys
from crewdesk.screens.page import Page

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

_KEY, _COLUMN, _WIDE = 10, 33, 78
_KEYS = "{cautions}: cautions.  {leave}: leave."
_KEYS_OF_CAUTIONS = (
    "{stage-before}, {stage-after}: other stages.  {cautions}: keys.  {leave}: leave."
)


def open_help(app: "CrewdeskApp") -> None:
    """Open the help for what is in front; again closes it."""
    if isinstance(app.screen, HelpSheet):
        app.screen.dismiss()
        return
    screen = app.screen
    app.push_screen(HelpSheet(_title(screen), _next(app, screen), _keys(app, screen)))


def open_cautions(app: "CrewdeskApp", stage: str) -> None:
    """Open the cautions of a stage of work over what is in front."""
    screen = app.screen
    app.push_screen(HelpSheet(_title(screen), _next(app, screen), _keys(app, screen), stage))


class HelpSheet(NamedKeys, Question[None]):
    """What to do, the keys; and one key away the cautions of a stage."""

    KEYS_OF = "Help"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c", "cautions", "Cautions"),
        Binding("left", "turn(-1)", "Stage before", show=False),
        Binding("right", "turn(1)", "Stage after", show=False),
        Binding("exclamation_mark", "leave", show=False),
        Binding("escape", "leave", "Leave"),
    ]
    DEFAULT_CSS = """
    HelpSheet VerticalScroll { height: auto; max-height: 70vh; scrollbar-size-vertical: 1; }
    HelpSheet #text { height: auto; padding: 0 1 0 0; }
    """

    def __init__(self, title: str, to_do: str, keys: Text, stage: str | None = None) -> None:
        """`stage` is the one whose cautions are shown first, where not the keys."""
        super().__init__()
        self._title = title
        self._to_do = to_do
        self._keys = keys
        self._stage = stage

    @property
    def _crewdesk(self) -> "CrewdeskApp":
        return cast("CrewdeskApp", self.app)

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(classes="title", id="title", markup=False)
            with VerticalScroll():
                yield Static(id="text", markup=False)
            yield Static(classes="about", id="below", markup=False)

    def on_mount(self) -> None:
        """Begin with what to do."""
        self._show()
        self.query_one(VerticalScroll).focus()

    def _show(self) -> None:
        stages = self._stages
        if self._stage is None or stages is None:
            text = Text(f"{self._to_do}\n\n")
            text.append_text(self._keys)
            title, below = self._title, self.with_keys(_KEYS)
        else:
            title = f"Cautions: {plain(stages.name_of(self._stage))}"
            text, below = cautions_told(self._stage), self.with_keys(_KEYS_OF_CAUTIONS)
        self.query_one("#title", Label).update(title)
        self.query_one("#text", Static).update(text)
        self.query_one("#below", Static).update(below)
        self.query_one(VerticalScroll).scroll_home(animate=False)

    @property
    def _stages(self) -> Stages | None:
        from crewdesk.job.usual_stages import USUAL_STAGES

        return self._crewdesk.record.stages if self._crewdesk.job else USUAL_STAGES

    def action_cautions(self) -> None:
        """Show the cautions of the stage of work, or the keys again."""
        self._stage = stage_of_work(self._crewdesk) if self._stage is None else None
        self._show()

    def action_turn(self, by: int) -> None:
        """Show the cautions of another stage."""
        stages = self._stages
        if self._stage is None or stages is None:
            return
        ids = [stage.id for stage in stages]
        self._stage = ids[(ids.index(self._stage) + by) % len(ids)]
        self._show()

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.dismiss()


def _keys(app: App[None], screen: Screen[object]) -> Text:
    """Every key that works on a screen, with its words, out of its bindings."""
    here: dict[str, list[str]] = {}
    inside: dict[str, list[str]] = {}
    everywhere: dict[str, list[str]] = {}
    for active in screen.active_bindings.values():
        binding = active.binding
        if not binding.id:  # What every line to type in and every list can do.
            continue
        told = {app: everywhere, screen: here}.get(active.node, inside)
        told.setdefault(binding.description, []).append(app.get_key_display(binding))
    text = Text()
    for head, told in (("Keys here", here | inside), ("Keys everywhere", everywhere)):
        if told:
            text.append(f"{head}\n", style="bold")
            text.append(f"{_in_columns(told, 1 if app.size.width < _WIDE else 2)}\n")
    text.rstrip()
    return text


def _in_columns(told: dict[str, list[str]], columns: int) -> str:
    """So many keys to a line, and one with many words a line of its own."""
    lines, left = [], ""
    for words, keys in told.items():
        shown = " ".join(dict.fromkeys(keys))
        cell = f"{shown:<{_KEY}} {words}"
        if columns == 1 or len(cell) >= _COLUMN:
            lines += [left, cell]
            left = ""
        elif left:
            lines.append(f"{left:<{_COLUMN}}{cell}")
            left = ""
        else:
            left = cell
    return "".join(f"{line}\n" for line in (*lines, left) if line)


def _title(screen: Screen[object]) -> str:
    return plain(f"Help: {screen.where}") if isinstance(screen, Page) else "Help"


def _next(app: "CrewdeskApp", screen: Screen[object]) -> str:
    """What to do next on a screen."""
    told = WHAT_NEXT.get(type(screen).__name__)
    if told is None:
        return ""
    page = getattr(screen, "KEYS_OF", "")
    return plain(with_keys(told(app), page, app.key))


def _on_jobs(app: "CrewdeskApp") -> str:
    if not app.desk.ids():
        return (
            "Press {new-job} and name your first job; then add its beams, and take their readings."
        )
    return (
        "{open} opens the job under the bar; {new-job} begins another. {everywhere.clock} tells "
        "which clock runs."
    )


def _on_run_sheet(app: "CrewdeskApp") -> str:
    if not app.record.beams:
        return (
            "Press {list-of-beams} and jot the beams down, or {add-beam} for one with all that is "
            "known of it."
        )
    if cuts := len(open_cuts(app.record)):
        count = "1 cut waits" if cuts == 1 else f"{cuts} cuts wait"
        return (
            f"{count} for your answer: a reading, the section or a rule changed since. "
            "{changed-cut} goes there and asks."
        )
    batches = RunSheet(app.record).batches()
    if not batches:
        return (
            "Nothing is ready. {what-is-missing} tells what is missing over the whole job. Or put "
            "the cursor on a cell: the line below the grid says what that piece waits for, and "
            "where to enter it."
        )
    first = batches[0]
    pieces = f"{len(first.spots)} pieces are" if len(first.spots) > 1 else "1 piece is"
    return (
        f"Next in {first.stage.name}: {first.step.name}; {pieces} ready, "
        "{next-ready} goes there. {piece} opens a piece, for its readings and its cut."
    )


def _says(words: str) -> Callable[["CrewdeskApp"], str]:
    return lambda _: words


WHAT_NEXT: dict[str, Callable[["CrewdeskApp"], str]] = {
    "JobsPage": _on_jobs,
    "RunSheetPage": _on_run_sheet,
    "PiecePage": _says(
        "Take the readings that are asked for; the cut shows while you type. Then set the saw by "
        "the marks, each told as seen from the show face of this very board; where they don't all "
        "go in, {scroll} goes down to the rest."
    ),
    "CeilingPage": _says(
        "Type the distance from the laser line (level; on a slope parallel to it) to the ceiling "
        "at each station, for both sides; "
        "the scribe shows while you type, and {save} keeps it."
    ),
    "HoursPage": _says(
        "Look whether the days are right. {mend} mends the entry under the bar, {add} adds one "
        "that the clock missed, {pieces} tells its pieces, {join-with-the-nearest} joins it with "
        "the nearest. {next-odd} goes to what is odd, and {mend} there mends it."
    ),
    "StagesPage": _says(
        "Make the stages your own before the work: rename, add, move or drop them and their "
        "steps; {needs} chooses what a step needs. What is ticked stays ticked. To drop or move a "
        "step that others wait for, give a reason, which is saved and shown."
    ),
    "OtherWorkPage": _says(
        "Keep the kinds of work that you log besides the stages: travel, set-up and the like."
    ),
    "MoneyPage": _says(
        "Numbers turn the leaves. On Material, {takeoff} takes over what the takeoff counts. Then "
        "the price: {accept} once the customer said yes. "
        "{invoice} shows the next invoice as it would be; it goes by what is "
        "ticked, and is issued there."
    ),
    "PreviewPage": _says(
        "Look it through. {issue-it} issues it, for ever, after a question; {other-kind} makes "
        "it a deposit, a progress or the final invoice."
    ),
    "IssuedPage": _says(
        "{save} saves it as PDF or text, to send. {payment} notes money that came in, "
        "{take-payment-out} takes a mistyped one out, {apply-credit} sets what was paid over "
        "against another invoice. An invoice can't be changed: {credit} takes back part of it, "
        "{void} all of it."
    ),
    "MaterialPage": _says(
        "Buy what the list says; {bought} ticks a line or a board as bought. Then cut board "
        "by board, {cut} ticks one as cut. {spoiled} notes a spoiled one and plans the rest around "
        "what is cut; {leftovers-into-stock} at the job's end puts the leftovers into the stock."
    ),
    "StockPage": _says(
        "Keep the sizes, lengths and prices of the boards that you can have, and what lies there "
        "with its bad stretches; every plan of boards is made from these."
    ),
    "ShopPage": _says(
        "{change} changes the line under the bar; it holds for every job from now on."
    ),
    "PastJobsPage": _says(
        "See what your finished jobs took; the rates below rest on them, and every estimate "
        "goes by these rates."
    ),
    "OneNumberPage": _says(
        "Type the number that is asked for; {save-go-on} saves it and asks for the next, and after "
        "the last goes to the next beam. {back-one} goes back one. The mark for the board shows "
        "large as soon as it is known, while you type. After both sides come the walls in plan "
        "and the ceiling, station by station; {save-go-on} alone passes what you do not read. The "
        "ceiling is saved with its last height."
    ),
    "FindSheet": _says(
        "Type some letters of a job, a beam, a reading or a note, or of what you want to do. The "
        "open job is searched at once; what stands in other jobs comes a moment later."
    ),
    "LookUp": _says(
        "Type the beam's number, with some of its room where there are several: all that was read "
        "of it shows, and what it is cut to."
    ),
    "WholeJob": _says(
        "Go down to a line and press {go-there}: a batch opens to be ticked, a piece to be read."
    ),
    "FormsPage": _says(
        "Keep the forms of beam that you make often; a new job begins with one of them."
    ),
    "BeamList": _says(
        "Jot the beams down, a line for each kind: room, how many, how long, width x height. "
        "What is understood stands below; {these-beams} takes it. {list-or-table} makes a "
        "table of it."
    ),
    "GapsSheet": _says(
        "Note each gap with its width, what made it and its cure; {add-a-gap} adds one more. The "
        "wedge that closes it shows while you type; what was found stands in the cut list and the "
        "progress sheet."
    ),
    "AccountsPage": _says(
        "Look who owes since when; {show} shows the invoice, where a payment is noted. "
        "{save-as-csv} saves a year line by line for the bookkeeper, or the totals. "
        "{as-of-a-day} shows how all of it stood at a day's end."
    ),
    "TookPage": _says(
        "See which stages and beams ran over, and why. Log time with its pieces, and each beam "
        "tells what it took; once every step is done, the next estimate goes by this job."
    ),
    "PlannedPage": _says(
        "Plan the days on site; {save-as-calendar} saves them as a calendar that a phone or "
        "the builder can read."
    ),
    "PiecesSheet": _says("Mark the pieces that the time was spent on; {keep} keeps them."),
    "CustomersPage": _says(
        "Enter one for each customer; a job's letters take the address and the days to pay from "
        "the customer that the job names."
    ),
    "Ask": _says("Fill in the lines; what will not do is told in place, and nothing is lost."),
    "Choose": _says("Press the number of the way you want, or go to it and press Enter."),
    "BatchSheet": _says(
        "Every ready piece is marked; {leave-out} takes one out. {tick-group} ticks a "
        "group, {tick-all} all."
    ),
    "ClockSheet": _says(
        "Press the number of the stage you work on; the clock starts there, or switches. Only "
        "one clock runs over all jobs."
    ),
}
"""By a screen's class: what to do next on it."""
