"""`crewdesk sheet`: where the PDF lies, which paper it is of, and what is refused."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from crewdesk.cli import WRONG, main

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A data folder with the sample job."""
    folder = str(tmp_path_factory.mktemp("data"))
    assert main(["import", str(SAMPLE), "--data", folder]) == 0
    return folder


@pytest.fixture
def run(data: str, tmp_path: Path, monkeypatch, capsys) -> Callable[..., tuple[int, str, str]]:
    """Runs the command in a folder of its own; gives its status and what it said."""
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    capsys.readouterr()

    def go(*words: str) -> tuple[int, str, str]:
        status = main([*words, "--data", data])
        return status, *capsys.readouterr()

    return go


def test_it_says_where_the_file_lies_and_never_writes_over_one(run, tmp_path: Path) -> None:
    here = tmp_path / "here"
    status, told, _ = run("sheet", "tamarack", "--beam", "Study 2")
    assert status == 0
    first = here / "tamarack-bend-sheet.pdf"
    assert told.startswith(f"Wrote {first}: 2 pages of letter paper")
    assert first.read_bytes().startswith(b"%PDF")
    _, told, _ = run("sheet", "tamarack", "progress", "--day", "2026-03-02")
    assert f"Wrote {here / 'tamarack-bend-progress.pdf'}: " in told
    _, told, _ = run("sheet", "tamarack", "--beam", "Study 2")
    assert str(here / "tamarack-bend-sheet-2.pdf") in told
    status, _, wrong = run("sheet", "tamarack", "--beam", "Study 2", "--to", str(first))
    assert status == WRONG
    assert "exists already" in wrong
    assert sorted(path.name for path in here.iterdir()) == [
        "tamarack-bend-progress.pdf",
        "tamarack-bend-sheet-2.pdf",
        "tamarack-bend-sheet.pdf",
    ]


def test_paper_is_the_shops_or_the_one_that_is_told(run, tmp_path: Path) -> None:
    def size(path: Path) -> list[int]:
        box = PdfReader(io.BytesIO(path.read_bytes())).pages[0].mediabox
        return [round(float(box.width)), round(float(box.height))]

    one, two = tmp_path / "one.pdf", tmp_path / "two.PDF"
    run("shop", "paper=A4")
    _, told, _ = run("sheet", "tamarack", "labels", "--to", str(one))
    assert "of A4 paper, 21 labels of 63.5 x 38.1 mm each" in told
    assert size(one) == [595, 842]
    run("sheet", "tamarack", "--labels", "10", "--paper", "Letter", "--to", str(two))
    assert size(two) == [612, 792]
    run("shop", "paper=letter")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("saw",), "no part saw to print. there are cuts, batches"),
        (("labels", "cuts"), "by themselves"),
        (("cuts", "--first", "3"), "only with the part labels"),
        (("--labels", "7"), "no sheet of 7 labels on letter paper. there are 30 (2-5/8 x 1 in)"),
        (("--first", "0"), "Start with 1 to 30"),
        (("--paper", "tabloid"), "there are letter, A4"),
        (("--beam", "Attic 1"), "There is no beam Attic 1"),
        (("--day", "someday"), "someday"),
        (("--to", "sheet.txt"), "ends in .pdf"),
        (("--to", "no/such/folder.pdf"), "can't be written"),
    ],
)
def test_what_can_not_be_printed_is_said_in_one_sentence(run, tmp_path, words, said) -> None:
    status, out, wrong = run("sheet", "tamarack", *words)
    assert status == WRONG
    assert out == ""
    assert said in wrong
    assert wrong.count("\n") == 1
    assert not list((tmp_path / "here").iterdir())
