"""The things of the shop, as its page lists and asks for them."""

from dataclasses import dataclass

from crewdesk.job.books.shop_typed import TAXABLE
from crewdesk.job.shop_machine import SCRIBE_CUTS
from crewdesk.length import STEPS


@dataclass(frozen=True)
class Thing:
    """A thing of the shop: what it is called, a hint for typing it, what it is good for.

    `ways` are those to choose from, where it is not typed.
    """

    key: str
    asks: str
    hint: str
    about: str
    ways: tuple[tuple[str, str], ...] = ()


_STEPS = {
    "1/16": "1/16 in",
    "1/32": "1/32 in",
    "1/64": "1/64 in",
    "mm": "whole millimeters",
}
_YES_NO = (("yes", "Yes"), ("no", "No"))
_LETTER = "Heads every estimate and invoice."
_PERCENT = "A percentage, as 10 or 7.5."
GROUPS: tuple[tuple[str, tuple[Thing, ...]], ...] = (
    (
        "At work",
        (
            Thing("who", "Who takes the readings", "a name", "Stands beside every reading."),
            Thing(
                "level",
                "Length of the level",
                "24, 48, 6', 600 mm",
                "What an end's reading is taken over.",
            ),
            Thing(
                "instruments",
                "Accuracy of instruments",
                "empty: the usual",
                "As printed on them: 1/16 or 1.5 mm; level, square, line laser 1/8 at 30'.",
            ),
            Thing(
                "step",
                "Lengths shown to",
                "",
                "In new jobs; each job can have its own.",
                tuple((step, _STEPS[step]) for step in STEPS),
            ),
            Thing(
                "other_work",
                "Work besides the stages",
                "parted by commas",
                "Time is logged on it, too; in new jobs. A job's own are with its stages (t, o).",
            ),
            Thing("theme", "Colors", "", "{everywhere.colours} goes through them from anywhere."),
            Thing(
                "layout",
                "Layout",
                "",
                "Large is for gloves and a touch screen. "
                "{everywhere.large} turns it from anywhere.",
                (("usual", "Usual"), ("large", "Large")),
            ),
            Thing(
                "paper",
                "Paper",
                "",
                "What sheets, labels, estimates and invoices are printed on.",
                (("letter", "Letter, 8-1/2 x 11 in"), ("A4", "A4, 210 x 297 mm")),
            ),
            Thing(
                "saw_tilt",
                "Table saw tilts",
                "",
                "Puts the fence left or right of the blade. Usual: left (common practice, no "
                "source).",
                (("left", "To the left"), ("right", "To the right")),
            ),
            Thing(
                "miter_tilt",
                "Miter saw tilts",
                "",
                "Which end of a bottom is cut which way round. Usual: left (common practice, no "
                "source).",
                (("left", "To the left"), ("right", "To the right"), ("both", "Both ways")),
            ),
            Thing(
                "face_down",
                "Face down, tilted cuts",
                "",
                "The fence is figured at it. Usual: the narrower (common practice, no source).",
                (
                    ("narrow", "The narrower: the blade leans away from the fence"),
                    ("back", "The back"),
                    ("show", "The show face"),
                ),
            ),
            Thing(
                "scribe_cut",
                "Cut to the scribe line",
                "",
                "By the board: its length, cut depth and ceiling (common practice, no source).",
                tuple((way, way[0].upper() + way[1:]) for way in SCRIBE_CUTS),
            ),
            Thing(
                "scribe_proud",
                "Left proud of the line",
                "1/32, 1 mm, 0",
                "Planed off after the saw. Usual: 1/32 in (common practice, no source).",
            ),
            Thing(
                "scribe_back_cut",
                "Back-cut at the scribe",
                "3",
                "Only the show edge touches. Usual: 3 degrees (common practice, no source).",
            ),
            Thing(
                "scribers",
                "Scribing tools",
                "block = 3/4, pencil = 1/8",
                "How far each holds the pencil off; a batch then names the one to take.",
            ),
        ),
    ),
    (
        "On letters",
        (
            Thing("name", "Name of the shop", "as on the truck", _LETTER),
            Thing("address", "Address", "street / town", f"{_LETTER} A / begins a new line."),
            Thing("licence", "License number", "as your state gave it", _LETTER),
            Thing("phone", "Phone", "", _LETTER),
            Thing("email", "E-mail", "", _LETTER),
            Thing("terms_text", "Text of the terms", "", "Stands at the foot of every letter."),
        ),
    ),
    (
        "Rates and prices",
        (
            Thing("hour", "An hour costs", "85 or 85/h", "A job can have a rate of its own."),
            Thing(
                "stage_rates",
                "Rates by stage",
                "95/h, 4.50/ft, 40 each",
                "Stages that cost otherwise: by another hour, the foot or the beam.",
            ),
            Thing(
                "times",
                "Time by kind of beam",
                "empty: the usual",
                "In percent of a plain beam's, by ceiling and section.",
            ),
            Thing("packs", "A pack costs", "8.40", "What the takeoff counts besides boards."),
            Thing(
                "rounding",
                "Hours are billed",
                "none, 15 nearest day, 6 up entry",
                "none, or 5, 6 or 15 minutes; nearest, up or down; per entry, day or stage.",
            ),
            Thing("waste", "Waste on material", _PERCENT, "Bought besides, in percent."),
            Thing("markup", "Markup on material", _PERCENT, "Put on what it costs, in percent."),
            Thing("overhead", "Overhead", _PERCENT, "Put on labor and material, in percent."),
            Thing("profit", "Profit", _PERCENT, "Put on all of it with its overhead, in percent."),
            Thing("round_to", "Prices go to", "0.01, 1, 10", "To a multiple of that much money."),
            Thing("round_up", "Always up", "", "No: to the nearest.", _YES_NO),
        ),
    ),
    (
        "Tax and payment",
        (
            Thing("tax", "Tax", "7.5", "In percent, from 0 to 50."),
            Thing("taxed", "Tax is on", ", ".join(TAXABLE), f"Any of {', '.join(TAXABLE)}."),
            Thing(
                "tax_per",
                "Tax is rounded",
                "",
                "Half up to the cent, once for the invoice or line by line.",
                (("invoice", "Once for the invoice"), ("line", "Line by line")),
            ),
            Thing("terms", "Days to pay", "30", "A customer can have terms of their own."),
            Thing("deposit", "Deposit", "30", "In percent of the price; 0 for none."),
            Thing("first_number", "First invoice number", "1", "Fixed once one is issued."),
            Thing(
                "zone",
                "Time zone",
                "America/Denver; empty: this computer's",
                "Which day it is on estimates, invoices, payments and plans.",
            ),
        ),
    ),
)
PACK_NAMES = {
    "tape": "Roll of tape",
    "nails": "Box of nails",
    "adhesive": "Tube of adhesive",
    "glue": "Bottle of glue",
    "sandpaper": "Sheet of sandpaper",
    "wedges": "Strip for wedges",
}
NONE_OF = {
    "stage_rates": "all at the hourly rate",
    "packs": "no price known",
    "times": "sloped ceilings 125 %, a guess",
    "zone": "this computer's",
    "instruments": "laser and tape 1/16 in, line laser 1/8 in at 30 ft",
}
INSTRUMENT_NAMES = {
    "laser": "Laser distance meter",
    "tape": "Tape measure",
    "level": "Level",
    "square": "Square",
    "line_laser": "Line laser",
}
THINGS = {thing.key: thing for _, things in GROUPS for thing in things}
PERCENTS = ("waste", "markup", "overhead", "profit", "tax", "deposit")
UNITS = {"level": " in", "scribe_proud": " in", "scribe_back_cut": "\u00b0"}
"""What is shown behind a bare number."""
