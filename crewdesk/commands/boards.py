"""The commands about boards; each returns the sheet to print."""

from argparse import Namespace
from datetime import datetime
from typing import TYPE_CHECKING

from crewdesk.commands.cuts import how_to_answer
from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.cuts.open_cuts import open_cuts, open_keys, told_since
from crewdesk.job.text_limits import quoted
from crewdesk.paper.sheet import Sheet
from crewdesk.store.desk import Desk

if TYPE_CHECKING:
    from crewdesk.job.lumber.takeoff import Takeoff
    from crewdesk.store.job_file import JobFile

LONGEST_WAIT = 3600


def run(desk: Desk, args: Namespace, now: datetime) -> Sheet:
    """Run a command about boards; raises `NotAllowed`, `BadInput` or `OSError`."""
    return _takeoff(desk, args, now) if args.command == "takeoff" else _stock(desk, args, now)


def _takeoff(desk: Desk, args: Namespace, now: datetime) -> Sheet:
    from crewdesk.job.lumber.boards import change_rules
    from crewdesk.job.lumber.buying_list import into_estimate
    from crewdesk.job.lumber.kept import kept_takeoff, without_board
    from crewdesk.paper.text.takeoff import takeoff_sheet
    from crewdesk.store.lumber import give_back, keep_plan

    if not 1 <= args.seconds <= LONGEST_WAIT:
        raise NotAllowed(f"A plan can take from 1 to {LONGEST_WAIT} seconds, not {args.seconds}.")
    rules = dict(_rule(word) for word in args.rules)
    noted = args.bought or args.cut or args.spoiled
    writes = bool(rules or noted or args.keep or args.estimate or args.leftovers)
    id_ = desk.find(args.job)
    job, text = desk.open(id_, writing=writes), ""
    try:
        if writes:
            job.writable()
        before = open_keys(job.record)
        if rules:
            job.make(change_rules(job.record, rules, now))
        text = told_since(job.record, before)
        if noted:
            _note(job, args, now)
        around = args.spoiled and without_board(job.record)
        kept = None if args.anew or rules or around else kept_takeoff(job.record)
        found = kept or _solved(desk, id_, job, args.seconds)
        keeps = args.keep or bool(around)
        if keeps and kept is None:
            keep_plan(desk, job, found, now)
        if args.estimate:
            job.make(into_estimate(job.record, found, desk.shop.shop(), now))
        if args.leftovers:
            give_back(desk, job, now)
        prices = desk.shop.shop().packs
        sheet = takeoff_sheet(id_, job.record, found, prices, kept=kept is not None or keeps)
        how = [how_to_answer(id_)] if open_cuts(job.record) else []
        return _with_cuts(sheet, text, how) if text else sheet
    except CrewdeskError as refused:
        if text:  # the rule is saved anyway
            raise NotAllowed(f"{refused} {text}") from None
        raise
    finally:
        job.close(now)


def _note(job: "JobFile", args: Namespace, now: datetime) -> None:
    """Mark boards, each state as one change."""
    from crewdesk.job.lumber.boards import (
        may_buy,
        may_cut,
        rows_named,
        spoil,
        tick_bought,
        tick_cut,
    )

    for text, tick, may in ((args.bought, tick_bought, may_buy), (args.cut, tick_cut, may_cut)):
        if text:
            job.make(tick(job.record, rows_named(job.record, text, may), now))
    if args.spoiled:
        number, _, bad = args.spoiled.partition(":")
        rows = rows_named(job.record, number)
        if len(rows) != 1:
            raise NotAllowed("Mark one ruined board at a time, for example 4 or 4:40..43.")
        job.make(spoil(job.record, rows[0], bad, now))


def _solved(desk: Desk, id_: str, job: "JobFile", seconds: int) -> "Takeoff":
    from crewdesk.job.lumber.plan_boards import solve
    from crewdesk.store.lumber import job_task

    return solve(job_task(desk, id_, job), seconds=seconds)


def _rule(word: str) -> tuple[str, str]:
    name, sign, text = word.partition("=")
    if not sign:
        raise NotAllowed(
            f"{quoted(word)} isn't a rule with a value. Type it like kerf=1/8 or splices=scarf."
        )
    return name.strip().lower().replace("-", "_"), text


def _with_cuts(sheet: Sheet, told: str, how: list[str]) -> Sheet:
    """Return the sheet with the effects of its rules on made cuts, and `how` to answer."""
    lines = (told, *how, "", *sheet.lines)
    return Sheet(lines, lambda: {**sheet.values, "cuts_changed": told})


def _stock(desk: Desk, args: Namespace, now: datetime) -> Sheet:
    from crewdesk.job.lumber.stock_list import take_stock_in
    from crewdesk.paper.job_document import read_document
    from crewdesk.paper.text.lists import stock_sheet

    if args.take is not None:
        document = read_document(args.take)
        desk.shop.make(lambda books, at: take_stock_in(books, document, at), now)
    return stock_sheet(desk.shop.record())
