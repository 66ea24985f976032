"""Every figure, worked out here once more from the geometry, and shown on the safe side.

Nothing of crewdesk's trade is used: coordinates, Pythagoras and trigonometry. Each length is
taken as its JSON shows it at a step drawn at random, and may lie only on the side that makes no
wrong board: not over where a board must go in, not under where it must be cut from.
"""

import contextlib
import io
import json
import math
from fractions import Fraction as Fr
from itertools import product
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from crewdesk.cli import main

STEPS = {"1/16": Fr(1, 16), "1/32": Fr(1, 32), "1/64": Fr(1, 64), "mm": 1 / Fr("25.4")}
steps = st.sampled_from(sorted(STEPS))


def lengths(low: int, high: int, per: int = 64) -> st.SearchStrategy[Fr]:
    return st.integers(low * per, high * per).map(lambda n: Fr(n, per))


def typed(value: object) -> str:
    """A length as one types it, ``10 1/64``; anything else as it is."""
    if not isinstance(value, Fr) or value.denominator == 1:
        return str(value)
    whole, part = divmod(value, 1)
    return f"{whole} {part}" if whole else str(part)


def read(parts: Any) -> str:
    """A reading of several parts: ``1/8:12:A``."""
    return ":".join(typed(part) for part in parts)


def asked(name: str, step: str, **words: Any) -> Any:
    argv = ["figure", name, "--json", "--step", step]
    for key, value in words.items():
        for one in value if isinstance(value, list) else [value]:
            argv += [f"--{key.replace('_', '-')}={typed(one)}"]
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        assert main(argv) == 0, (argv, err.getvalue())
    return json.loads(out.getvalue())


def exact(value: dict[str, str]) -> float:
    return float(Fr(value["exact"]))


def shown(value: dict[str, str]) -> Fr:
    text = value["shown"].rstrip("+-")
    if text.endswith(" mm"):
        return Fr(text.removesuffix(" mm").rstrip("+-")) / Fr("25.4")
    sign = -1 if text.startswith("-") else 1
    return sign * sum((Fr(part) for part in text.lstrip("-").split()), Fr(0))


def down(value: dict[str, str], true: float | Fr, step: str) -> None:
    assert abs(exact(value) - float(true)) < 1e-9
    assert -1e-9 < float(true) - float(shown(value)) < float(STEPS[step]) + 1e-9


def up(value: dict[str, str], true: float | Fr, step: str) -> None:
    assert abs(exact(value) - float(true)) < 1e-9
    assert -1e-9 < float(shown(value)) - float(true) < float(STEPS[step]) + 1e-9


def near(value: dict[str, str], true: float | Fr, step: str) -> None:
    assert abs(exact(value) - float(true)) < 1e-9
    assert abs(float(shown(value)) - float(true)) <= float(STEPS[step]) / 2 + 1e-9


def tan(degrees: float | Fr) -> float:
    return math.tan(math.radians(float(degrees)))


leans = st.tuples(lengths(0, 1), st.sampled_from(["in", "out"]))


def lean(one: tuple[Fr, str], level: Fr) -> Fr:
    return (1 if one[1] == "in" else -1) * one[0] / level


@given(lengths(20, 240), lengths(4, 16), leans, leans, lengths(9, 78, 1), steps)
def test_end(run: Fr, high: Fr, one: Any, two: Any, level: Fr, step: str) -> None:
    words = {f"end{n}": read(end) for n, end in enumerate((one, two), 1)}
    made = asked("end", step, length=run, height=high, level=level, **words)
    # The walls meet the top edge at x = l1 h and run - l2 h.
    left, right = lean(one, level) * high, run - lean(two, level) * high
    down(made["bottom_length"], run, step)
    down(made["top_length"], right - left, step)
    up(made["blank"], max(run, right) - min(Fr(0), left), step)
    up(made["end1"]["offset"], left, step)
    up(made["end2"]["offset"], run - right, step)


@given(
    lengths(5, 16), lengths(1, 2, 32).filter(lambda t: t < 2), lengths(0, 1), st.integers(0, 30),
    st.integers(0, 8), st.integers(0, 4), steps,
)  # fmt: skip
def test_section_form_and_bottom(
    wide: Fr, thick: Fr, reveal: Fr, bevel: int, flat8: int, fit64: int, step: str
) -> None:
    flat, fit, side = thick * Fr(flat8, 8), Fr(fit64, 64), Fr(3, 4)
    width = wide - 2 * side - fit
    relief = float(thick - flat) * tan(bevel)
    words = {
        "width": wide, "side_thickness": side, "bottom_thickness": thick, "flat": flat,
        "bevel": bevel, "fit": fit,
    }  # fmt: skip
    made = asked("section", step, reveal=reveal, **words)
    down(made["bottom_width"], width, step)
    down(made["bottom_back_width"], float(width) - 2 * relief, step)
    near(made["cleat_line"], reveal + thick, step)
    form = asked("form", step, form="four-sided", height=12, reveal=reveal, **words)
    bottom, top = form["boards"][2:]
    down(bottom["width"], width, step)
    down(bottom["back_width"], float(width) - 2 * relief, step)
    down(top["width"], width, step)
    wall = asked("form", step, form="against-wall", height=12, reveal=reveal, **words)
    down(wall["boards"][1]["width"], wide - side - fit + Fr(1, 4), step)
    room_a, room_b = Fr("120.37"), Fr("120.21")
    cut = asked("bottom", step, edge_a=room_a, edge_b=room_b, undercut="1/32", **words)
    down(cut["edge_a"], room_a - Fr(1, 32), step)
    down(cut["edge_b"], room_b - Fr(1, 32), step)
    down(cut["width"], width, step)
    up(cut["relief"], relief, step)
    # A back's edge lies the relief in from the show face's, where the ends are closer together.
    slant = float(room_a - room_b) / float(width)
    shorter = 2 * relief * math.hypot(1, 0)
    down(cut["back_a"], float(room_a) - 1 / 32 - shorter - slant * relief, step)
    down(cut["back_b"], float(room_b) - 1 / 32 - shorter + slant * relief, step)


@given(lengths(5, 16), lengths(5, 16), st.integers(90, 150), lengths(0, 1), steps)
def test_mitered_form(wide: Fr, high: Fr, corner: int, more: Fr, step: str) -> None:
    thick = Fr(1, 2) + more / 4
    lost = float(thick) * tan(90 - Fr(corner, 2))
    words = {"width": wide, "height": high, "side_thickness": thick}
    side, _, bottom = asked("form", step, form="mitered", corner=corner, **words)["boards"]
    down(side["back_width"], float(high) - lost, step)
    down(bottom["back_width"], float(wide) - 2 * lost, step)
    assert side["first_edge"]["blade_deg"] == bottom["first_edge"]["blade_deg"] == 90 - corner / 2
    box = asked("form", step, form="four-sided-mitered", **words)["boards"]
    down(box[0]["back_width"], high - 2 * thick, step)
    down(box[3]["back_width"], wide - 2 * thick, step)


@given(
    lengths(6, 14), lengths(9, 14), lengths(-2, 2), st.tuples(*[st.integers(1, 12)] * 2),
    lengths(-1, 1), st.integers(0, 3), st.integers(0, 4), steps,
)  # fmt: skip
def test_ridge(
    wide: Fr, drop_a: Fr, more: Fr, pitches: Any, off: Fr, flat4: int, fit: int, step: str
) -> None:
    """A section drawn in coordinates: y across from side A, z up, the ridge at height 0."""
    drop_b, side, thick, flat = drop_a + more, Fr(3, 4), Fr(3, 4), Fr(flat4, 4)
    at = wide / 2 + off  # the ridge's y
    drops = {"A": drop_a, "B": drop_b}
    faces = {"A": (at, at - side), "B": (wide - at, wide - at - side)}
    rise = {"A": Fr(pitches[0], 12), "B": Fr(pitches[1], 12)}
    show, back = (
        {key: drops[key] - far[n] * rise[key] for key, far in faces.items()} for n in (0, 1)
    )
    words = {
        "width": wide, "drop": drop_a, "drop_b": drop_b, "pitch": f"{pitches[0]}/12",
        "pitch_b": f"{pitches[1]}/12", "flat": flat, "fit": Fr(fit, 32),
    }  # fmt: skip
    toward = {"toward_a": max(off, 0), "toward_b": max(-off, 0)}
    if min(show.values()) <= Fr(1, 2):
        return
    made = asked("ridge", step, **words, **toward)
    for key in "AB":
        up(made[f"side_{key.lower()}"]["back_height"], back[key], step)
        # As on the cut list: what follows from the rip at the back is shown to the nearest.
        near(made[f"side_{key.lower()}"]["show_height"], show[key], step)
    bottom = made["bottom"]
    between = float(wide - 2 * side)
    slant = math.hypot(between, float(more))
    # The board's section turned by the tilt: show face on the line between the bottom edges. Its
    # widest extent across, at the flat's top or at the back, must be what is between the sides.
    turn = math.atan2(abs(float(more)), between)
    relief = float(thick - flat) * tan(15)
    over = max(0.0, *(z * math.sin(turn) - x * math.cos(turn) for x, z in (
        (0.0, float(flat)), (relief, float(thick)),
    )))  # fmt: skip
    width = (between - over) / math.cos(turn)
    down(bottom["rip"], width - fit / 32, step)
    down(bottom["slant"], slant, step)
    up(bottom["flat_loss"], slant - width, step)
    down(bottom["back_width"], width - fit / 32 - 2 * relief, step)
    assert bottom["lower_side"] == (None if more == 0 else "B" if more > 0 else "A")


squares = st.tuples(lengths(0, 1, 32), st.sampled_from([8, 12, 24, 48]), st.sampled_from("AB"))


@given(squares, squares, lengths(6, 14), lengths(100, 200), st.integers(-4, 4), steps)
def test_skew(one: Any, two: Any, wide: Fr, long: Fr, rest: int, step: str) -> None:
    """Walls as lines in plan, x = s1 y and x = length - s2 y; what lengths and squares leave over
    goes by the squares of half of 1/32 in over each leg and 0.0005 in an inch."""
    first, second = (gap / leg * (1 if way == "A" else -1) for gap, leg, way in (one, two))
    length_b = long - (first + second) * wide - Fr(rest, 64)
    words = {f"end{n}": read(end) for n, end in enumerate((one, two), 1)}
    made = asked(
        "skew", step, width=wide, length_a=long, length_b=length_b, back_bevel=5, **words
    )  # fmt: skip
    across, inset = wide - Fr(3, 2), Fr(3, 4)
    total = (long - length_b) / wide
    down(made["edge_a"], long - total * inset, step)
    down(made["edge_b"], length_b + total * inset, step)
    near(made["a_over_b"], total * across, step)
    up(made["off"], abs(Fr(rest, 64)), step)
    off = [Fr(1, 64) / leg + Fr(1, 2000) for _, leg, _ in (one, two)]
    left = (total - first - second) * across
    weights = [each**2 / (off[0] ** 2 + off[1] ** 2) for each in off]
    for end, ratio, weight in zip(made["bottom_ends"], (first, second), weights, strict=True):
        true = ratio * across + left * weight
        true = true if abs(true) >= Fr(1, 128) else Fr(0)  # Less can't be set: it is cut square.
        near(end["offset"], true, step)
        assert end["longer"] == (None if true == 0 else "A" if true > 0 else "B")
        assert math.isclose(end["miter_deg"], math.degrees(math.atan(abs(true / across))))
    for end in made["ends"]:
        ratio = (first, second)[end["end"] - 1] * (1 if end["side"] == "A" else -1)
        up(end["by"], abs(ratio) * Fr(3, 4), step)
        assert end["long_face"] == ("neither" if ratio == 0 else "show" if ratio > 0 else "back")
        assert end["hidden"] == (ratio <= 0 or tan(5) >= ratio)


@given(st.integers(1, 12), lengths(60, 200), lengths(4, 12), leans, leans, steps)
def test_slope(rise: int, run: Fr, high: Fr, low: Any, top: Any, step: str) -> None:
    """Planes in the slope's own frame: a wall plumb but for its lean is turned by the slope."""
    made = asked(
        "slope", step, pitch=f"{rise}/12", run=run, height=high, level=24,
        low=read(low), high=read(top),
    )  # fmt: skip
    turn = math.atan2(rise, 12)
    length = float(run) / math.cos(turn)
    at_low = math.tan(turn + math.atan(float(lean(low, Fr(24))))) * float(high)
    at_high = math.tan(math.atan(float(lean(top, Fr(24)))) - turn) * float(high)
    down(made["slope_length"], length, step)
    down(made["top_length"], length - at_low - at_high, step)
    up(made["blank"], length + max(0.0, -at_low) + max(0.0, -at_high), step)
    up(made["low"]["offset"], at_low, step)
    up(made["high"]["offset"], at_high, step)
    near(made["rise"], run * rise / 12, step)
    near(made["plumb_height"], float(high) / math.cos(turn), step)


@given(st.integers(1, 12), st.sampled_from(["low", "high"]), squares, leans)
def test_compound(rise: int, end: str, skew: Any, wall: Any) -> None:
    """The wall's plane in the room, met by each board's own directions (vector geometry)."""
    made = asked(
        "compound", "1/32", pitch=f"{rise}/12", end=end, skew=read(skew),
        wall=read(wall), level=24,
    )  # fmt: skip
    turn = math.atan2(rise, 12) * (1 if end == "low" else -1)
    ratio = float(skew[0] / skew[1]) * (1 if skew[2] == "A" else -1)
    normal = (1.0, ratio, -float(lean(wall, Fr(24))))
    long, up_ = (math.cos(turn), 0.0, math.sin(turn)), (-math.sin(turn), 0.0, math.cos(turn))

    def met(axis: tuple[float, float, float]) -> float:
        return sum(a * b for a, b in zip(normal, axis, strict=True))

    size = math.hypot(*normal)
    # x along a board where the plane meets it: x = -(n . axis / n . long) per inch along axis.
    assert math.isclose(
        made["side_a"]["mitre_deg"], math.degrees(math.atan(-met(up_) / met(long))), abs_tol=1e-9
    )
    blade = math.degrees(math.asin(met((0.0, 1.0, 0.0)) / size))
    assert math.isclose(made["side_a"]["blade_deg"], blade, abs_tol=1e-9)
    assert math.isclose(made["side_b"]["blade_deg"], -blade, abs_tol=1e-9)
    miter = math.degrees(math.atan(met((0.0, 1.0, 0.0)) / met(long)))
    assert math.isclose(made["bottom"]["mitre_deg"], miter, abs_tol=1e-9)
    assert math.isclose(
        made["bottom"]["blade_deg"], math.degrees(math.asin(-met(up_) / size)), abs_tol=1e-9
    )


@given(
    st.lists(st.tuples(lengths(11, 12), lengths(11, 12)), min_size=3, max_size=5),
    lengths(12, 16), st.one_of(st.none(), lengths(0, 1)), steps,
)  # fmt: skip
def test_ceiling(heights: list[Any], high: Fr, margin: Fr | None, step: str) -> None:
    at = [Fr(144 * n, len(heights) - 1) for n in range(len(heights))]
    words = {} if margin is None else {"margin": margin}
    stations = [read((x, a, b)) for x, (a, b) in zip(at, heights, strict=True)]
    made = asked("ceiling", step, height=high, station=stations, **words)
    places = [(x, y, pair[y]) for x, pair in zip(at, heights, strict=True) for y in (0, 1)]
    lowest = min(height for _, _, height in places)
    highest = max(height for _, _, height in places)
    setting = Fr(made["setting"]["exact"])
    up(made["setting"], setting, step)
    if margin is not None:
        assert 0 <= setting - margin - (highest - lowest) < Fr(1, 32)
    for mark in made["stations"]:
        height = next(
            h for x, y, h in places if x == Fr(mark["at"]["exact"]) and "AB"[y] == mark["side"]
        )
        gap = height - lowest
        near(mark["gap"], gap, step)
        up(mark["cut_depth"], setting - gap, step)
        down(mark["finished_height"], high - setting + gap, step)
    down(made["lowest_drop"], high - setting, step)

    # The worst by the corners: two heights are 1/32 + 1/32 apart at most, and 1/2880 an inch.
    def off(one: Any, two: Any) -> float:
        far = math.hypot(float(one[0] - two[0]), 8 * (one[1] != two[1]))
        return 0.0 if one == two else 1 / 16 + far / 2880

    most = max(float(p[2] - q[2]) + off(p, q) for p, q in product(places, repeat=2))
    least = max(float(p[2] - q[2]) - off(p, q) for p, q in product(places, repeat=2))
    true = max(most - float(highest - lowest), float(highest - lowest) - max(least, 0.0))
    assert abs(exact(made["within"]) - true) < 1e-9
    within = made["within"]["shown"].removesuffix(" mm")
    of_inch = Fr(within) / Fr("25.4") if step == "mm" else sum(map(Fr, within.split()), Fr(0))
    assert float(of_inch) >= true - 1e-9
    if margin is None:
        assert setting >= highest - lowest + Fr(true)
        assert not any("margin" in one for one in made["warnings"])
    else:
        thin = any(one.startswith("The margin of") for one in made["warnings"])
        assert thin == (float(margin) < exact(made["within"]))


@given(lengths(20, 240), lengths(4, 16), leans, leans, st.integers(9, 78), steps)
def test_sureness(run: Fr, high: Fr, one: Any, two: Any, level: int, step: str) -> None:
    words = {f"end{n}": read(end) for n, end in enumerate((one, two), 1)}
    made = asked("sureness", step, length=run, height=high, level=level, **words)
    tape, end = Fr(1, 32) + Fr(1, 16), (Fr(1, 64) / level + Fr(1, 2000)) * high
    for name, off in (
        ("bottom_length", tape), ("top_length", tape + 2 * end), ("end1", end), ("end2", end),
    ):  # fmt: skip
        assert Fr(made[name]["off"]["exact"]) == off
        text = made[name]["off"]["shown"]
        inches = Fr(text.removesuffix(" mm")) / Fr("25.4") if step == "mm" else sum(
            map(Fr, text.split()), Fr(0)
        )  # fmt: skip
        assert inches >= off
    left = lean(one, Fr(level)) * high
    right = lean(two, Fr(level)) * high
    down(made["bottom_length"]["mark"], run, step)
    down(made["top_length"]["mark"], run - left - right, step)
    up(made["blank"]["mark"], run + max(0, -left) + max(0, -right), step)
    up(made["end1"]["mark"], left, step)


@given(lengths(0, 1).filter(lambda t: t > Fr(1, 4)), st.integers(1, 20), st.integers(1, 9), steps)
def test_wedge(stock: Fr, bevel: int, part: int, step: str) -> None:
    back = 2 * float(stock) * tan(bevel)
    gap = Fr(math.floor(back * 6400 * part / 10), 6400)
    if gap <= 0:
        return
    made = asked("wedge", step, stock=stock, bevel=bevel, gap=f"{float(gap):.9f}")
    near(made["back_thickness"], back, step)
    near(made["seats_at"], float(f"{float(gap):.9f}") / back * float(stock), step)


@given(lengths(0, 1).filter(lambda t: t > Fr(1, 2)), lengths(1, 2), steps)
def test_nails(first: Fr, second: Fr, step: str) -> None:
    sold = [Fr(n, 8) for n in (5, 6, 8, 10, 12, 14, 16)]  # 18 gauge, common practice, no source
    fits = [n for n in sold if n > first and n + Fr(3, 16) <= first + second]
    made = asked("nails", step, piece=[first, second])
    length = max(fits)
    near(made["length"], length, step)
    down(made["hold"], min(length - first, second), step)
    down(made["left"], first + second - length - Fr(1, 16), step)


@given(st.lists(lengths(10, 60), min_size=1, max_size=5), steps)
def test_boards(pieces: list[Fr], step: str) -> None:
    kerf = Fr(1, 8)
    made = asked("boards", step, stock="96", need=pieces, kerf=kerf, seconds=5)
    cut = [one for board in made["boards"] for one in board["pieces"]]
    assert sorted(Fr(one["length"]["exact"]) for one in cut) == sorted(pieces)
    for one in cut:
        up(one["length"], Fr(one["length"]["exact"]), step)
    for board in made["boards"]:
        of = sum((Fr(one["length"]["exact"]) for one in board["pieces"]), Fr(0))
        down(board["waste"], 96 - of, step)


@given(lengths(-9, 300, 1000).filter(lambda one: one > 0), steps)
def test_length_and_settings(value: Fr, step: str) -> None:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(["figure", "length", str(float(value)), "--json", "--step", step]) == 0
    near(json.loads(out.getvalue())["length"], value, step)
    made = asked("settings", step, need=[f"1:saw:90:fence={float(value)}"])
    near(made["groups"][0]["setting"]["fence"], value, step)
