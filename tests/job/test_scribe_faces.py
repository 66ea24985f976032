"""Which face comes out the longer when a side is cut to its scribe line as the batch says.

The saws are made out of the batch's words: a hand-held saw's blade leans under its base or its
rail (as makers' manuals show bevel cuts; common practice, no source), so its lower end is under
the wood that base or rail is on. A table saw's blade comes up from below and leans at its top.
"""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.beams import find_beam
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.settings_text import notes_told
from crewdesk.trade.cuts.shop_machine import WAYS, ShopMachine

SAWS = tuple(way for way in WAYS if way != "plane")
THICK = 0.75


def ridge(record, now, pitch: str):
    record.make(beams.add_beam(record, "new", "Attic", now, form="ridge", pitch=pitch))
    return find_beam(record, "Attic new")


def faces(said: str, blade: float) -> tuple[str, float]:
    """The face that is up, and how much longer the wood that stays is there than below."""
    up = "back" if "back up" in said or ", back up," in said else "show face"
    lost = THICK * math.tan(math.radians(blade))
    if "leans under the base" in said:
        assert "base on the wood that stays" in said
    elif "leans under the rail" in said:
        assert "its strip on the wood that stays" in said
    else:
        # Between fence and blade is the wood that stays; the blade's top is away from it.
        assert "the wood that stays over the carrier, the waste past the blade" in said
        assert "carrier that rides the fence" in said
        fence = "right" if "Fence right of the blade" in said else "left"
        assert f"Fence {fence} of the blade" in said
        assert f"leans {'left' if fence == 'right' else 'right'}, away from the fence" in said
    return up, lost


@pytest.mark.parametrize("tilts", ["left", "right"])
@pytest.mark.parametrize("pitch", ["6/12", "2deg", "12/12"])
@pytest.mark.parametrize("way", SAWS)
def test_the_face_that_must_be_longer_is_longer(record, now, way, pitch, tilts) -> None:
    """6/12 is 26.57 degrees (tables): less a back-cut of 3 the back is the longer by the
    tangent of that; at 2 degrees it is the shorter."""
    beam = ridge(record, now, pitch)
    shop = ShopMachine(tilts=tilts, scribe_cut=way)
    [group] = batch_settings(record, "cut-scribe", [Spot(beam.row, "A")], shop).groups
    setting = dict(group.setting)
    up, longer = faces(" ".join(notes_told(group)), float(setting["blade tilt"]))
    slope = {"6/12": math.degrees(math.atan(0.5)), "2deg": 2.0, "12/12": 45.0}[pitch]
    back_longer = longer if up == "back" else -longer
    wanted = THICK * math.tan(math.radians(slope - 3))
    assert back_longer == pytest.approx(wanted, abs=2e-4)
    # The cut follows the line on the face that is up, so on the back that line must be as much
    # farther up; never less, or the show edge would come out short of the ceiling.
    on_back = setting.get("line on the back, farther up by")
    assert (on_back is None) == (up == "show face")
    if on_back is not None:
        assert 0 <= on_back - wanted <= 1 / 32
        assert "Carry the line over to the back first" in " ".join(group.notes)


@pytest.mark.parametrize("way", SAWS)
def test_under_a_flat_ceiling_the_show_face_is_up_and_the_longer(record, way) -> None:
    shop = ShopMachine(scribe_cut=way)
    [group] = batch_settings(record, "cut-scribe", [Spot("1", "A")], shop).groups
    assert dict(group.setting)["back-cut"] == 3
    assert faces(" ".join(notes_told(group)), 3) == (
        "show face", pytest.approx(0.0393, abs=1e-4)
    )  # fmt: skip
    square = ShopMachine(scribe_cut=way, back_cut=Fr(0))
    [group] = batch_settings(record, "cut-scribe", [Spot("1", "A")], square).groups
    assert "leans" not in " ".join(group.notes)


def test_a_plane_takes_more_off_the_face_that_comes_out_shorter(record, now) -> None:
    beam = ridge(record, now, "6/12")
    shop = ShopMachine(scribe_cut="plane")
    (cut,), _ = cuts_of(record.job, beam, beam.piece("A"), "cut-scribe", shop)
    assert "takes more off the show face" in cut.notes[0]
    # A plane has no blade to tilt: the bevel is 26.565 less 3 degrees.
    [(name, bevel, _)] = cut.parts
    assert name == "bevel off square"
    assert float(bevel) == pytest.approx(23.565, abs=1e-3)
    flat = find_beam(record, "Great room Ridge")
    (cut,), _ = cuts_of(record.job, flat, flat.piece("A"), "cut-scribe", shop)
    assert "takes more off the back" in cut.notes[0]


def test_sides_with_a_longer_and_a_shorter_back_share_no_setting(record, now) -> None:
    """Along a ridge whose slopes differ: one is steeper than the back-cut, one is not."""
    slopes = {"pitch": "2deg", "pitch_b": "6/12"}
    record.make(beams.add_beam(record, "new", "Attic", now, form="ridge", **slopes))
    beam = find_beam(record, "Attic new")
    spots = [Spot(beam.row, "A"), Spot(beam.row, "B")]
    groups = batch_settings(record, "cut-scribe", spots, ShopMachine(scribe_cut="track saw")).groups
    assert [len(one.spots) for one in groups] == [1, 1]


@pytest.mark.parametrize("way", SAWS)
def test_a_bevel_over_45_degrees_is_planed(record, now, way) -> None:
    """16/12 is 53.13 degrees (a 3-4-5 triangle); less 3 no saw tilts so far."""
    beam = ridge(record, now, "16/12")
    side = beam.piece("A")
    shop = ShopMachine(scribe_cut=way)
    (cut,), _ = cuts_of(record.job, beam, side, "cut-scribe", shop)
    assert cut.machine == "plane"
    assert cut.why.startswith("50.13\u00b0 is steeper than a saw tilts")
    square, bevel = cuts_of(record.job, beam, side, "rip-side", shop)[0]
    # 3/4 x 4/3 = 1 comes off the show face of a board that is ripped as wide as its back.
    assert {part.name: part.value for part in square.parts} == {
        "blade tilt": 0, "fence": beam.boards["A"].width + 1
    }  # fmt: skip
    assert bevel.machine == "hand saw or jig"
    assert float(bevel.parts[0].value) == pytest.approx(53.13, abs=5e-3)
    assert float(bevel.parts[1].value) == pytest.approx(1)
    # On edge the blade's tilt is the rest to 90.
    assert "blade tilt 36.87\u00b0" in bevel.notes[0]


def test_one_tilted_pass_says_that_no_square_rip_comes_first(record, now) -> None:
    beam = ridge(record, now, "6/12")
    (cut,), _ = cuts_of(record.job, beam, beam.piece("A"), "rip-side")
    assert "No square rip for these first" in " ".join(cut.notes)
