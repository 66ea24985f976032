"""Other words for what can be done, as people look for it who don't know what it is called."""

OTHER_WORDS = {
    "everywhere.clock": "timer start stop forgot",
    "everywhere.find": "search command",
    "everywhere.large": "big font gloves touch",
    "everywhere.shop": (
        "settings units mm millimeters inches hourly rate license tax address paper size "
        "days to pay level's length"
    ),
    "everywhere.colours": "theme daylight sun night dark bright contrast blind",
    "everywhere.undo": "wrong mistake",
    "everywhere.quit": "exit close",
    "jobs.sample-job": "demo example",
    "run-sheet.tick": "done finish",
    "run-sheet.batch": "saw setting fence machine",
    "run-sheet.piece": "measure readings marks run wall plumb lean bevel cut scribe notes",
    "run-sheet.one-number-at-a-time": "measure laser level ladder",
    "run-sheet.ceiling": "scribe scriber laser",
    "run-sheet.walls-in-plan": "skew measure",
    "run-sheet.about-the-job": (
        "settings units mm millimeters inches laser tape level nails customer site address "
        "notes time zone"
    ),
    "run-sheet.block": "skip wait",
    "run-sheet.changed-cut": "held keep recut again readings changed answer",
    "piece.changed-cut": "held keep recut again readings changed answer",
    "run-sheet.pass-gate": "override too early",
    "run-sheet.edit-beam": (
        "section form width height thickness reveal slope pitch rough length rename note"
    ),
    "run-sheet.remove-beam": "delete",
    "run-sheet.hours": "forgot time sheet worked",
    "run-sheet.money": "price quote estimate bill invoice deposit payment change order extra",
    "run-sheet.material": "lumber boards buy shopping takeoff offcuts kerf splice",
    "run-sheet.paper": "print pdf labels cut list forms progress",
    "run-sheet.cautions": "safety nail gun dust ladder",
    "run-sheet.what-it-took": "compare estimate learn",
    "piece.gaps": "wedge caulk shim fix-up",
    "piece.own-cut": "longer shorter bottom scribe line table circular track saw plane",
    "hours.add": "forgot",
    "hours.mend": "forgot wrong",
    "money.invoice": "bill deposit",
    "shop.customers": "client",
    "jobs.accounts": "owed year tax bookkeeper",
}
"""By the name of an action, as `crewdesk.screens.named_keys` gives it."""
