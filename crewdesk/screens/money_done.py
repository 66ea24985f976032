"""How far a job is, stage by stage, as a progress invoice counts it."""

from crewdesk.job.books.done import done_by_stage
from crewdesk.paper.plain import plain
from crewdesk.screens.leaf import Leaf
from crewdesk.screens.lines import Row
from crewdesk.store.books import JobBooks
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.progress import part_done


class DoneLeaf(Leaf):
    """A bar for each stage, out of the run sheet's ticks."""

    NAME = "Done"

    def heads(self, books: JobBooks, width: int) -> str:
        return f" {'':<16}{'done':>7}  {'':<{_bar_wide(width)}}  {'reckoned to take':>18}"

    def rows(self, books: JobBooks, width: int) -> list[Row]:
        done = done_by_stage(books.record, books.books.shop.factors, books.past)
        rows = []
        for one in done:
            name = plain(books.record.stages.name_of(one.stage))
            told = short(round(one.minutes) * 60) if one.minutes else "no time"
            rows.append(
                Row(
                    (
                        (f" {name:<16.16}", "text"),
                        (f"{int(one.part * 100):>5} %  ", "strong"),
                        (_bar(float(one.part), width), "running"),
                        (f"  {told:>18}", "muted"),
                    ),
                    one.stage,
                )
            )
        if not rows:
            return [Row(((" No beam yet, so there is nothing to do.", "muted"),))]
        whole = part_done(done)
        rows += [
            Row(()),
            Row(
                (
                    (f" {'Whole job':<16}", "strong"),
                    (f"{int(whole * 100):>5} %  ", "strong"),
                    (_bar(float(whole), width), "running"),
                ),
                "whole",
            ),
        ]
        return rows

    def about(self, books: JobBooks, key: str) -> str:
        whose = "the accepted estimate's" if books.record.accepted else "your stage rates'"
        return (
            f"Steps done, each weighted by {whose} minutes.\n"
            "Whole percents are cut off, never rounded up."
        )


def _bar(part: float, width: int) -> str:
    wide = _bar_wide(width)
    filled = int(part * wide)
    return "━" * filled + "┄" * (wide - filled)


def _bar_wide(width: int) -> int:
    """The columns of a bar: what its name and figures leave."""
    return min(max(width - 48, 8), 30)
