"""Print or save: which part, then the file's place, which is shown."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.steps.run_sheet import Batch
from crewdesk.paper.documents.letter import Letter, letter_lines
from crewdesk.paper.job_document import check_new, free_name, write_new
from crewdesk.screens.parts.ask import Answer, Field, ask, choose
from crewdesk.screens.parts.program import Program

if TYPE_CHECKING:
    from crewdesk.paper.sheets.labels import LabelSheet
    from crewdesk.paper.sheets.parts import Printing

Makes = Mapping[str, Callable[[], bytes]]
"""The functions that make a file's bytes, by suffix such as ``.pdf``."""


def ask_save(app: Program, title: str, name: str, makes: Makes) -> None:
    """Ask for a file, `name` in the user's home folder by default, and write it.

    Its suffix determines its format. An existing file is never overwritten.
    """
    ends = " or ".join(makes)

    def path_of(answer: Answer) -> Path:
        text = answer["file"].strip()
        if not text:
            raise NotAllowed(f"Name a new file that ends in {ends}.")
        path = _absolute(text)
        if path.suffix.lower() not in makes:
            raise NotAllowed(f"The end of its name sets the kind of file. It must end in {ends}.")
        check_new(path)
        if not path.parent.is_dir():
            raise NotAllowed(f"There is no folder {path.parent}. Name an existing one.")
        return path

    def given(answer: Answer) -> None:
        try:
            path = path_of(answer)
            write_new(path, makes[path.suffix.lower()]())
        except CrewdeskError as refused:
            app.tell(str(refused), "wrong")
            return
        app.tell(f"Wrote {path}", "saved")

    about = f"It ends in {ends}, which sets the kind of file. The folder must exist."
    field = Field("file", "New file", f"~/{name}")
    ask(app, title, (field,), given, path_of, does="Write it", about=about)


def ask_save_letter(app: Program, letter: Letter, name: str) -> None:
    """Ask where to save a document, as PDF or as plain text."""

    def pdf() -> bytes:
        from crewdesk.paper.documents.letter import letter_pdf

        return letter_pdf(letter, app.now(), paper=app.shop.paper)

    def text() -> bytes:
        return ("\n".join(letter_lines(letter)) + "\n").encode("utf-8")

    ask_save(app, f"Save {letter.title}", f"{name}.pdf", {".pdf": pdf, ".txt": text})


def _absolute(text: str) -> Path:
    try:
        return Path(text).expanduser().absolute()
    except (RuntimeError, ValueError, OSError):
        raise NotAllowed(f"{text[:80]} isn't a file name. Type one like ~/invoice-1.pdf.") from None


_OF_JOB = (
    ("sheet", "What is still to do: batches, cuts, readings, cautions"),
    ("cuts", "Cut list, each board drawn"),
    ("batches", "Batches that are ready, with machine settings"),
    ("readings", "Form for readings, to fill in by hand"),
    ("progress", "The day's progress, for the builder"),
    ("yard", "Yard list: what to buy, and what each board becomes"),
    ("cautions", "Cautions of every stage"),
    ("labels", "Labels for the pieces"),
    ("everything", "Everything, also what is done"),
)
_OF_BEAM = (
    ("sheet", "Its cuts and the form for its readings"),
    ("cuts", "Its cuts, each board drawn"),
    ("readings", "The form for its readings"),
    ("labels", "Labels for its pieces"),
)


def ask_paper(app: Program) -> None:
    """Ask which part of the job to print, and where to."""
    choose(app, "Print what?", _OF_JOB, lambda part: _chosen(app, part, None))


def ask_beam_paper(app: Program, row: str, *, unsaved: bool = False) -> None:
    """Ask what to print of one beam, and where to; if typed text is `unsaved`, say that it isn't
    printed."""
    about = "What isn't saved yet isn't printed." if unsaved else ""
    title = f"Print what of {app.record.beam(row).label}?"
    choose(app, title, _OF_BEAM, lambda part: _chosen(app, part, row), about=about)


def ask_batch_paper(app: Program, batch: Batch) -> None:
    """Ask where to save the sheet of one batch."""

    def want() -> "Printing":
        return _printing(app, ("batches",), batches=(batch,))

    _ask_file(app, batch.step.name, f"batch-{batch.step.id}", want)


def _chosen(app: Program, part: str, row: str | None) -> None:
    if part == "labels":
        _ask_labels(app, row)
    else:
        parts = () if part == "sheet" else (part,)
        words = dict(_OF_JOB if row is None else _OF_BEAM)[part]
        _ask_file(app, words, part, lambda: _printing(app, parts, row=row))


def _ask_labels(app: Program, row: str | None) -> None:
    """Ask for the label sheets, the usual ones of the shop's paper first."""
    from crewdesk.paper.sheets.labels import LABEL_SHEETS

    paper = app.shop.paper
    sheets = LABEL_SHEETS[paper]
    ways = [(name, f"{one.told}, {one.count} to a page") for name, one in sheets.items()]

    def chosen(count: str) -> None:
        want = sheets[count]
        _ask_file(
            app, "labels", "labels", lambda: _printing(app, ("labels",), row=row, labels=want)
        )

    about = "Print them at full size: turn off fitting to the page in the print window."
    choose(app, f"Labels on which {paper} sheets?", ways, chosen, about=about)


def _printing(
    app: Program,
    parts: tuple[str, ...],
    *,
    row: str | None = None,
    batches: tuple[Batch, ...] | None = None,
    labels: "LabelSheet | None" = None,
) -> "Printing":
    from crewdesk.paper.sheets.parts import Printing, paper_named

    return Printing(
        app.today,
        paper_named(app.shop.paper),
        parts,
        () if row is None else (app.record.beam(row),),
        labels,
        batches=batches,
        machine=app.shop.machine,
        zone=app.zone,
        packs=app.shop.packs,
    )


def _ask_file(app: Program, title: str, stem: str, want: "Callable[[], Printing]") -> None:
    """Ask for the file, by default a new one in the user's home folder, and write it."""

    def pdf() -> bytes:
        from crewdesk.paper.sheets.parts import printed

        return printed(app.record, want(), app.now())[0]

    assert app.job is not None
    name = free_name(Path.home(), f"{app.job.id}-{stem}", ".pdf").name
    ask_save(app, f"Print: {title}", name, {".pdf": pdf})
