"""`crewdesk readings`: every number that was read, once, and which of them count."""

import csv
import io
import json
from fractions import Fraction as Fr

from tests.conftest import IMPORT_SAMPLE, SAMPLE


def test_it_lists_every_reading_of_the_sample_job(told) -> None:
    told(*IMPORT_SAMPLE)
    kept = json.loads(SAMPLE.read_text(encoding="utf-8"))["beams"].values()
    pieces = [piece for beam in kept for piece in beam.get("pieces", {}).values()]
    lists = [taken for piece in pieces for taken in piece.get("readings", {}).values()]
    of_pieces = [one for taken in lists for one in taken]
    pairs = [beam.get("pair", {}) for beam in kept]
    heights = 2 * sum(len(one["stations"]) for pair in pairs for one in pair.get("ceiling", []))
    squares = sum(len(pair.get(f"square{end}", [])) for pair in pairs for end in (1, 2))
    _, out = told("readings", "tamarack", "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert len(rows) == len(of_pieces) + heights + squares
    assert {one["exact"] for one in rows} >= {one["value"] for one in of_pieces}
    assert all(Fr(one["exact"]) == round(Fr(one["inches"]) * 64) / Fr(64) for one in rows)
    twice = [one for one in rows if one["counts"] == "no"]
    assert len(twice) == sum(len(taken) - 1 for taken in lists)


def test_lines_and_json_say_the_same(told) -> None:
    told(*IMPORT_SAMPLE)
    _, out = told("readings", "tamarack", "--beam", "Study 4")
    lines = out.splitlines()
    assert "  side A, end 1: 1/8 in, in at the top, over 24 in  [level, Wren, Mar 5]" in lines
    _, out = told("readings", "tamarack", "--beam", "study 4", "--json")
    found = json.loads(out)["readings"]
    assert len(found) == len(lines) - 3
    assert found[0]["counts"] is True


def test_a_beam_that_is_not_there_and_a_job_without_readings(told, desk, job, now) -> None:
    job.close(now)
    status, out = told("readings", "hill", "--beam", "nope")
    assert (status, "No beam is called nope" in out) == (2, True)
    assert "Nothing has been measured yet." in told("readings", "hill")[1]
