"""Theme files: readable in every pair of colours, and never a crash where they are bad."""

import itertools
import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App, ComposeResult
from textual.theme import Theme
from textual.widgets import Button, DataTable, Footer, Input, Static

import crewdesk
from crewdesk.screens.parts import themes
from crewdesk.screens.parts.themes import (
    COLORS,
    DRAWING,
    GROUNDS,
    LATER,
    MARKS,
    SIGNS,
    TINT,
    WORDS,
    BadTheme,
    Loaded,
    load_themes,
    read_theme,
)
from crewdesk.store.disk import shipped

SHIPPED = ("daylight", "night", "safe")


def linear(color: str) -> tuple[float, float, float]:
    """Linear sRGB: WCAG 2.2, definition of relative luminance, with IEC 61966-2-1's
    threshold of 0.04045, as the recommendation has had it since May 2021."""
    red, green, blue = (int(color[i : i + 2], 16) / 255 for i in (1, 3, 5))

    def one(c: float) -> float:
        return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4

    return one(red), one(green), one(blue)


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, definition of contrast ratio: (L1 + 0.05) / (L2 + 0.05)."""
    low, high = sorted(
        0.2126 * r + 0.7152 * g + 0.0722 * b for r, g, b in (linear(one), linear(other))
    )
    return (high + 0.05) / (low + 0.05)


def colors_of(name: str) -> dict[str, str]:
    told = tomllib.loads((shipped("themes") / f"{name}.toml").read_text(encoding="utf-8"))
    return dict(told["colors"])


def test_contrast_formula() -> None:
    # WCAG 2.2: contrast runs from 1 to 21; #767676 on white is the lightest grey that
    # passes 4.5:1 and #595959 the lightest that passes 7:1 (common knowledge, from memory).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#123456", "#123456") == 1
    assert contrast("#777777", "#ffffff") < 4.5 <= contrast("#767676", "#ffffff")
    assert contrast("#5a5a5a", "#ffffff") < 7 <= contrast("#595959", "#ffffff")


def test_the_shipped_themes_are_all_there() -> None:
    loaded = load_themes()
    assert [theme.name for theme in loaded.themes] == list(SHIPPED)
    assert loaded.complaints == ()


@pytest.mark.parametrize("name", SHIPPED)
@pytest.mark.parametrize("ground", [*GROUNDS, *TINT])
def test_every_text_color_reads_at_7_to_1(name: str, ground: str) -> None:
    # WCAG 2.2, success criterion 1.4.6, contrast (enhanced): at least 7:1.
    colors = colors_of(name)
    poor = {
        key: contrast(colors[key], colors[ground])
        for key in (*WORDS, *SIGNS, *DRAWING, *MARKS)
        if contrast(colors[key], colors[ground]) < 7
    }
    assert not poor


@pytest.mark.parametrize("name", SHIPPED)
def test_the_line_that_one_types_in_reads_at_7_to_1(name: str) -> None:
    colors = colors_of(name)
    assert all(contrast(colors[key], colors["entry"]) >= 7 for key in ("foreground", "muted"))


PAIRS = [
    ("text", "background"),
    ("text-muted", "panel"),
    ("text-disabled", "panel"),
    ("foreground-muted", "panel"),
    ("block-cursor-foreground", "block-cursor-background"),
    ("block-cursor-blurred-foreground", "block-cursor-blurred-background"),
    ("footer-key-foreground", "footer-background"),
    ("footer-description-foreground", "footer-background"),
    ("button-color-foreground", "primary"),
    ("button-color-foreground", "success"),
    ("button-color-foreground", "warning"),
    ("button-color-foreground", "error"),
    ("input-cursor-foreground", "input-cursor-background"),
    ("input-selection-foreground", "input-selection-background"),
    ("link-color-hover", "link-background-hover"),
    ("screen-selection-foreground", "screen-selection-background"),
]


@pytest.mark.parametrize("theme", load_themes().themes, ids=lambda theme: theme.name)
@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_what_textual_makes_of_a_theme_reads_at_7_to_1(
    theme: Theme, text: str, ground: str
) -> None:
    made = theme.to_color_system().generate()
    assert contrast(made[text], made[ground]) >= 7


# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based model for
# simulation of color vision deficiency", IEEE TVCG 15(6), 2009, severity 1.0 (from memory;
# each row adds up to 1, so that grey stays grey).
EYES = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}


def lab(color: tuple[float, ...]) -> tuple[float, float, float]:
    """CIE 1976 L*a*b* of linear sRGB, white D65 (CIE 15; IEC 61966-2-1's matrix)."""
    r, g, b = (min(1.0, max(0.0, c)) for c in color)
    x = (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047
    y = 0.2126 * r + 0.7152 * g + 0.0722 * b
    z = (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883

    def root(t: float) -> float:
        return t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29

    return 116 * root(y) - 16, 500 * (root(x) - root(y)), 200 * (root(y) - root(z))


def nearest_signs(colors: dict[str, str], eye: str) -> tuple[float, str, str]:
    """The two signs that look most alike: their distance in CIE L*a*b*, and their names."""
    seen = {
        sign: lab(
            tuple(
                sum(a * b for a, b in zip(row, linear(colors[sign]), strict=True))
                for row in EYES[eye]
            )
        )
        for sign in SIGNS
    }
    return min((math.dist(seen[a], seen[b]), a, b) for a, b in itertools.combinations(SIGNS, 2))


@pytest.mark.parametrize("eye", EYES)
def test_safe_keeps_every_two_signs_apart(eye: str) -> None:
    for row in EYES[eye]:
        assert sum(row) == pytest.approx(1, abs=2e-6)
    # A difference of about 2.3 can just be noticed (Mahy and others, 1994, from memory);
    # small glyphs want far more. Night, which isn't made for it, would fail here.
    assert nearest_signs(colors_of("safe"), eye)[0] > 20
    assert nearest_signs(colors_of("night"), eye)[0] < 20


def test_the_shipped_folder_is_looked_for_in_the_package_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "crewdesk"
    package.mkdir()
    monkeypatch.setattr(crewdesk, "__file__", str(package / "__init__.py"))
    assert shipped("themes") == tmp_path / "themes"
    (package / "themes").mkdir()
    assert shipped("themes") == package / "themes"


def text_of(dark: str = "true", **changed: str | None) -> str:
    colors = dict.fromkeys(COLORS, '"#102030"') | changed
    lines = [f"{key} = {value}" for key, value in colors.items() if value is not None]
    return "\n".join([f"dark = {dark}", "[colors]", *lines])


def own(tmp_path: Path, text: str | bytes, name: str = "mine.toml") -> Loaded:
    data = text if isinstance(text, bytes) else text.encode()
    (tmp_path / name).write_bytes(data)
    return load_themes(tmp_path)


def test_a_theme_made_before_some_colors_were_there_still_loads(tmp_path: Path) -> None:
    loaded = own(tmp_path, text_of(panel='"#203040"', **dict.fromkeys(LATER)))
    assert loaded.complaints == ()
    assert loaded.themes[-1].variables["cursor"] == "#203040"


def test_an_own_theme_joins_the_shipped_ones(tmp_path: Path) -> None:
    loaded = own(tmp_path, text_of(ready='"#AbCdEf"'))
    assert loaded.complaints == ()
    assert [theme.name for theme in loaded.themes] == [*SHIPPED, "mine"]
    mine = loaded.themes[-1]
    assert mine.dark is True
    assert mine.primary == mine.background == "#102030"
    assert mine.variables["ready"] == "#AbCdEf"
    assert {*SIGNS, *DRAWING} <= set(mine.variables)


def test_an_own_theme_takes_the_place_of_a_shipped_one(tmp_path: Path) -> None:
    loaded = own(tmp_path, text_of(dark="false"), "night.toml")
    assert [theme.name for theme in loaded.themes] == list(SHIPPED)
    assert loaded.themes[1].dark is False


def test_no_own_folder_is_no_complaint(tmp_path: Path) -> None:
    assert load_themes(tmp_path / "nowhere") == load_themes()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "must say dark = true or dark = false"),
        ("dark = 1", "must say dark = true or dark = false"),
        ("dark = true", "must have a table [colors]"),
        ("dark = true\ncolors = 3", "must have a table [colors]"),
        ("dark = true\nlight = 3", "unknown key light. It can have dark and [colors]"),
        (text_of(shine='"#102030"'), "unknown color shine. It can have background, surface"),
        (text_of(ready=None), 'no color for ready. Add ready = "#rrggbb"'),
        (text_of(waste='"red"'), "has red for waste. A color is like"),
        (text_of(waste='"#12345"'), "has #12345 for waste"),
        (text_of(waste='"#102030\\n"'), "has #102030? for waste"),
        (text_of(waste="7"), "has 7 for waste"),
        (text_of(waste="{a = 1}"), "for waste. A color is"),
        ("dark = = true", "isn't TOML"),
        (b"\xff\xfe\x00d", "isn't TOML"),
        ("a = " + "[" * 100_000, "isn't TOML"),
        ("a = " + "9" * 5000, "isn't TOML"),
    ],
    ids=lambda given: str(given)[:20],
)
def test_a_bad_theme_is_one_sentence_and_left_out(
    tmp_path: Path, text: str | bytes, says: str
) -> None:
    loaded = own(tmp_path, text)
    assert [theme.name for theme in loaded.themes] == list(SHIPPED)
    (complaint,) = loaded.complaints
    assert complaint.startswith("The theme file mine.toml ")
    assert complaint.endswith(".")
    assert complaint.isprintable()
    assert says in complaint


def test_a_name_that_is_none_and_a_folder_are_told(tmp_path: Path) -> None:
    (tmp_path / "folder.toml").mkdir()
    loaded = own(tmp_path, text_of(), "My\nTheme.toml")
    assert [theme.name for theme in loaded.themes] == list(SHIPPED)
    assert len(loaded.complaints) == 2
    assert "My?Theme.toml can't name a theme. Use small letters" in loaded.complaints[0]
    assert "folder.toml can't be read: is a directory" in loaded.complaints[1]


def test_a_byte_order_mark_is_passed_over(tmp_path: Path) -> None:
    assert own(tmp_path, b"\xef\xbb\xbf" + text_of().encode()).complaints == ()


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
def test_no_file_makes_a_crash(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_bytes(data)
    with pytest.raises(BadTheme, match=r"^The theme file any\.toml .*\.$"):
        read_theme(path)


class Board(App[None]):
    """Every sign and drawing colour, by the variables that screens will use."""

    CSS = "\n".join(f"#{name} {{ color: ${name}; }}" for name in (*SIGNS, *DRAWING))
    BINDINGS = [("q", "quit", "Quit")]  # noqa: RUF012

    def __init__(self, theme: Theme) -> None:
        self.chosen = theme
        super().__init__()

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return self.chosen.variables

    def on_mount(self) -> None:
        self.register_theme(self.chosen)
        self.theme = self.chosen.name

    def compose(self) -> ComposeResult:
        for name in (*SIGNS, *DRAWING):
            yield Static(f"\u25cf {name}", id=name)
        yield Input("147 5/16")
        yield Button("Cut", variant="primary")
        yield DataTable()
        yield Footer()


@pytest.mark.parametrize("theme", load_themes().themes, ids=lambda theme: theme.name)
async def test_a_screen_takes_its_colors_from_the_theme(theme: Theme) -> None:
    app = Board(theme)
    async with app.run_test(size=(60, 24)) as pilot:
        await pilot.pause()
        for name in (*SIGNS, *DRAWING):
            shown = app.query_one(f"#{name}").styles.color.hex
            assert shown.lower() == theme.variables[name].lower()
        assert app.screen.styles.background.hex.lower() == str(theme.background).lower()


def test_names_are_all_different() -> None:
    assert len(set(themes.COLORS)) == len(COLORS) == 27
