"""What reads the user's texts and files, each as a function that takes anything at all.

A reader may refuse, with a `BadInput` or `NotAllowed` whose sentence is one line; nothing else
may come out of it. What it takes must hold: a length that is shown can be read again, money
has cents, a stretch of time has a length, a job that was taken in can be told and given out.
"""

import json
import random
from collections.abc import Callable
from copy import deepcopy
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import beams
from crewdesk.job.beams.take import take, typed_reading
from crewdesk.job.change import Change
from crewdesk.job.lumber.stock_list import true_size, typed_bad
from crewdesk.job.parsing import fraction, moment, read_amount, read_date, read_part, read_quantity
from crewdesk.job.record import Record
from crewdesk.job.steps.ticks import Spot, tick
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.job.time.clock import start
from crewdesk.job.time.typed_entry import stage_named, stop_time
from crewdesk.length import DEFAULT_STEP, STEPS, feet_and_inches, mixed, show_length, to_type
from crewdesk.paper.job_document import document_of
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.hours import hours
from crewdesk.paper.text.progress import progress
from crewdesk.trade.angle import read_angle
from crewdesk.trade.books.dates import read_day, read_day_ahead
from crewdesk.trade.books.durations import read_duration
from crewdesk.trade.books.money import read_money, read_percent, read_rate
from crewdesk.trade.books.read_time import Duration, Moment, Span, read_spans, read_time
from crewdesk.trade.books.rounding import Rule, read_rule
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.read_length import read_length
from tests.hostile.strings import CONTROLS, NOT_TAKEN, SAMPLE, TAKEN

NOW = datetime(2026, 3, 10, 17, 0, tzinfo=UTC)
ZONE = ZoneInfo("America/Denver")
LONGEST_SENTENCE = 2500


def held(read: Callable[..., Any], *given: Any, **more: Any) -> Any:
    """What a reader gives, or None where it refuses in one sentence."""
    try:
        return read(*given, **more)
    except CrewdeskError as refusal:
        sentence = str(refusal)
        assert sentence.endswith((".", ";", "?")), sentence
        assert len(sentence) < LONGEST_SENTENCE, len(sentence)
        return None


def lengths(text: str) -> None:
    """Lengths, pitches, angles; as typed and out of a file."""
    for unit in ("in", "mm"):
        if (found := held(read_length, text, unit=unit)) is not None:
            assert isinstance(found, Fraction)
            assert found >= 0
            if max(found.numerator, found.denominator) < 10**8:
                assert read_length(to_type(found, STEPS["mm"]), unit=unit) == found
                assert read_length(f'{mixed(found)}"') == found
                assert read_length(feet_and_inches(found)) == found
            assert len(show_length(found)) < 40
            assert abs(read_length(show_length(found).rstrip("+-")) - found) <= DEFAULT_STEP.size
    held(read_pitch, text)
    held(read_angle, text)
    held(fraction, text, "length")
    held(true_size, text, text)
    held(true_size, text, "")
    held(typed_bad, text, Fraction(96))


def times(text: str) -> None:
    """Times of day, days, durations, rules of rounding; as typed and out of a file."""
    found = held(read_time, text, NOW, ZONE)
    assert found is None or isinstance(found, Span | Moment | Duration)
    if isinstance(found, Span):
        assert found.seconds > 0
    for span in held(read_spans, text, NOW, ZONE) or ():
        assert span.start < span.stop <= NOW
    if (seconds := held(read_duration, text)) is not None:
        assert read_duration(f"PT{seconds}S") == seconds
    for read in (read_day, read_day_ahead):
        day = held(read, text, NOW.date())
        assert day is None or type(day) is date
    rule = held(read_rule, text)
    assert rule is None or isinstance(rule, Rule)
    held(stop_time, NOW.replace(hour=8), text, NOW)
    held(stage_named, USUAL_STAGES, text)
    held(moment, text, "reading")
    held(read_date, text, "payment")


def money(text: str) -> None:
    """Money, rates, percentages, quantities; as typed and out of a file."""
    if (found := held(read_money, text)) is not None:
        assert isinstance(found, Decimal)
        assert found >= 0
        assert found.as_tuple().exponent == -2
        assert read_money(f"{found:,}") == found
        assert held(read_amount, str(found), "price") == found
    held(read_rate, text)
    held(read_rate, text, "each")
    for sort in ("tax", "markup"):
        part = held(read_percent, text, sort)
        assert part is None or 0 <= part <= 300
    held(read_part, text, "tax")
    held(read_amount, text, "price")
    quantity = held(read_quantity, text, "boards")
    assert quantity is None or 0 <= quantity <= 1_000_000


@cache
def small_job() -> dict[str, Any]:
    """The sample job with two beams, a few entries and one of everything else."""
    whole = json.loads(SAMPLE.read_text())
    del whole["history"]
    kept = {key: whole["beams"][key] for key in ("3", "8") if key in whole["beams"]}
    whole["beams"] = kept
    whole["entries"] = dict(list(whole["entries"].items())[-3:])
    for entry in whole["entries"].values():
        entry.pop("pieces", None)
    return whole


@cache
def job_with_history() -> dict[str, Any]:
    """A job of one beam with the changes that led to it, one undone and one made again."""
    record, history, at = Record({}), [], NOW

    def make(change: Change) -> None:
        record.make(change)
        history.append(change)

    make(beams.new_job("Hill house", Section(Fraction(8), Fraction(10)), at))
    make(beams.add_beam(record, "1", "Hall", at, ends=("hearth", "door")))
    spot = Spot("1", "A")
    make(take(record, spot, "run", typed_reading(record, "run", "12' 3", at)))
    make(tick(record, spot, "rip-side", at))
    make(history[-1].taken_back(4, at))
    make(history[3].made_again(4, at))
    make(start(record, "rip", at))
    document: dict[str, Any] = json.loads(json.dumps(to_document(record.tables, history)))
    return document


ODD: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 2**63, 10**15, 1.5, -0.0, 1e308, "", " ", "0", "-1", "1/0", "1/3",
    "1e9", "NaN", "inf", [], {}, [[]], [None], [0, 0], ["1", "2"], {"": ""}, {"x": 1},
    "2026-03-02T07:30:00-05:00", "2026-03-02", "2026-03-02T07:30:00", "9999-12-31T23:59:59+00:00",
    "1970-01-01T00:00:00+23:59", "A", "B", "bottom", "done", "in", "100000000", "6", "1200", "mm",
    *TAKEN[:8], *NOT_TAKEN[:4], *CONTROLS[:4],
)  # fmt: skip


def imports(data: bytes) -> None:
    """A job's file: as it comes, and as one that was changed in a few places."""
    held(lambda: from_document(document_of(data, "job.json")))
    changed(random.Random(data))


def changed(chance: random.Random) -> None:
    """Take in a small job, changed in one to three places; tell it and give it out."""
    document = deepcopy(chance.choice((small_job, job_with_history))())
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        _change(document, chance)
    found = held(from_document, document)
    if found is None:
        return
    record = Record(found[0])
    json.dumps(to_document(*found))
    for tell in (
        lambda: cut_list("job", record, None),
        lambda: progress("job", record),
        lambda: hours("job", record, NOW, Rule()),
    ):
        held(tell)


def _change(document: Any, chance: random.Random) -> None:
    """Change one place: another value, a part left out, doubled or put elsewhere."""
    here, path = document, []
    while isinstance(here, dict | list) and here:
        key = chance.choice(list(here)) if isinstance(here, dict) else chance.randrange(len(here))
        path.append((here, key))
        here = here[key]
        if chance.random() < 0.12:
            break
    if not path:
        return
    parent, key = path[-1]
    act = chance.random()
    if act < 0.65:
        parent[key] = deepcopy(chance.choice(ODD))
    elif act < 0.8:
        del parent[key]
    elif act < 0.9 and isinstance(parent, dict):
        parent[chance.choice(("x", "1", "99", "2", "pitch", "note", "own_cut", key + " "))] = (
            deepcopy(here)
        )
    else:
        other, other_key = chance.choice(path)
        parent[key] = deepcopy(other[other_key])


def text_of(data: bytes) -> str:
    """Bytes as a text; half of them by the alphabet that the readers know."""
    if not data:
        return ""
    if data[0] % 2:
        return data[1:].decode("utf-8", "surrogateescape")
    return "".join(ALPHABET[byte % len(ALPHABET)] for byte in data[1:])


ALPHABET = (
    *"0123456789", *"0123456789", *" .,-/:'\"()+$%", " ", " ", "-", "/",
    "in", "ft", "mm", "cm", "m", "h", "min", "am", "pm", "mon", "yesterday", "2026", "mar", "for",
    "to", "each", "per", "hour", "deg", "x", "e", "_", "nearest", "up", "day", "pt", "t", "z",
    "\u00bd", "\u2032", "\u2033", "\u2044", "\u2212", "\u00a0", "\u0663", "\u00b2", "\uff15", "\n",
)  # fmt: skip

TEXTS: dict[str, Callable[[str], None]] = {"lengths": lengths, "times": times, "money": money}
