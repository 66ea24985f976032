"""What would make the marks surer stands on the printed cut sheet too."""

from crewdesk.job.beams import take
from crewdesk.job.steps.ticks import Spot


def test_a_level_shorter_than_the_side_is_told_on_the_cut_sheet(
    record, now, print_it, read_pdf
) -> None:
    for what, text in (("run", "147"), ("end1", "1/8"), ("end2", "1/8")):
        one = take.typed_reading(record, what, text, now, lean="in", level="9")
        record.make(take.take(record, Spot("1", "A"), what, one))
    (page, *_) = read_pdf(print_it(record, "cuts"))
    told = " ".join(page.texts)
    for end in (1, 2):
        assert f"At end {end} the 9 in level is shorter than the 10 in side" in told
    assert "within (in): bottom edge 5/64" in told
