"""Pages and questions by their names, as `actions.toml` has them. A page opens another with
`program.open("material")` and imports none, so that there are no import circles."""

from importlib import import_module
from typing import Any

PAGES = {
    "jobs": "run_sheet.jobs.JobsPage",
    "run-sheet": "run_sheet.run_sheet.RunSheetPage",
    "whole-job": "run_sheet.whole_job.WholeJob",
    "batch": "run_sheet.batch.BatchPage",
    "list-of-beams": "run_sheet.beam_list.BeamList",
    "piece": "piece.piece.PiecePage",
    "one-number": "piece.one_number.OneNumberPage",
    "ceiling": "piece.ceiling.CeilingPage",
    "stages": "run_sheet.stages.StagesPage",
    "other-work": "hours.lists.OtherWorkPage",
    "hours": "hours.hours.HoursPage",
    "pieces-of-an-entry": "hours.hours.PiecesSheet",
    "planned-days": "hours.lists.PlannedPage",
    "clock": "hours.clock.ClockSheet",
    "money": "money.money.MoneyPage",
    "next-invoice": "money.next_invoice.PreviewPage",
    "an-invoice": "money.issued.IssuedPage",
    "what-it-took": "hours.took.TookPage",
    "accounts": "money.accounts.AccountsPage",
    "material": "material.material.MaterialPage",
    "shop": "business.shop.ShopPage",
    "customers": "business.lists.CustomersPage",
    "past-jobs": "business.past_jobs.PastJobsPage",
    "boards-of-the-shop": "business.lists.StockPage",
    "forms-of-the-shop": "business.lists.FormsPage",
    "find": "find.FindSheet",
    "look-up": "look_up.LookUp",
    "help": "help.HelpSheet",
}
QUESTIONS = {
    "begin-job": "run_sheet.new_job.begin_job",
    "ask-job": "run_sheet.new_job.ask_job",
    "ask-more-beams": "run_sheet.new_job.ask_more_beams",
    "ask-beam": "run_sheet.beam_form.ask_beam",
    "ask-walls": "piece.walls.ask_walls",
    "ask-added": "hours.hours.ask_added",
    "ask-split": "hours.hours.ask_split",
    "ask-moved": "hours.hours.ask_moved",
    "ask-removed": "hours.hours.ask_removed",
    "ask-past-gate": "piece.steps.ask_past_gate",
    "ask-set-aside": "piece.steps.ask_set_aside",
    "ask-gaps": "piece.gaps.ask_gaps",
    "ask-own-cut": "piece.own_cut.ask_own_cut",
    "ask-paper": "parts.paper.ask_paper",
    "ask-beam-paper": "parts.paper.ask_beam_paper",
    "ask-which": "run_sheet.trouble.ask_which",
}
"""Functions that ask a question, called with the program and the question's subject."""


def found(name: str) -> Any:
    """Return the class of a page, or the function of a question, by its name."""
    module, _, of_module = {**PAGES, **QUESTIONS}[name].rpartition(".")
    return getattr(import_module(f"crewdesk.screens.{module}"), of_module)
