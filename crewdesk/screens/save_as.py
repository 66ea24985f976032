"""Saving a paper: ask for a new file, write it, tell where it lies."""

from collections.abc import Callable, Mapping
from pathlib import Path

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.paper.job_document import check_new, write_new
from crewdesk.paper.letter import Letter, letter_lines
from crewdesk.screens.ask import Answer, Field, ask
from crewdesk.screens.program import Program

Makes = Mapping[str, Callable[[], bytes]]
"""By the end of a file's name, as ``.pdf``, what makes its bytes."""


def ask_save(app: Program, title: str, name: str, makes: Makes) -> None:
    """Ask for a file, `name` in the user's own folder unless another is typed, and write it.

    The end of its name says what it is. A file that is there is never written over.
    """
    ends = " or ".join(makes)

    def path_of(answer: Answer) -> Path:
        text = answer["file"].strip()
        if not text:
            raise NotAllowed(f"Name a new file that ends in {ends}.")
        path = _absolute(text)
        if path.suffix.lower() not in makes:
            raise NotAllowed(f"The end of its name says what a file is; let it end in {ends}.")
        check_new(path)
        if not path.parent.is_dir():
            raise NotAllowed(f"There is no folder {path.parent}; name one that is there.")
        return path

    def given(answer: Answer) -> None:
        try:
            path = path_of(answer)
            write_new(path, makes[path.suffix.lower()]())
        except CrewdeskError as refused:
            app.tell(str(refused), "wrong")
            return
        app.tell(f"Wrote {path}", "saved")

    about = f"It ends in {ends}; that says what it is. The folder must be there."
    field = Field("file", "New file", f"~/{name}")
    ask(app, title, (field,), given, path_of, does="Write it", about=about)


def ask_save_letter(app: Program, letter: Letter, name: str) -> None:
    """Ask where a letter goes, as PDF or as plain text."""

    def pdf() -> bytes:
        from crewdesk.paper.letter_pdf import letter_pdf

        return letter_pdf(letter, app.now(), paper=app.desk.shop.shop().paper)

    def text() -> bytes:
        return ("\n".join(letter_lines(letter)) + "\n").encode("utf-8")

    ask_save(app, f"Save {letter.title}", f"{name}.pdf", {".pdf": pdf, ".txt": text})


def _absolute(text: str) -> Path:
    try:
        return Path(text).expanduser().absolute()
    except (RuntimeError, ValueError, OSError):
        raise NotAllowed(f"{text[:80]} names no file; write one as ~/invoice-1.pdf.") from None
