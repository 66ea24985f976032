"""The commands on the sample job, through the door that the user goes through."""

import io
import json
import math
from collections.abc import Callable
from datetime import datetime
from fractions import Fraction
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.job.beams import beams
from crewdesk.store.desk import Desk

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")

Told = Callable[..., str]


@pytest.fixture
def told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], copy_data
) -> Told:
    """What a command prints, in a data folder that holds the sample job."""
    monkeypatch.setenv("CREWDESK_DATA", str(tmp_path / "data"))
    copy_data(tmp_path / "data")

    def run(*words: str) -> str:
        assert main(words) == 0
        out, err = capsys.readouterr()
        assert err == ""
        return out

    return run


def piece(sheet: dict, room: str, beam: str, key: str) -> dict:
    """One piece out of a cut list's JSON."""
    [found] = [one for one in sheet["beams"] if (one["room"], one["name"]) == (room, beam)]
    [made] = [one for one in found["pieces"] if one["piece"] == key]
    return made


def test_import_says_what_it_took(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", str(SAMPLE), "--data", str(tmp_path)]) == 0
    assert capsys.readouterr() == ("Imported Tamarack Bend as tamarack-bend.\n", "")


def test_a_side_is_told_from_its_own_show_face(told: Told) -> None:
    """Read: run 17' 8-5/32, gaps over 24 in of 3/16 in and 7/32 out, sides 10 in high.

    Similar triangles by hand: 10 x 3/16 / 24 = 5/64 and 10 x 7/32 / 24 = 35/384;
    6789/32 - 5/64 + 35/384 = 81473/384; the blank is 6789/32 + 35/384.
    """
    sheet = json.loads(told("cutlist", "tamarack bend", "--json"))
    a, b = (piece(sheet, "Great room", "1", side)["marks"] for side in "AB")
    assert a["bottom_length"] == {"exact": "6789/32", "shown": "212 5/32"}
    assert a["top_length"]["exact"] == "81473/384"
    assert a["blank"]["exact"] == "81503/384"
    assert a["end1"]["offset"]["exact"] == "5/64"
    assert a["end2"]["offset"]["exact"] == "-35/384"
    assert a["end1"]["angle_deg"] == pytest.approx(math.degrees(math.atan2(3 / 16, 24)))
    assert (a["end1"]["seen_at"], a["end1"]["wall"]) == ("left", "hearth wall")
    assert (b["end1"]["seen_at"], b["end1"]["wall"]) == ("right", "hearth wall")


def test_left_and_right_name_the_wall_in_print(told: Told) -> None:
    lines = told("cutlist", "tamarack", "--beam", "great room 1").splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("  side A"))
    assert lines[at + 2].split(":")[0].split() == ["left", "hearth", "wall", "(end", "1)"]
    assert "back from the square line (0.45°)" in lines[at + 2]
    assert lines[at + 3].split(":")[0].split() == ["right", "window", "wall", "(end", "2)"]
    assert "out past the square line (0.52°)" in lines[at + 3]
    at = next(i for i, line in enumerate(lines) if line.startswith("  side B"))
    assert lines[at + 2].split(":")[0].split() == ["left", "window", "wall", "(end", "2)"]
    assert lines[at + 3].split(":")[0].split() == ["right", "hearth", "wall", "(end", "1)"]


def test_the_bottom_is_cut_under_and_relieved(told: Told) -> None:
    """tan 15 deg = 0.26795 in handbook tables of tangents; half an inch is relieved, twice."""
    sheet = json.loads(told("cutlist", "tamarack", "--beam", "Great room 1", "--json"))
    made = piece(sheet, "Great room", "1", "bottom")["marks"]
    assert made["width"] == {"exact": "13/2", "shown": "6 1/2"}
    assert float(made["back_width"]["exact"]) == pytest.approx(6.5 - 0.26795, abs=6e-6)
    assert len(made["back_width"]["exact"].partition(".")[2]) >= 9
    read = 17 * 12 + 8 + Fraction(3, 16)
    assert Fraction(made["length"]["exact"]) == read - Fraction(1, 32)


def test_what_is_missing_is_named(told: Told) -> None:
    sheet = json.loads(told("cutlist", "tamarack", "--json"))
    assert piece(sheet, "Great room", "4", "B")["missing"] == [{"piece": "B", "reading": "end2"}]
    assert piece(sheet, "Great room", "4", "B")["marks"]["blank"] is None
    assert piece(sheet, "Study", "2", "cleats")["missing"] == [
        {"piece": "A", "reading": "run"},
        {"piece": "B", "reading": "run"},
    ]
    printed = told("cutlist", "tamarack", "--beam", "Great room 4")
    assert "not measured: gap, and in or out at the top, at window wall (end 2)" in printed


def test_a_passed_gate_shows_on_every_sheet(told: Told) -> None:
    reason = "stacked inside down; the cleat line is marked when it is turned"
    for sheet in ("cutlist", "progress"):
        [line] = [line for line in told(sheet, "tamarack").splitlines() if reason in line]
        assert "'Mark the cleat line inside' isn't" in line
    told_json = json.loads(told("progress", "tamarack", "--json"))
    [override] = told_json["overrides"]
    assert (override["room"], override["beam"], override["piece"]) == ("Study", "1", "A")
    assert override["reason"] == reason
    [same] = piece(json.loads(told("cutlist", "tamarack", "--json")), "Study", "1", "A")[
        "overrides"
    ]
    assert same == override


def test_every_length_of_a_sheet_is_exact_and_shown(told: Told) -> None:
    found = []

    def walk(value: object, key: str) -> None:
        if isinstance(value, dict) and "exact" in value:
            assert set(value) == {"exact", "shown"}
            assert isinstance(value["exact"], str)
            found.append(key)
        elif isinstance(value, dict):
            for name, inner in value.items():
                walk(inner, name)
        elif isinstance(value, list):
            for inner in value:
                walk(inner, key)
        else:
            assert not isinstance(value, float) or key.endswith("_deg"), key

    walk(json.loads(told("cutlist", "tamarack", "--json")), "")
    wanted = {"bottom_length", "top_length", "blank", "offset", "height", "width", "back_width"}
    assert wanted | {"cleat_line", "line", "length", "lengths", "flat"} <= set(found)


def test_the_dry_fit_says_of_each_board_whether_it_goes_in(told: Told, tmp_path: Path) -> None:
    sheet = json.loads(told("dryfit", "tamarack", "--json"))
    fits = {
        (beam["room"], beam["name"], one["piece"]): one
        for beam in sheet["beams"]
        for one in beam["pieces"]
    }
    assert fits["Great room", "1", "A"]["fits"] is True
    assert fits["Great room", "2", "bottom"]["why"] == "not measured yet"
    assert not any(one["fits"] is False for one in fits.values())
    document = json.loads(SAMPLE.read_text())
    del document["history"]
    document["job"]["name"] = "Over"
    bottom = document["beams"]["1"]["pieces"]["bottom"]
    bottom["own_cut"] = {
        "edge_a": "213",
        "edge_b": "213",
        "when": "2026-03-02T07:30:00-05:00",
        "reason": "the paneling comes off",
    }
    (tmp_path / "over.json").write_text(json.dumps(document))
    told("import", str(tmp_path / "over.json"))
    lines = told("dryfit", "over", "--beam", "Great room 1").splitlines()
    assert any("bottom  doesn't go in: " in line and "too long" in line for line in lines)
    assert any("XX" in line for line in lines)


def test_a_job_in_millimetres_is_told_in_millimetres(told: Told, tmp_path: Path) -> None:
    """212 5/32 in x 25.4 mm/in (exact, NIST SP 811) = 5388.77 mm, 0.77 over 5388; a side goes
    in between walls, so it is never shown over."""
    job = Desk(tmp_path / "data").open("tamarack-bend")
    job.make(beams.change_job(job.record, {"step": "mm"}, NOW))
    job.close(NOW)
    assert "bottom edge 5388+ mm, " in told("cutlist", "tamarack", "--beam", "Great room 1")
    made = piece(json.loads(told("cutlist", "tamarack", "--json")), "Great room", "1", "A")
    assert made["marks"]["bottom_length"]["exact"] == "6789/32"
    assert made["marks"]["bottom_length"]["shown"] == "5388+ mm"


def test_a_reading_that_makes_no_board_is_told_and_the_rest_stays(
    told: Told, tmp_path: Path
) -> None:
    document = json.loads(SAMPLE.read_text())
    del document["history"]
    document["job"]["name"] = "Steep"
    document["beams"]["1"]["pieces"]["A"]["readings"]["end1"][0]["value"] = "20"
    (tmp_path / "steep.json").write_text(json.dumps(document))
    told("import", str(tmp_path / "steep.json"))
    sheet = json.loads(told("cutlist", "steep", "--json"))
    assert piece(sheet, "Great room", "1", "A")["marks"] is None
    doubt, *_ = piece(sheet, "Great room", "1", "A")["doubts"]
    assert "degrees out of plumb" in doubt
    assert piece(sheet, "Great room", "1", "B")["marks"]["blank"] is not None
    assert f"! {doubt}" in told("cutlist", "steep")


def test_progress_counts_what_the_document_holds(told: Told) -> None:
    document = json.loads(SAMPLE.read_text())
    kinds = {"A": "side", "B": "side", "bottom": "bottom", "cleats": "cleats"}
    sheet = json.loads(told("progress", "tamarack", "--json"))
    for stage, shown in zip(document["job"]["stages"], sheet["stages"], strict=True):
        steps = behind = 0
        for beam in document["beams"].values():
            for key, one in beam["pieces"].items():
                for step in stage["steps"]:
                    # Every beam of the sample is of the usual type.
                    of_type = step.get("only", "cleats") in ("ceiling", "cleats", "square edges")
                    if kinds[key] in step["kinds"] and of_type:
                        steps += 1
                        mark = one["steps"].get(step["id"], {})
                        behind += mark.get("state") in ("done", "skipped")
        assert shown == {
            "id": stage["id"],
            "name": stage["name"],
            "behind": behind,
            "steps": steps,
        }
    assert sheet["total"]["behind"] == sum(one["behind"] for one in sheet["stages"])
    assert [one["name"] for one in sheet["blocked"]] == ["Rip to width"]
    assert [one["name"] for one in sheet["skipped"]] == ["Back-bevel the end that slides in"]


def test_progress_tells_what_is_ready_to_batch(told: Told) -> None:
    ready = {
        one["step"]: one for one in json.loads(told("progress", "tamarack", "--json"))["ready"]
    }
    assert ready["tape-off"]["pieces"] == [
        {"room": "Dining room", "beam": "2", "piece": "A"},
        {"room": "Dining room", "beam": "2", "piece": "B"},
    ]
    assert {one["beam"] for one in ready["rip-side"]["pieces"]} == {"4"}
    lines = told("progress", "tamarack").splitlines()
    at = lines.index("  Fix-up: Tape off, 2 pieces")
    assert lines[at + 1].strip() == "Dining room 2 side A, side B"


def test_hours_add_up_by_the_clock_on_the_wall(told: Told) -> None:
    sheet = json.loads(told("hours", "tamarack", "--json"))
    for one in sheet["entries"]:
        start, stop = (datetime.fromisoformat(one[key]) for key in ("start", "stop"))
        assert one["seconds"] == (stop - start).total_seconds()
        assert one["start"].endswith("-07:00")
    assert sheet["seconds"] == 117_000
    by_stage = sheet["by_stage"]
    assert sheet["seconds"] == sum(one["seconds"] for one in by_stage.values())
    assert by_stage["rip"]["seconds"] == (4 * 60 + 30 + 85) * 60
    printed = told("hours", "tamarack")
    assert "  07:30-12:00  4h30       Rip\n" in printed
    assert "caulk in the dining room; clock forgotten" in printed
    assert printed.splitlines()[-1].split() == ["all", "32h30", "32h30"]


def test_data_may_stand_before_or_after_the_word(
    told: Told, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = str(tmp_path / "other")
    told("--data", other, "import", str(SAMPLE))
    told("import", str(SAMPLE), "--data", other)
    assert Desk(Path(other)).ids() == ["tamarack-bend", "tamarack-bend-2"]
    assert "tamarack-bend-2" in told("--data", other, "progress", "tamarack-bend-2", "--json")
    assert told("figure", "length", "12 3 5/16", "--data", other)
    assert main(["progress", "tamarack-bend-2"]) == 2
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    "words",
    [
        ["cutlist", "nowhere"],
        ["cutlist", "tamarack", "--beam", "Attic 9"],
        ["progress", "\x1b[31mred\u202e"],
        ["hours", ""],
        ["export", "tamarack", "--to", "/nowhere/at/all.json"],
        ["import", "/nowhere/at/all.json"],
        ["restore", "tamarack"],
        ["cutlist"],
        ["cutlist", "a", "b\x1b[2J"],
        ["dance"],
        ["demo"],
        [],
    ],
)
def test_what_can_t_be_done_is_one_sentence(
    told: Told, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        status = main(words)
    except SystemExit as left:
        status = left.code
    out, err = capsys.readouterr()
    assert status == 2
    assert out == ""
    assert err.startswith("crewdesk: ")
    assert err.endswith(".\n")
    assert err[:-1].isprintable()


def test_a_data_folder_that_is_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("")
    assert main(["progress", "any", "--data", str(tmp_path / "file")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Name another one with --data DIR" in err


def test_a_sloped_ceiling_is_warned_of(told: Told, tmp_path: Path) -> None:
    job = Desk(tmp_path / "data").open("tamarack-bend")
    job.make(beams.change_beam(job.record, "1", {"ceiling": "sloped"}, NOW))
    job.close(NOW)
    sheet = json.loads(told("cutlist", "tamarack", "--json"))
    assert [len(beam["cautions"]) for beam in sheet["beams"]] == [1] + [0] * 9
    [caution] = sheet["beams"][0]["cautions"]
    assert f"  ! {caution}" in told("cutlist", "tamarack").splitlines()


def test_beams_come_in_out_of_a_list(told: Told, monkeypatch, capsys) -> None:
    job = "tamarack-bend"
    assert told("beams", job, "Porch: 2 beams 9' 6x8", "12'") == "Added 3 beams: 3 in Porch.\n"
    monkeypatch.setattr("sys.stdin", io.StringIO("Porch\t1\t3 m\n"))
    assert told("beams", job) == "Added 1 beam: 1 in Porch.\n"
    assert "Porch 4" in told("cutlist", job)
    assert main(["beams", job, "Porch: 2 beams 16 6x8"]) == 2
    assert "can be read in more than one way" in capsys.readouterr().err
    assert "Porch 5" not in told("cutlist", job)
