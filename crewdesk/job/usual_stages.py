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
                Step("rip-top", "Rip the top board to width", ("top",)),
                Step("rip-cleats", "Rip the cleats, from offcuts first", ("cleats",)),
            ),
        ),
        Stage(
            "ease",
            "Ease",
            (
                Step("ease", "Ease both bottom edges", ("side",)),
                Step("sand", "Sand the show faces", ("side", "bottom")),
                Step("cleat-line", "Mark the cleat line inside", ("side",), only="cleats"),
            ),
        ),
        Stage("tape", "Tape", (Step("tape", "Tape the top edge", ("side",), only="ceiling"),)),
        Stage(
            "tack",
            "Tack",
            (
                Step("scrape", "Scrape the ceiling of ridges", ("side",), only="ceiling"),
                Step(
                    "cut-side",
                    "Cut to length",
                    ("side",),
                    (_EARLIER, _read("run"), _read("end1"), _read("end2")),
                ),
                Step("back-bevel", "Back-bevel the end that slides in", ("side",)),
                Step("tack", "Tack with three screws, centre first", ("side",), only="ceiling"),
                Step(
                    "level",
                    "Level the pair at ends and centre",
                    ("side",),
                    (_EARLIER, _done("partner", "tack")),
                    "ceiling",
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
                    "ceiling",
                ),
                Step(
                    "take-down",
                    "Take down, ends' screws first",
                    ("side",),
                    (_EARLIER, _done("partner", "scribe")),
                    "ceiling",
                ),
                Step("cut-scribe", "Cut to the scribe line", ("side",), only="ceiling"),
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
                    "fix-top",
                    "Cut the top to length, fix it between the sides",
                    ("top",),
                    (_EARLIER, _done("sides", "cut-side")),
                ),
                Step(
                    "nail-side",
                    "Push up and nail",
                    ("side",),
                    (_EARLIER, _done("cleats", "fix-cleats"), _done("top", "fix-top")),
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
                Step("tape-off", "Tape off", ("side",), only="ceiling"),
            ),
        ),
    )
)
