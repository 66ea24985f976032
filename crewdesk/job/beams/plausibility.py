"""Check whether a reading is plausible, compared with the beam's other readings."""

from datetime import UTC, datetime
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import (
    a_over_b,
    edges_between,
    level_of,
    measured,
    places_of,
    read_with,
    rooms_at,
    slants_of,
    squares_of,
)
from crewdesk.job.beams.other_shape import holds_still, read_for_other
from crewdesk.job.beams.piece import PARTNER, Piece
from crewdesk.job.beams.readings import ENDS, NAMES, OF_KIND, READING_KINDS, Reading
from crewdesk.job.cuts.as_built import built_figure
from crewdesk.job.cuts.bottoms import cut_of, own_refused
from crewdesk.job.cuts.cleats import reveal_of
from crewdesk.job.cuts.cut import in_sentence
from crewdesk.length import (
    SIXTY_FOURTH,
    THIRTY_SECOND,
    Length,
    exact,
    mixed,
    rounded_up,
    show_length,
)
from crewdesk.sentence import in_mm
from crewdesk.trade.cuts.instruments import apart_off
from crewdesk.trade.cuts.measured import Measured
from crewdesk.trade.cuts.side_board import side_cut
from crewdesk.trade.cuts.sureness import ends_must_agree, must_agree

ON_THE_LINE = THIRTY_SECOND
"""The most that a length between walls can be off because of the line the tape is held along, in
inches (common practice, no source)."""
ZERO = Fraction(0)

ROUGH_OFF_AT_MOST = Fraction(6)
"""The first run of a beam may differ from the rough length by this much, in inches (common
practice, no source): a rough length is given to the foot."""
REVEAL_OFF_AT_MOST = Fraction(1, 32)
"""A reveal that differs from the section's by more must be measured twice, in inches (common
practice, no source)."""
ASKEW = Fraction(1, 12)
"""Walls that are out of square by more than this between them, over the beam's width, need squares
or second readings as proof (common practice, no source)."""
STEEP = Fraction(1, 12)
"""A wall that leans more than this, gap over level, must be measured twice (common practice, no
source); walls that pass for plumb lean a tenth of it."""


def _in(beam: Beam, value: Length) -> str:
    """Return a length for a sentence, in the job's unit."""
    return in_sentence(value, beam.habits.step)


def _bare(beam: Beam, value: Length) -> str:
    """Return the same without its unit, before another length that has it."""
    return _in(beam, value).removesuffix(" in")


def _in_feet(beam: Beam, value: Fraction) -> str:
    return _in(beam, value) if beam.habits.step.mm else show_length(value, feet=True)


def _in_twelve(beam: Beam, ratio: Fraction) -> str:
    """Return a wall out of square in words, in the job's unit: over 12 in, or over a meter."""
    if beam.habits.step.mm:
        return f"{round(ratio * 1000)} mm a meter"
    return f"{show_length(ratio * 12)} in 12"


def _within(beam: Beam, off: Length) -> str:
    """Return an allowed difference, rounded up to 1/64 in or half a millimeter."""
    shown = mixed(rounded_up(off, SIXTY_FOURTH))
    return (beam.habits.step.mm and in_mm(shown, beam.habits.step)) or f"{shown} in"


def doubt(beam: Beam, piece: Piece, what: str, reading: Reading | None = None) -> str | None:
    """Return None if the reading is plausible, else a sentence that says why not.

    reading: a reading that is being typed, instead of the record's.
    """
    reading = reading or piece.latest(what)
    if reading is None:
        return None
    if what == "reveal":
        return _reveal(beam, piece, reading)
    return (
        read_for_other(beam, piece, what, reading)
        or _by_itself(beam, piece, what, reading)
        or _disagrees(beam, piece, what, reading)
        or (_off_the_rough(beam, piece, reading) if what == "run" else None)
        or (_steep(beam, piece, what, reading) if what in ENDS else None)
    )


def doubtful_walls(beam: Beam) -> str | None:
    """Return None if both walls' squares agree with the sides' lengths and the bottom's edges, else
    a sentence that says why not."""
    sides = [beam.pieces[key] for key in ("A", "B") if key in beam.pieces]
    runs = [run for one in sides if (run := one.latest("run")) and holds_still(beam, one, run)]
    found = _runs_against_squares(beam, *runs) if len(runs) == 2 else None
    bottom = beam.pieces.get("bottom")
    if found is None and bottom is not None and (edge_b := bottom.latest("edge_b")) is not None:
        found = _against_squares(beam, bottom, "edge_b", edge_b)
    return found


def _reveal(beam: Beam, piece: Piece, reading: Reading) -> str | None:
    """Check that the measured reveal is the one that the cleats were set for, unless it was
    measured twice."""
    wanted = reveal_of(beam, beam.habits.cleat)
    again = [one for one in piece.readings.get("reveal", ()) if one is not reading]
    if abs(reading.value - wanted) <= REVEAL_OFF_AT_MOST or any(
        abs(one.value - reading.value) <= REVEAL_OFF_AT_MOST for one in again
    ):
        return None
    whose = "section's" if wanted == beam.section.reveal else "kept cleat line's"
    return (
        f"{beam.label} {piece.name}: a reveal of {_in(beam, reading.value)} is off the "
        f"{whose} {_in(beam, wanted)}. Measure it again, and type it again if it is "
        "right."
    )


def _by_itself(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    if what in ENDS:
        return _end(beam, piece, what, reading)
    least, most = READING_KINDS[what].believed or (reading.value, reading.value)
    if not least <= reading.value <= most:
        return (
            f"{_in(beam, reading.value)} for the {NAMES[what]} of {beam.label} {piece.name} "
            f"seems wrong; it should be from {_in(beam, least)} "
            f"to {_in_feet(beam, most)}. Measure it again."
        )
    if what == "run":
        return _run(beam, piece, reading)
    return _opening(beam, piece, what, reading) if what in ("opening", "edge_b") else None


def _disagrees(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    """Check that a reading agrees with an earlier one of the same thing.

    Implausible readings, and openings measured before the sides were up, don't count.
    """
    apart = ""
    for one in piece.readings.get(what, ()):
        if one is reading or not holds_still(beam, piece, one):
            continue
        if _by_itself(beam, piece, what, one) is not None:
            continue
        if what in OF_KIND["bottom"] and one.when < _sides_up(beam) <= reading.when:
            continue
        try:
            _must_agree(beam, piece, what, one, reading)
        except BadInput as refusal:
            apart = refusal.shown(beam.habits.step)
        else:
            return None
    return f"{beam.label} {piece.name}, {NAMES[what]}: {apart}" if apart else None


def _off_the_rough(beam: Beam, piece: Piece, reading: Reading) -> str | None:
    """Check a beam's first run against its rough length. A second run of either side that agrees
    with it settles the question."""
    partner = beam.pieces.get(PARTNER[piece.key])
    again = any(one is not reading for one in _runs(beam, piece))
    if beam.rough is None or again or (partner is not None and partner.latest("run") is not None):
        return None
    if abs(reading.value - beam.rough) <= ROUGH_OFF_AT_MOST:
        return None
    return (
        f"{_in(beam, reading.value)} for the {NAMES['run']} of {beam.label} "
        f"{piece.name} is far from the {_in(beam, beam.rough)} listed for the beam. "
        "Measure it again."
    )


def _steep(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    """Check a large lean: it must be measured twice, since 3 may be an unfinished 3/16."""
    again = any(one is not reading for one in piece.readings.get(what, ()))
    if again or reading.value <= reading.level * STEEP:
        return None
    return (
        f"{beam.label} {piece.name}, {NAMES[what]}: a gap of {_in(beam, reading.value)} "
        f"over {_in(beam, reading.level)} is a wall far out of plumb. Measure it again."
    )


def _sides_up(beam: Beam) -> datetime:
    """Return when the last side was nailed up, or a date long ago if none was."""
    up = [m.when for piece in beam.pieces.values() if (m := piece.steps.get("nail-side"))]
    return max(up, default=datetime.min.replace(tzinfo=UTC))


def _must_agree(beam: Beam, piece: Piece, what: str, one: Reading, other: Reading) -> None:
    if what in ENDS:
        levels = (level_of(beam, one), level_of(beam, other))
        ends_must_agree(one.end, other.end, beam.height(piece.key), levels)
    else:
        allowed = apart_off(read_with(beam, one), read_with(beam, other))
        must_agree(one.value, other.value, allowed)


def _end(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    try:
        _ = reading.end
    except BadInput as refusal:
        return f"{beam.label} {piece.name}, {NAMES[what]}: {refusal.shown(beam.habits.step)}"
    return None


def _run(beam: Beam, piece: Piece, reading: Reading) -> str | None:
    end1, end2 = piece.latest("end1"), piece.latest("end2")
    if end1 is not None and end2 is not None:
        try:
            side_cut(reading.value, beam.height(piece.key), end1.end, end2.end)
        except BadInput as refusal:
            return f"{beam.label} {piece.name}: {refusal.shown(beam.habits.step)}"
    partner = beam.pieces.get(PARTNER[piece.key])
    other = partner.latest("run") if partner else None
    if partner is None or other is None or not holds_still(beam, partner, other):
        return None
    apart, width = abs(reading.value - other.value), beam.section.width
    differ = (
        f"The wall-to-wall lengths of {beam.label} side A and side B differ by {_in(beam, apart)}"
    )
    if apart > width:
        return (
            f"{differ}, more than the beam is wide. Measure both again and type them "
            "among their readings."
        )
    if _both_squared(beam):
        a, b = (reading, other) if piece.key == "A" else (other, reading)
        return _runs_against_squares(beam, a, b)
    if any(abs(reading.value - one.value) <= width * ASKEW for one in _runs(beam, partner)):
        return None
    if _read_twice(beam, piece, reading) and _read_twice(beam, partner, other):
        return None
    return (
        f"{differ}, so the walls would be out of square by "
        f"{_in_twelve(beam, apart / width)} between them. Measure the walls with the "
        "square, or both lengths again."
    )


def _both_squared(beam: Beam) -> bool:
    """Return whether the squares at both walls count; along a slope they take the ends' readings
    too, and one of those that makes no wall is said of itself."""
    try:
        return None not in squares_of(beam)
    except BadInput:
        return False


def _runs_against_squares(beam: Beam, side_a: Reading, side_b: Reading) -> str | None:
    """Return None unless the difference of the runs contradicts the squares at both walls by more
    than the instruments' errors; else a sentence that says why not."""
    squared = a_over_b(beam)
    if squared is None:
        return None
    lasered = side_a.value - side_b.value
    within = apart_off(read_with(beam, side_a), read_with(beam, side_b)) + squared.off
    within += ON_THE_LINE
    if abs(lasered - squared.value) <= within:
        return None
    return (
        f"By the lengths of {beam.label}, {_longer(beam, lasered, 'side')}; by the "
        f"squares at both walls, {_longer(beam, squared.value, 'side')}. They may "
        f"differ by {_within(beam, within)}. Measure both lengths again; if they stay, "
        "measure the walls again."
    )


def _read_twice(beam: Beam, piece: Piece, reading: Reading) -> bool:
    """Return whether another reading of a piece's run agrees with one."""
    return any(
        one is not reading
        and abs(one.value - reading.value)
        <= apart_off(read_with(beam, one), read_with(beam, reading))
        for one in _runs(beam, piece)
    )


def _runs(beam: Beam, piece: Piece) -> list[Reading]:
    """Return a side's wall-to-wall lengths that are valid for the current shape."""
    return [one for one in piece.readings.get("run", ()) if holds_still(beam, piece, one)]


def _opening(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    typed = {} if reading is piece.latest(what) else {what: reading}
    if (own := own_refused(beam, piece, typed)) is not None:
        if built_figure(beam, piece.key, "edge_a") is None:
            text = own.shown(beam.habits.step)
            return f"{beam.label} bottom: {text} Until then its marks follow the reading."
        piece = piece._replace(own_cut=None)  # it is cut, and kept
    try:
        cut_of(beam, piece, typed)
    except BadInput as refusal:
        return f"{beam.label} bottom: {refusal.shown(beam.habits.step)}"
    expected, along = _expected(beam, piece, what)
    if not expected:
        return _against_squares(beam, piece, what, reading)
    low, high = min(expected), max(expected)
    within = max(low.off, high.off) + measured(beam, reading).off + ON_THE_LINE
    if low.value - within <= reading.value <= high.value + within:
        return _against_squares(beam, piece, what, reading)
    given = _in(beam, high.value)
    if _in(beam, low.value) != given:
        given = f"{_bare(beam, low.value)} to {given}"
    return (
        f"{_in(beam, reading.value)} between the walls of {beam.label}{along} doesn't "
        f"fit the sides' readings, which give {given}, within {_within(beam, within)}. "
        f"Measure it again{along}; if it stays, {_what_else(beam)}."
    )


def _what_else(beam: Beam) -> str:
    """Return what to measure if a length between the walls still contradicts the sides' readings.
    One run alone doesn't show that the walls are square to the beam."""
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    read = [one for one in sides if one.latest("run") is not None]
    if len(read) > 1:
        return "measure both sides wall to wall again"
    again = f"measure {read[0].name} wall to wall again"
    if _both_squared(beam):
        return again
    if len(sides) > len(read):
        return f"{again} and {next(one for one in sides if one not in read).name}'s too"
    return f"{again} and the square at both walls"


def _against_squares(beam: Beam, piece: Piece, what: str, reading: Reading) -> str | None:
    """Return None unless the difference of edges A and B contradicts the squares at both walls by
    more than the instruments' errors; else a sentence that says why not."""
    edge_a = piece.latest("opening")
    first, second = slants_of(beam)
    if what != "edge_b" or edge_a is None or first is None or second is None:
        return None
    board = beam.boards[piece.key]
    across = exact(board.width + board.narrowed)
    across -= board.stock
    taped, squared = edge_a.value - reading.value, (first.value + second.value) * across
    within = apart_off(read_with(beam, edge_a), read_with(beam, reading))
    within += (first.off + second.off) * across
    if abs(taped - squared) <= within:
        return None
    return (
        f"{beam.label} {piece.name}: {_longer(beam, taped)} by its readings, and "
        f"{_longer(beam, squared)} by the squares at both walls. They may differ by "
        f"{_within(beam, within)}. Measure both edges again; if they stay, measure the "
        "walls again."
    )


def _longer(beam: Beam, a_over_b: Fraction, what: str = "edge") -> str:
    """Return how the bottom's two edges or the two sides differ, as part of a sentence."""
    by = _in(beam, abs(a_over_b))
    if by.split()[0] == "0":
        return f"both {what}s are equally long"
    return f"{what} {'A' if a_over_b > 0 else 'B'} is {by} longer"


def _expected(beam: Beam, piece: Piece, what: str) -> tuple[tuple[Measured, ...], str]:
    """Return the expected lengths between the walls along the lines that may have been measured, by
    the sides' readings, and in words which line it is, if known; none if they aren't enough.

    With one run alone the walls count as square, unless squares say otherwise. A single line may be
    anywhere between both edges; if squares at both walls give edge B, it counts as edge A's.
    """
    on_reveal = beam.boards[piece.key].first_edge == "relief"
    height = reveal_of(beam, beam.habits.cleat) if on_reveal else ZERO
    try:
        edge_a, edge_b = edges_between(beam, height, places_of(beam, piece))
    except BadInput:  # the side's own check reports this
        return (), ""
    if edge_a is None or edge_b is None:
        along = " along edge B" if what == "edge_b" else ""
        return tuple(one for one in rooms_at(beam, height) if one is not None), along
    if what == "edge_b":
        return (edge_b,), " along edge B"
    if piece.latest("edge_b") is not None or _both_squared(beam):
        return (edge_a,), " along edge A"
    return (edge_a, edge_b), ""
