"""The lines of the jobs page: a job, and how far each stage of it is."""

from decimal import Decimal

from crewdesk.job.beams.missing import BLOCKED, DOUBTFUL, HELD, TO_READ
from crewdesk.job.steps.outlook import Outlook
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.stick import Part, ruled, stick
from crewdesk.sentence import many
from crewdesk.store.folder import Listed
from crewdesk.trade.books.accounts import JobOwed

Standing = tuple[JobOwed | None, Decimal | None]
"""What is owed on a job, and what no invoice has asked for; or None if it isn't known."""
_STICK, _SHORTEST_STICK = 24, 8
_NAME = 26
_BESIDE_STICK = 30
"""Columns of a job's first line that are neither its name's nor the stick's."""


def job_lines(
    one: Listed, seen: Outlook | None, money: Standing, width: int, *, here: bool
) -> list[list[Part]]:
    """Return a job's three lines: how far it is, with its clock; what comes next, and what is
    owed and unbilled; what holds it up, and whose it is. `here` of the one under the cursor."""
    if one.trouble:
        return [[(_cut(f" ! {plain(one.id)}  {plain(one.trouble)}", width), "strong")]]
    text = one.summary
    done, steps = text.get("behind", 0), text.get("steps", 0)
    percent = 100 * done // steps if steps else 0
    name_width = min(_NAME, max(width - _BESIDE_STICK - _SHORTEST_STICK, 12))
    name = _cut(plain(one.name), name_width).ljust(name_width)
    stick_width = min(_STICK, max(width - _BESIDE_STICK - name_width, _SHORTEST_STICK))
    first: list[Part] = [(f" {name} ", "strong"), *stick(done, steps or 1, steps or 1, stick_width)]
    first.append((f" {percent:3d}%  {many(text.get('beams', 0), 'beam')}", "text"))
    if one.put_away:
        first.append(("  put away", "muted"))
    if "running" in text:
        first.append((_cut(f"  ▶ {plain(text['running']['stage'])}", 14), "running"))
    about = " · ".join(plain(text[key]) for key in ("customer", "site") if text.get(key))
    second = _pair(_next(seen, here=here), _money(money), width)
    return [first, second, _pair(_holds(seen), (about, "muted"), width), []]


def stage_lines(name: str, seen: Outlook, width: int) -> list[list[Part]]:
    """Return a job's stages, each with a stick of how far it is and what is ready in it; and
    what is blocked."""
    longest = max((len(plain(one.name)) for one in seen.stages), default=0)
    stick_width = max(min(width - longest - 22, 60), _SHORTEST_STICK)
    lines: list[list[Part]] = [ruled(f"{plain(name)}, by stage", width)]
    for one in seen.stages:
        steps = one.steps or 1
        count = f"{one.done}/{one.steps}" if one.steps else "no steps"
        ready = f"{SIGNS['ready']} {one.ready}" if one.ready else ""
        lines.append(
            [
                (f" {plain(one.name):<{longest}}  ", "text"),
                *stick(one.done, steps, steps, stick_width),
                (f" {count:<9}", "text"),
                (ready, "strong"),
            ]
        )
    if seen.blocked:
        lines.append([(_cut(f" {SIGNS['blocked']} {plain(seen.blocked)}", width), "text")])
    return lines


def _pair(left: Part, right: Part, width: int) -> list[Part]:
    """Return a line with one text at its left and one at its right; the longer is cut."""
    room = width - 5
    share = max(room - len(left[0]), room // 2) if left[0] else room
    end = _cut(right[0], share)
    begin = _cut(left[0], room - len(end) - 2 if end else room)
    gap = " " * max(width - 3 - len(begin) - len(end), 1)
    return [("   ", "text"), (begin, left[1]), (gap, "text"), (end, right[1])]


def _next(seen: Outlook | None, *, here: bool) -> Part:
    """What comes next; the one bright thing where the cursor is."""
    if seen is None:
        return "", "text"
    if seen.pieces:
        return (
            f"{SIGNS['ready']} {seen.pieces} {plain(f'{seen.stage}: {seen.step}')}",
            "set" if here else "strong",
        )
    return ("every step done", "made") if seen.all_done else ("nothing is ready", "text")


def _money(found: Standing) -> Part:
    """What is owed on the job's invoices, and what no invoice has asked for."""
    owed, unbilled = found
    if owed is None and unbilled is None:
        return "", "text"
    from crewdesk.paper.documents.letter import money

    late = ", overdue" if owed and owed.overdue else ""
    text = f"owed {money(owed.balance) if owed else '$0'}{late}"
    text += f", unbilled {money(unbilled)}" if unbilled else ""
    return text, "over" if late else "strong"


def _holds(seen: Outlook | None) -> Part:
    """What holds a job up, the most pressing first."""
    if seen is None or not seen.holds:
        return "", "text"
    words = {
        HELD: "? {} for your answer",
        BLOCKED: f"{SIGNS['blocked']} {{}} blocked",
        DOUBTFUL: "{} in doubt",
        TO_READ: "{} to measure",
    }
    holds = seen.holds
    counted = [text.format(holds[sort]) for sort, text in words.items() if sort in holds]
    reason = f" ({plain(seen.blocked)})" if seen.blocked and len(counted) == 1 else ""
    return f"{' · '.join(counted)}{reason}", "text"


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"
