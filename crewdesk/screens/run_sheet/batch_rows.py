"""The lines of a batch: a group, a board of it, and the stage's cautions."""

from collections.abc import Iterable, Iterator, Sequence, Set
from fractions import Fraction
from textwrap import wrap
from weakref import WeakKeyDictionary

from crewdesk.job.cuts.batches import Group
from crewdesk.job.record import Record
from crewdesk.job.steps.cautions import cautions
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.job.steps.ticks import Spot
from crewdesk.length import show_length
from crewdesk.paper.plain import plain
from crewdesk.paper.text.settings_text import Shown, group_told
from crewdesk.screens.parts.lines import SIGNS, Row
from crewdesk.screens.parts.stick import LEFT, Part, ruled, stick
from crewdesk.sentence import many

_LATER = SIGNS["not ready"]
_LENGTH = "length"
_SEEN: WeakKeyDictionary[object, set[str]] = WeakKeyDictionary()
"""By the program that runs, the stages of which it has shown every caution."""


def key_of(place: int, spot: Spot) -> str:
    """Return the key of a board's line in the group of a place."""
    return f"{place} {spot.beam} {spot.piece}"


def boards_rule(title: str, width: int) -> list[Part]:
    """Return the rule over a group's boards, with the head of their lengths."""
    end = f" {_LENGTH} "
    return [*ruled(title, width - len(end) - 1), (end, "muted"), (LEFT, "rule")]


def group_row(record: Record, one: Shown, place: int, spot: Spot, *, done: bool, width: int) -> Row:
    """Return a group that isn't under the cursor in a line. The cursor comes to it by its board
    `spot`."""
    group = one.group
    text = group.why or group_told(group, record.job.step) or group.cut or "By hand"
    name = plain(f"{one.cut}, {text}" if one.cut and group.machine else text)
    sign = SIGNS["done"] if done else SIGNS["ready"] if group.finished else _LATER
    count = f"  {many(len(group.spots), 'board')} "
    room = max(width - 9 - len(count), 8)
    name = name if len(name) <= room else f"{name[: room - 1]}\u2026"
    return Row(
        (f" {sign} ", "made" if done else "muted"),
        (f"{place + 1:>2}  ", "muted"),
        (f"{name:<{room}}", "muted" if done else "text"),
        (count, "muted"),
        key=key_of(place, spot),
    )


def board_rows(
    record: Record,
    group: Group,
    spot: Spot,
    key: str,
    *,
    ready: bool,
    left_out: bool,
    longest: Fraction,
    width: int,
) -> Iterator[Row]:
    """Return a board with its length as a stick, `longest` being as long as that; then what is
    marked on it alone."""
    beam = record.beam(spot.beam)
    sign = SIGNS["ready"] if spot in group.finished else _LATER
    sign = SIGNS["skipped"] if left_out else sign if ready else SIGNS["done"]
    name = plain(f"{beam.label} \u00b7 {beam.piece(spot.piece).name}")
    wide = min(max(len(name), 22), max(width - 20, 12), 34)
    name = name if len(name) <= wide else f"{name[: wide - 1]}\u2026"
    parts: list[Part] = []
    if (length := group.lengths.get(spot)) is not None:
        shown = show_length(length, record.job.step)
        room = width - wide - 18
        drawn = stick(length, None, longest, room, ink="muted" if ready else "made")
        parts = [*drawn, (f" {shown:>11}", "strong" if ready else "muted")]
    state = "" if ready else "  done"
    state = "  left out" if left_out else state
    if state and parts:  # in place of the stick's end, so that all lengths stand in one column
        parts = [
            *stick(length or 0, None, longest, room - len(state), ink="muted"),
            (state, "muted"),
            *parts[-1:],
        ]
    elif state:
        parts = [(state, "muted")]
    yield Row(
        (f" {sign} ", "muted" if ready else "made"),
        (f"{name:<{wide}} ", "muted" if left_out or not ready else "text"),
        *parts,
        key=key,
    )
    for line in wrap(plain(group.own.get(spot, "")), max(width - 6, 20)):
        yield Row((f"     {line}", "muted"))


class StageCautions:
    """The cautions of a stage: told until all of them were shown once, from then on in a line."""

    def __init__(self, app: object, stage: str) -> None:
        self._app, self._stage = app, stage
        self._seen = stage in _SEEN.get(app, ())

    def were_seen(self) -> None:
        """Keep that all of them were shown while this program runs."""
        _SEEN.setdefault(self._app, set()).add(self._stage)

    def rows(self, key: str, room: int, width: int) -> list[Row]:
        """Return the lines in so many rows, with a rule over them; `key` shows all."""
        every = cautions(self._stage)
        if not every or room < 1:
            return []
        if not self._seen:
            texts: list[str] = []
            shown = 0
            for one in every:
                lines = wrap(plain(f"! {one.text}"), max(width - 3, 20), subsequent_indent="  ")
                if 1 + len(texts) + len(lines) > room:
                    break
                texts += lines
                shown += 1
            if shown == len(every):
                self.were_seen()
            more = f", {len(every) - shown} more: press {key}" if shown < len(every) else ""
            if shown:
                head = Row(*ruled(f"Cautions{more}", width))
                return [head, *(Row((f" {line}", "muted")) for line in texts)]
        return [Row((f" ! {many(len(every), 'caution')}: press ", "text"), (key, "key"))]


def still_fits(opened: Sequence[Group], groups: Sequence[Group], ready: Set[Spot]) -> bool:
    """Return whether the groups are those that a page was opened with, less what was done since;
    `ready` is what is left."""
    before = [
        (one.machine, one.setting, one.cut, left)
        for one in opened
        if (left := tuple(spot for spot in one.spots if spot in ready))
    ]
    return before == [(one.machine, one.setting, one.cut, one.spots) for one in groups]


def first_to_do(groups: Sequence[Group], ready: Set[Spot]) -> int:
    """Return the place of the first group with something to do."""
    return next((at for at, one in enumerate(groups) if ready & set(one.spots)), 0)


def longest_of(groups: Iterable[Group]) -> Fraction:
    """Return the length of the longest board of all groups, 0 if none is known."""
    return max((length for one in groups for length in one.lengths.values()), default=Fraction(0))


def title_of(shown: Sequence[Shown], at: int) -> str:
    """Return a group's place, machine and cut."""
    group = shown[at].group
    title = next((one.cut for one in reversed(shown[: at + 1]) if one.cut), "")
    title = title if group.machine else ""
    place = f"Setting {at + 1} of {len(shown)}" if len(shown) > 1 else "Set"
    named = " \u00b7 ".join(plain(one) for one in (place, group.machine, title) if one)
    return named if group.machine else "No machine to set"


def other_rows(sheet: RunSheet, batch: Batch) -> list[Row]:
    """Return the other batches that are ready, each a line."""
    return [
        Row((f" {len(one.spots):>3}  {plain(f'{one.stage.name}: {one.step.name}')}", "muted"))
        for one in sheet.batches()
        if one.step.id != batch.step.id
    ]
