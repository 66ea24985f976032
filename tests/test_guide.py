"""DEVELOPERS.md shows the shared parts of the screens as the program draws them."""

from crewdesk.screens.parts.lines import STYLES
from tests.pictures.into_readme import note, with_pictures
from tests.pictures.parts import GUIDE, for_guide, inks, parts


def test_the_drawings_in_the_guide_are_the_program_s() -> None:
    text, made = GUIDE.read_text(encoding="utf-8"), for_guide()
    assert text.count(note("parts")) == 1
    assert made["parts"] in text, "run: python -m tests.pictures.parts"
    stale = with_pictures(text, {"parts": "```text\nold\n```\n"})
    assert stale != text
    assert with_pictures(stale, made) == text


async def test_every_part_and_every_ink_is_drawn() -> None:
    drawn = await parts()
    assert sorted(ink for names in inks().values() for ink in names) == sorted(STYLES)
    for part in ("├◂───── 109 3/4 ──────▸┤", "> side B", "── Study ──", "━━━━┃═══", "□ ready"):
        assert part in drawn
