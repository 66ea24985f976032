"""The scribe: one setting, one level line, whatever the ceiling does."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from crewdesk.errors import BadInput
from crewdesk.length import nearest
from crewdesk.trade.cuts.ceiling import Pry, Scribe, Station, covering_margin, scribe
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.sureness import scribe_sureness

F = Fraction


def thirty_seconds(low: int, high: int) -> st.SearchStrategy[F]:
    return st.integers(low, high).map(lambda n: F(n, 32))


@st.composite
def ceilings(draw: st.DrawFn) -> tuple[Station, ...]:
    between = draw(st.lists(st.integers(1, 143), min_size=1, max_size=5, unique=True))
    return tuple(
        Station(F(at), draw(thirty_seconds(320, 384)), draw(thirty_seconds(320, 384)))
        for at in (0, *sorted(between), 144)
    )


def mirrored(stations: tuple[Station, ...]) -> tuple[Station, ...]:
    """The same ceiling walked from end 2: the other side comes first, too."""
    return tuple(Station(144 - s.at, s.height_b, s.height_a) for s in reversed(stations))


def by_place(made: Scribe) -> dict[tuple[str, F], tuple[F, F, F]]:
    return {(m.side, m.at): (m.gap, m.cut_depth, m.finished_height) for m in made.marks}


LOW_CENTRE = (
    Station(F(0), F(12), F(49, 4)),
    Station(F(72), F(47, 4), F(12)),
    Station(F(144), F(97, 8), F(99, 8)),
)


def test_a_ceiling_reckoned_by_hand() -> None:
    """Lowest 11 3/4, highest 12 3/8: 5/8 apart, so 11/16 with a sixteenth of margin."""
    made = scribe(LOW_CENTRE, F(14), margin=F(1, 16))
    assert made.setting == F(11, 16)
    assert by_place(made)["A", F(72)] == (0, F(11, 16), F(213, 16))
    assert by_place(made)["B", F(144)] == (F(5, 8), F(1, 16), F(223, 16))
    assert made.lowest_drop == F(213, 16)
    assert made.rest_a.touches == made.rest_b.touches == (F(72),)
    assert made.pry_down == (Pry("B", 1, F(1, 4)), Pry("B", 2, F(1, 4)))


@given(ceilings(), thirty_seconds(0, 8))
def test_gap_and_cut_make_the_setting_and_the_bottom_is_one_level_line(
    stations: tuple[Station, ...], margin: F
) -> None:
    made = scribe(stations, F(14), margin=margin)
    heights = {(side, s.at): s.height(side) for s in stations for side in ("A", "B")}  # type: ignore[arg-type]
    bottoms = set()
    for (side, at), (gap, cut, left) in by_place(made).items():
        assert gap >= 0
        assert gap + cut == made.setting
        assert cut >= margin
        assert cut + left == 14
        bottoms.add(heights[side, at] - left)
    assert len(bottoms) == 1
    assert min(gap for gap, _, _ in by_place(made).values()) == 0
    assert max(cut for _, cut, _ in by_place(made).values()) == made.setting
    assert made.setting - margin == nearest(made.setting - margin, F(1, 32))


@given(ceilings())
def test_a_mirrored_beam_has_mirrored_marks(stations: tuple[Station, ...]) -> None:
    other = {"A": "B", "B": "A"}
    made, back = scribe(stations, F(14)), scribe(mirrored(stations), F(14))
    assert made.setting == back.setting
    assert by_place(made) == {(other[s], 144 - at): v for (s, at), v in by_place(back).items()}
    assert {(p.side, p.end, p.by) for p in made.pry_down} == {
        (other[p.side], 3 - p.end, p.by) for p in back.pry_down
    }
    assert made.rest_a.touches == tuple(144 - x for x in reversed(back.rest_b.touches))
    assert made.alone.worst == back.alone.worst


@given(ceilings(), st.integers(2, 5))
def test_everything_scales(stations: tuple[Station, ...], k: int) -> None:
    grown = tuple(Station(s.at * k, s.height_a * k, s.height_b * k) for s in stations)
    made = scribe(stations, F(14), margin=F(1, 16), step=F(1, 32))
    big = scribe(grown, F(14 * k), margin=F(k, 16), step=F(k, 32))
    assert big.setting == k * made.setting
    assert [m.cut_depth for m in big.marks] == [k * m.cut_depth for m in made.marks]
    assert [p.by for p in big.pry_down] == [k * p.by for p in made.pry_down]


@given(ceilings(), thirty_seconds(-64, 64))
def test_the_laser_may_be_set_at_any_level(stations: tuple[Station, ...], shift: F) -> None:
    moved = tuple(Station(s.at, s.height_a + shift, s.height_b + shift) for s in stations)
    assert scribe(moved, F(14)).marks == scribe(stations, F(14)).marks
    assert scribe(moved, F(14)).pry_down == scribe(stations, F(14)).pry_down


@given(ceilings())
def test_where_it_touches_against_shapely(stations: tuple[Station, ...]) -> None:
    """The resting line stays below the ceiling, and stands as high at its middle as the
    convex hull's lower boundary there: shapely builds that hull by itself."""
    made = scribe(stations, F(14))
    for side, rest in (("A", made.rest_a), ("B", made.rest_b)):
        points = [(float(s.at), float(s.height(side))) for s in stations]  # type: ignore[arg-type]
        for x, y in points:
            assert float(rest.end1) + float(rest.end2 - rest.end1) * x / 144 <= y + 1e-9
        hull = LineString(points).convex_hull
        lowest = hull.intersection(LineString([(72, -1000), (72, 1000)])).bounds[1]
        assert float(rest.end1 + rest.end2) / 2 == pytest.approx(lowest, abs=1e-9)
        assert rest.rocks or len(rest.touches) >= 2


@given(ceilings())
def test_prying_the_ends_down_leaves_the_pair_level_at_the_lowest_point(
    stations: tuple[Station, ...],
) -> None:
    made = scribe(stations, F(14))
    lowest = min(min(s.height_a, s.height_b) for s in stations)
    pried = {(p.side, p.end): p.by for p in made.pry_down}
    for side, rest in (("A", made.rest_a), ("B", made.rest_b)):
        for end, top in ((1, rest.end1), (2, rest.end2)):
            if top > lowest:
                assert top - pried[side, end] == lowest  # type: ignore[index]
            else:
                assert (side, end) not in pried


def test_a_dead_flat_ceiling_takes_the_margin_alone() -> None:
    flat = tuple(Station(F(at), F(10), F(10)) for at in (0, 48, 96))
    made = scribe(flat, F(12), margin=F(1, 16))
    assert made.setting == F(1, 16)
    assert {m.cut_depth for m in made.marks} == {F(1, 16)}
    assert made.rest_a.touches == (0, 48, 96)
    assert not made.rest_a.rocks
    assert made.pry_down == ()
    assert made.alone.worst == 0
    (thin,) = made.cautions
    assert "Where the ceiling is highest the line may" in str(thin)
    assert scribe(flat, F(12), margin=F(1, 8)).cautions == ()


def test_a_margin_equal_to_what_the_setting_can_be_off_by_is_enough() -> None:
    made = scribe(LOW_CENTRE, F(14))
    off = scribe_sureness(made.marks, F(8)).setting
    assert off > F(1, 64)

    def thin(margin: F) -> list[str]:
        cautions = scribe(LOW_CENTRE, F(14), margin=margin).cautions
        return [one for one in map(str, cautions) if "the line may run off the board" in one]

    assert thin(off) == []
    assert len(thin(off - F(1, 10_000))) == 1
    # What lies on a sixteenth already is not rounded up to the next.
    assert [covering_margin(F(n, 16)) for n in (1, 2, 3)] == [F(1, 16), F(2, 16), F(3, 16)]
    assert covering_margin(F(2, 16) + F(1, 10_000)) == F(3, 16)


def test_a_margin_is_held_against_the_instruments_own_error_too() -> None:
    """Over 96 in a line that is off by 1/8 in at 30 ft is off by 1/30 in, by 1/4 in at 30 ft by
    1/15 in; two heights to 1/32 in and 1/32 in from one reading to the next make 1/16 in more."""
    flat = tuple(Station(F(at), F(10), F(10)) for at in (0, 48, 96))
    laser = USUAL_INSTRUMENTS.line_laser
    assert scribe(flat, F(12), margin=F(1, 8), line_laser=laser).cautions == ()
    rough = laser._replace(own=2 * laser.own)
    (thin,) = scribe(flat, F(12), margin=F(1, 8), line_laser=rough).cautions
    assert "Where the ceiling is highest the line may" in str(thin)
    assert (thin.facts["off"], thin.facts["more"]) == ("9/64", "1/64")
    assert [covering_margin(F(n, 64)) for n in (1, 7, 9)] == [F(1, 16), F(1, 8), F(3, 16)]


def test_a_ceiling_that_falls_to_one_end_is_pried_down_at_the_other() -> None:
    falling = tuple(Station(F(at), 10 - F(at, 288), 10 - F(at, 288)) for at in (0, 72, 144))
    made = scribe(falling, F(12))
    assert made.pry_down == (Pry("A", 1, F(1, 2)), Pry("B", 1, F(1, 2)))
    assert made.alone.along_a == F(1, 2)
    assert made.alone.end1 == made.alone.end2 == 0


def test_a_high_centre_rests_on_both_ends() -> None:
    crown = tuple(Station(F(at), h, h) for at, h in ((0, F(10)), (72, F(11)), (144, F(10))))
    made = scribe(crown, F(12))
    assert made.rest_a.touches == (0, 144)
    assert not made.rest_a.rocks
    assert made.pry_down == ()


@pytest.mark.parametrize(
    ("spread", "tape", "why", "fact"),
    [
        (F(7, 8), F(1), None, None),
        (F(1), F(1), "wide takes the whole line", F(3, 2)),
        (F(3, 2), F(1), "wide takes the whole line", F(2)),
        (F(3, 2), F(2), None, None),
        (F(5, 2), F(1), "wide takes the whole line", F(3)),
        (F(4), F(1), "Put strips side by side, and make sure that", None),
    ],
)
def test_the_tape_must_take_the_deepest_cut(
    spread: F, tape: F, why: str | None, fact: F | None
) -> None:
    stations = tuple(
        Station(F(at), h, h) for at, h in ((0, F(20)), (72, 20 - spread), (144, F(20)))
    )
    told = [c for c in scribe(stations, F(14), tape=tape).cautions if "tape" in c.text]
    assert [why in str(c) for c in told] == ([True] if why else [])
    if fact:
        assert told[0].facts["wide"] == fact


@given(ceilings())
def test_the_usual_margin_covers_all_that_the_setting_can_be_off_by(
    stations: tuple[Station, ...],
) -> None:
    """So the pencil line stays on the board where the ceiling is highest, however the laser was
    off: to the 1/16 in above, and 1/16 at the least (common practice, no source)."""
    made = scribe(stations, F(14))
    off = scribe_sureness(made.marks, F(8)).setting
    least = min(m.cut_depth for m in made.marks)
    assert least >= off
    assert least < off + F(1, 16) + F(1, 32)
    assert not [
        one for one in made.cautions if "Where the ceiling is highest the line may" in str(one)
    ]


def test_the_wanted_drop() -> None:
    assert scribe(LOW_CENTRE, F(14), margin=F(1, 16), drop=F(213, 16)).meets_drop is True
    short = scribe(LOW_CENTRE, F(14), margin=F(1, 16), drop=F(27, 2))
    assert short.meets_drop is False
    needed = next(c for c in short.cautions if "The lowest finished side is" in str(c)).facts[
        "needed"
    ]
    assert isinstance(needed, F)
    assert scribe(LOW_CENTRE, needed, margin=F(1, 16), drop=F(27, 2)).lowest_drop == F(27, 2)


def test_scribed_alone_each_side_takes_its_own_level() -> None:
    """Side B's ceiling is 1/4 in higher all along: alone, it would end 1/4 in higher."""
    alone = scribe(LOW_CENTRE, F(14)).alone
    assert alone.end1 == alone.end2 == alone.levelled == F(1, 4)
    assert alone.along_a == alone.along_b == 0


def test_cautions_about_the_readings_themselves() -> None:
    stations = (
        Station(F(0), F(10), F(10)),
        Station(F(20), F(10), F(10)),
        Station(F(144), F(10), F(10)),
    )
    centre, thin = map(str, scribe(stations, F(12), margin=F(1, 64)).cautions)
    assert "The ceiling hasn't been measured near the" in centre
    assert "Where the ceiling is highest the line may" in thin


def _flat(*ats: int) -> tuple[Station, ...]:
    return tuple(Station(F(at), F(10), F(10)) for at in ats)


@pytest.mark.parametrize(
    ("stations", "more", "why"),
    [
        (_flat(), {}, "Measure the ceiling at both ends and the"),
        (_flat(0, 144), {}, "Measure the ceiling at both ends and the"),
        (_flat(0, 144, 72), {}, "Type them in order, from end 1 to end 2"),
        (_flat(0, 72, 72, 144), {}, "was typed twice. Keep one of them"),
        (_flat(24, 72, 144), {}, "away from it. Measure one within"),
        (_flat(0, 72, 120), {"length": F(144)}, "away from it. Measure one within"),
        (_flat(0, 72, 144), {"length": F(143)}, "Measure spots from end 1"),
        (_flat(0, 72, 144), {"length": F(0)}, "it must be more than zero"),
        (_flat(0, 72, 144), {"margin": F(-1, 16)}, "it must be zero or more"),
        (_flat(0, 72, 144), {"tape": F(0)}, "it must be more than zero"),
        (_flat(0, 72, 144), {"drop": F(-1)}, "it must be more than zero"),
        ((*_flat(0, 72), Station(F(144), F(-1), F(10))), {}, "it must be zero or more"),
        (
            (*_flat(0, 72), Station(F(144), F(1), F(30))),
            {},
            "wide. Measure the ceiling again, or start with",
        ),
    ],
)
def test_readings_that_no_mark_can_be_made_from(
    stations: tuple[Station, ...], more: dict[str, F], why: str
) -> None:
    with pytest.raises(BadInput) as told:
        scribe(stations, F(12), **more)  # type: ignore[arg-type]
    assert why in str(told.value)


def test_end_stations_may_stand_a_little_inside() -> None:
    made = scribe(_flat(3, 72, 141), F(12), margin=F(1, 16), length=F(144))
    assert made.setting == F(1, 16)
