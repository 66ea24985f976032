"""Pages and sheets by their names, as `actions.toml` has them. A page opens another with
`program.open("material")` and imports none, so that no two of them wait for one another."""

from importlib import import_module
from typing import Any

from textual.screen import Screen

MADE_BY = {
    "jobs": "jobs.JobsPage",
    "run-sheet": "run_sheet.RunSheetPage",
    "whole-job": "whole_job.WholeJob",
    "batch": "batch.BatchSheet",
    "list-of-beams": "beam_list.BeamList",
    "piece": "piece.PiecePage",
    "one-number": "one_number.OneNumberPage",
    "ceiling": "ceiling.CeilingPage",
    "stages": "stages.StagesPage",
    "other-work": "job_lists.OtherWorkPage",
    "hours": "hours.HoursPage",
    "pieces-of-an-entry": "hours.PiecesSheet",
    "planned-days": "job_lists.PlannedPage",
    "clock": "clock.ClockSheet",
    "money": "money.MoneyPage",
    "next-invoice": "next_invoice.PreviewPage",
    "an-invoice": "issued.IssuedPage",
    "what-it-took": "took.TookPage",
    "accounts": "accounts.AccountsPage",
    "material": "material.MaterialPage",
    "shop": "shop.ShopPage",
    "customers": "shop_lists.CustomersPage",
    "past-jobs": "past_jobs.PastJobsPage",
    "boards-of-the-shop": "shop_lists.StockPage",
    "forms-of-the-shop": "shop_lists.FormsPage",
    "find": "find.FindSheet",
    "look-up": "look_up.LookUp",
    "help": "help.HelpSheet",
}


def made(page: str, *args: Any, **kwargs: Any) -> Screen[Any]:
    """Return a new page or sheet by its name."""
    module, _, name = MADE_BY[page].rpartition(".")
    screen: Screen[Any] = getattr(import_module(f"crewdesk.screens.{module}"), name)(
        *args, **kwargs
    )
    return screen
