"""Pages and questions by their names, as `actions.toml` has them. A page opens another with
`program.open("material")` and imports none, so that no two of them wait for one another."""

from importlib import import_module
from typing import Any

PAGES = {
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
QUESTIONS = {
    "begin-job": "new_job.begin_job",
    "ask-job": "new_job.ask_job",
    "ask-more-beams": "new_job.ask_more_beams",
    "ask-beam": "beam_form.ask_beam",
    "ask-walls": "walls.ask_walls",
    "ask-added": "hours.ask_added",
    "ask-split": "hours.ask_split",
    "ask-moved": "hours.ask_moved",
    "ask-removed": "hours.ask_removed",
    "ask-past-gate": "piece_steps.ask_past_gate",
    "ask-set-aside": "piece_steps.ask_set_aside",
    "ask-gaps": "gaps.ask_gaps",
    "ask-own-cut": "own_cut.ask_own_cut",
    "ask-paper": "paper.ask_paper",
    "ask-beam-paper": "paper.ask_beam_paper",
    "ask-which": "trouble.ask_which",
}
"""Functions that ask something, of the program and of what it is about."""


def found(name: str) -> Any:
    """Return the class of a page, or the function of a question, by its name."""
    module, _, of_module = {**PAGES, **QUESTIONS}[name].rpartition(".")
    return getattr(import_module(f"crewdesk.screens.{module}"), of_module)
