"""The yard list: what is to buy adds up, and every board that isn't bought says what it becomes."""

import re
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.lumber.kept import kept_takeoff
from crewdesk.paper.text.yard_list import yard_lines, yard_list
from tests.conftest import IMPORT_SAMPLE


def test_it_adds_up(told, desk) -> None:
    told(*IMPORT_SAMPLE)
    record = desk.open("tamarack-bend", writing=False).record
    boards = kept_takeoff(record).boards
    found = yard_list(record, {})
    assert sum(one.bought for one in found.rows) == sum(
        one.state != "to buy" and not one.hand for one in boards
    )
    to_buy = [one for one in boards if one.state == "to buy" and not one.hand]
    assert sum(len(one.becomes) for one in found.rows) == len(to_buy)
    spare = sum(one.spare for one in found.rows)
    assert sum(one.to_buy for one in found.rows) == len(to_buy) + spare
    cost = sum((one.each * one.to_buy for one in found.rows), Decimal(0))
    assert f"${cost:,.2f}" in found.total
    # A board foot is 144 cubic inches of nominal size (American Softwood Lumber Standard, PS 20,
    # 1.3: nominal thickness in inches by width in inches by length in feet, divided by 12).
    for one in found.rows:
        thick, wide = map(int, re.search(r"(\d+)x(\d+)", one.size).groups())
        feet = Fraction(re.match(r"(\d+)'", one.length)[1])
        assert one.board_feet == one.to_buy * thick * wide * feet / 12


def test_text_and_pdf_and_a_job_without_a_plan(told, desk, job, tmp_path, now) -> None:
    told(*IMPORT_SAMPLE)
    record = desk.open("tamarack-bend", writing=False).record
    lines = list(yard_lines(record, {}))
    assert any(
        line.startswith("[ ] 1 x 18' (1 spare), 8 bought: 18.0 board feet") for line in lines
    )
    path = tmp_path / "yard.txt"
    assert told("sheet", "tamarack", "yard", "--to", str(path))[0] == 0
    assert path.read_text(encoding="utf-8").splitlines()[0] == lines[0]
    assert told("sheet", "tamarack", "yard", "--to", str(tmp_path / "yard.pdf"))[0] == 0
    job.close(now)
    status, out = told("sheet", "hill", "yard", "--to", str(tmp_path / "none.pdf"))
    assert (status, "no saved plan of boards" in out) == (2, True)
