"""The seven stages as they usually run (common practice); a job may have its own."""

from crewdesk.job.stages import Need, Stage, Stages, Step

_EARLIER = Need("earlier")


def _done(who: str, step: str) -> Need:
    return Need("done", who=who, step=step)


def _read(what: str) -> Need:
    return Need("reading", what=what)


USUAL_STAGES = Stages(
    (
        Stage(
            "rip",
            "Rip",
            (
                Step("rip-side", "Rip to starting height", ("side",)),
                Step("rip-bottom", "Rip to width, relief bevel on both edges", ("bottom",)),
                Step("rip-cleats", "Rip the cleats, from offcuts first", ("cleats",)),
            ),
        ),
        Stage(
            "ease",
            "Ease",
            (
                Step("ease", "Ease both bottom edges", ("side",)),
                Step("sand", "Sand the show faces", ("side", "bottom")),
                Step("cleat-line", "Mark the cleat line inside", ("side",)),
            ),
        ),
        Stage("tape", "Tape", (Step("tape", "Tape the top edge", ("side",)),)),
        Stage(
            "tack",
            "Tack",
            (
                Step("scrape", "Scrape the ceiling of ridges", ("side",)),
                Step(
                    "cut-side",
                    "Cut to length",
                    ("side",),
                    (_EARLIER, _read("run"), _read("end1"), _read("end2")),
                ),
                Step("back-bevel", "Back-bevel the end that slides in", ("side",)),
                Step("tack", "Tack with three screws, centre first", ("side",)),
                Step(
                    "level",
                    "Level the pair at ends and centre",
                    ("side",),
                    (_EARLIER, _done("partner", "tack")),
                ),
            ),
        ),
        Stage(
            "scribe",
            "Scribe",
            (
                Step(
                    "scribe",
                    "Scribe, same setting on both sides",
                    ("side",),
                    (_EARLIER, _done("partner", "tack"), _done("partner", "level")),
                ),
                Step(
                    "take-down",
                    "Take down, ends' screws first",
                    ("side",),
                    (_EARLIER, _done("partner", "scribe")),
                ),
                Step("cut-scribe", "Cut to the scribe line", ("side",)),
            ),
        ),
        Stage(
            "nail",
            "Final nail",
            (
                Step(
                    "fix-cleats",
                    "Fix the cleats inside the sides",
                    ("cleats",),
                    (_EARLIER, _done("sides", "cleat-line")),
                ),
                Step(
                    "nail-side",
                    "Push up and nail",
                    ("side",),
                    (_EARLIER, _done("cleats", "fix-cleats")),
                ),
                Step(
                    "cut-bottom",
                    "Cut to length, relief on the ends",
                    ("bottom",),
                    (
                        _EARLIER,
                        _done("sides", "nail-side"),
                        _read("opening"),
                        Need("read after", who="sides", step="nail-side", what="opening"),
                    ),
                ),
                Step("nail-bottom", "Adhesive on the cleat, clamp, nail", ("bottom",)),
            ),
        ),
        Stage(
            "fix-up",
            "Fix-up",
            (
                Step(
                    "gaps",
                    "Find and close the gaps",
                    ("side", "bottom"),
                    (_EARLIER, _done("bottom", "nail-bottom")),
                ),
                Step("tape-off", "Tape off", ("side",)),
            ),
        ),
    )
)
