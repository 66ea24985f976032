"""The seven stages as they usually run (common practice); a job may have its own."""

from crewdesk.job.needs import EARLIER, TRUTHS, Need, done, read
from crewdesk.job.stages import Stage, Stages, Step

USUAL_STAGES = Stages(
    (
        Stage(
            "rip",
            "Rip",
            (
                Step("rip-side", "Rip to width", ("side",)),
                Step("rip-bottom", "Rip to width, bevel the edges", ("bottom",)),
                Step("rip-top", "Rip the top board to width", ("top",)),
                Step("rip-cleats", "Rip the cleats, from cutoffs first", ("cleats",)),
            ),
        ),
        Stage(
            "ease",
            "Ease",
            (
                Step("ease", "Ease both bottom edges", ("side",), only="square edges"),
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
                    (EARLIER, read("run"), read("end1"), read("end2")),
                ),
                Step("back-bevel", "Back-bevel the end that slides in", ("side",)),
                Step("tack", "Tack with three screws, center first", ("side",), only="ceiling"),
                Step(
                    "level",
                    "Level at ends and center",
                    ("side",),
                    (EARLIER, done("partner", "tack")),
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
                    "Scribe, one setting for the beam",
                    ("side",),
                    (
                        EARLIER,
                        done("partner", "tack"),
                        done("partner", "level"),
                        *TRUTHS["scribe"],
                    ),
                    "ceiling",
                ),
                Step(
                    "take-down",
                    "Take down, ends' screws first",
                    ("side",),
                    (EARLIER, done("partner", "scribe")),
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
                    "Nail a cleat inside each side",
                    ("cleats",),
                    (EARLIER, done("sides", "cleat-line"), *TRUTHS["fix-cleats"]),
                ),
                Step(
                    "fix-top",
                    "Cut the top to length, attach it to the sides",
                    ("top",),
                    (EARLIER, done("sides", "cut-side"), *TRUTHS["fix-top"]),
                ),
                Step(
                    "nail-side",
                    "Push up and nail",
                    ("side",),
                    (EARLIER, done("cleats", "fix-cleats"), done("top", "fix-top")),
                ),
                Step(
                    "wall-cleat",
                    "Nail the wall's cleat level with the side's",
                    ("cleats",),
                    (EARLIER, done("sides", "cut-scribe"), done("sides", "nail-side")),
                    "wall",
                ),
                Step(
                    "cut-bottom",
                    "Cut to length, both ends to fit",
                    ("bottom",),
                    (
                        EARLIER,
                        done("sides", "nail-side"),
                        read("opening"),
                        Need("read after", who="sides", step="nail-side", what="opening"),
                        *TRUTHS["cut-bottom"],
                    ),
                ),
                Step(
                    "scribe-wall",
                    "Scribe the wall edge, cut to the line",
                    ("bottom",),
                    (EARLIER, done("sides", "nail-side"), done("cleats", "wall-cleat")),
                    "wall",
                ),
                Step(
                    "nail-bottom",
                    "Adhesive on the cleat, clamp, nail",
                    ("bottom",),
                    (EARLIER, *TRUTHS["nail-bottom"], done("cleats", "wall-cleat")),
                    "cleats",
                ),
                Step(
                    "glue-bottom",
                    "Glue the miters, clamp, nail",
                    ("bottom",),
                    (EARLIER, done("sides", "nail-side")),
                    "glued miters",
                ),
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
                    (EARLIER, done("bottom", "nail-bottom"), done("bottom", "glue-bottom")),
                ),
                Step("tape-off", "Tape off", ("side",), only="ceiling"),
            ),
        ),
    )
)
