"""The cut of a piece from its readings, saved and typed: in lines, and drawn."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from textual.content import Content

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.beams.uncertainty import Sureness, how_sure
from crewdesk.job.cuts.bottoms import taken_as_square
from crewdesk.job.cuts.changed_cuts import shown_marks
from crewdesk.job.cuts.dry_fits import Tried, tried
from crewdesk.job.cuts.mark import Mark
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BottomMarks, CleatMarks, Marks, SideMarks, as_it_is
from crewdesk.job.cuts.scribe_way import ScribeCut
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.job.steps.gates import read_early
from crewdesk.job.steps.stages import Stages
from crewdesk.length import INCHES_PER_FOOT, Length, Step, show_length
from crewdesk.paper.plain import plain
from crewdesk.paper.text.cutlist import missing_of, missing_text, wall
from crewdesk.paper.text.dry_fit import fit_lines
from crewdesk.paper.text.mark_text import (
    mark_words,
    rows_of,
    uncertainty_cautions,
    uncertainty_line,
    within,
)
from crewdesk.paper.text.notes import scribe_cut_line, skew_notes
from crewdesk.screens.parts.picture import Draw
from crewdesk.screens.piece.beam_pictures import section_picture
from crewdesk.screens.piece.board_pictures import board_picture, bottom_picture
from crewdesk.screens.piece.cleat_picture import cleats_picture
from crewdesk.screens.piece.tall_figures import Tall
from crewdesk.screens.piece.templates import side_template
from crewdesk.screens.piece.to_the_saw import Parts, figures_of, lines_of_piece
from crewdesk.trade.cuts.side_board import Side, ends_left_to_right

_LABEL = "$muted"
_VALUE = "bold"


def cut_told(
    beam: Beam,
    piece: Piece,
    made: Marks,
    step: Step,
    missing: Sequence[str],
    sure: Sureness | None,
    fit: Tried,
    scribe_cut: ScribeCut | None,
    *,
    typed: Mapping[str, Reading],
    early: Sequence[str] = (),
) -> Content:
    """Return the marks; `missing` names the readings that more of them would need, `sure` how
    far they can be off, `fit` how the board goes in, `scribe_cut` how it is cut to its scribe
    line, `typed` are the readings that are typed
    and not yet saved, `early` says why readings were taken too early."""
    lines = [_head(step, typed=bool(typed))]
    if early:
        lines = [_early_head(early[0], typed=bool(typed)), *_more_early(early)]
    at_side = piece.kind == "side"
    offs = {} if sure is None or at_side else sure.within
    lines += _lines(beam, piece, made, step, offs)
    if (board := fit.fit) is not None:
        wrong = board.way == "no way" and not fit.may
        ink = "$error bold" if wrong else "$warning" if board.over else _VALUE
        first, *more = fit_lines(board, step, as_cut=fit.as_cut, may=fit.may, why=False)
        first = f"! {first}" if board.over else first
        lines += [[("dry fit  ", _LABEL), (first, ink)], *([(line, _LABEL)] for line in more)]
    elif piece.kind == "top" and fit.why:
        lines.append([("dry fit  ", _LABEL), (plain(fit.why), _LABEL)])
    if sure is not None:
        if at_side:
            lines.append([(uncertainty_line(sure, step), _LABEL)])
        lines += [[(f"! {plain(one)}", "$warning")] for one in uncertainty_cautions(sure, step)]
    lines += [[(plain(one), "$accent")] for one in skew_notes(beam, piece, step, typed)]
    if scribe_cut is not None:
        lines.append([(scribe_cut_line(scribe_cut), _LABEL)])
    if piece.gaps:
        lines.append([(_gaps_told(piece), "$accent")])
    if missing:
        lines.append([(f"Not measured: {'; '.join(missing)}.", "$warning")])
    return joined(lines)


def _guessed(beam: Beam, made: Marks) -> str:
    """Return which ends only count as square, which makes a length less certain."""
    if not isinstance(made, BottomMarks) or made.cut is None:
        return ""
    unread = [end for end in BOTH if beam.pair.square(end) is None]
    sentence = taken_as_square(made.cut.ends, unread)
    return sentence[:1].lower() + sentence[1:].removesuffix(".")


def _gaps_told(piece: Piece) -> str:
    where = ", ".join(dict.fromkeys(gap.where for gap in piece.gaps))
    return f"Gaps recorded at {where}"


def trouble_told(sentence: str, step: Step, *, typed: bool) -> Content:
    """Return the text if no cut can be made, from `typed` or saved readings."""
    return joined([_head(step, typed=typed), [(f"! {plain(sentence)}", "$error bold")]])


def joined(lines: Sequence[Parts]) -> Content:
    """Return lines of parts, each with its style, as one text."""
    return Content("\n").join(Content.assemble(*line) for line in lines)


def _head(step: Step, *, typed: bool) -> Parts:
    to = "the millimeter" if step.mm else f"{step.name} in"
    saved: Parts = [("as typed, not saved", "$accent bold")] if typed else [("", "")]
    return [
        ("Cut ", "$primary bold"),
        *saved,
        (f"  to {to}; + is a little more, - a little less", _LABEL),
    ]


def _early_head(why: str, *, typed: bool) -> Parts:
    """Return the head of marks that rest on a reading taken too early, with `why`."""
    saved = ("not saved  ", "$accent bold") if typed else ("", "")
    return [("Cut ", "$primary bold"), saved, _early(why)]


def _more_early(early: Sequence[str]) -> Iterator[Parts]:
    """Yield each further reason why readings were taken too early."""
    yield from ([_early(why)] for why in dict.fromkeys(early) if why != early[0])


def _early(why: str) -> tuple[str, str]:
    return f"! Too early: {plain(why)}.", "$warning bold"


def _lines(
    beam: Beam, piece: Piece, made: Marks, step: Step, offs: Mapping[str, Length]
) -> Iterator[Parts]:
    """Yield the marks, those that are read together on a line; a long length in feet too, and
    behind a length how far it can be off, as `offs` has it by the marks' ids."""
    walls = (plain(wall(beam, 1)), plain(wall(beam, 2)))
    guessed = _guessed(beam, made)
    for row in rows_of(mark_list(made, piece.key, offs)):
        parts: Parts = []
        for mark in row:
            name, figure, rest = mark_words(mark, walls, step)
            off = _off(mark, step)
            if off and guessed:
                off, guessed = f"{off} ({guessed})", ""
            if off and not figure:  # no length stands before it
                rest, off = f"{rest},{off}", ""
            feet = _in_feet(mark, step) + off
            parts += [("  " if parts else "", ""), (f"{name} " if figure else name, _LABEL)]
            parts += [(figure, _VALUE), (feet, _LABEL), (f" {rest}" if rest else "", _LABEL)]
        yield parts
    if isinstance(made, BottomMarks) and made.asks:
        yield [(f"! {plain(made.asks)}", "$warning")]
    if isinstance(made, BottomMarks) and made.cut is not None:
        for text in made.cut.cautions:
            yield [(f"! {plain(text.shown(step))}", "$override")]


def _off(mark: Mark, step: Step) -> str:
    """Return how far a length between the walls can be off; its back's is the same and is left
    out."""
    if mark.within is None or mark.id.startswith(("back_", "start_")):
        return ""
    return f" within {within(mark.within, step)}"


def _in_feet(mark: Mark, step: Step) -> str:
    """Return a length in feet and inches if it has feet; not the back's, which isn't measured by
    itself."""
    if step.mm or mark.value is None or mark.value < INCHES_PER_FOOT:
        return ""
    if mark.id.startswith("back_"):
        return ""
    return f" = {show_length(mark.value, step, feet=True, way=mark.way_at(step))}"


def _nothing_more() -> Content:
    return Content("")


@dataclass(frozen=True)
class PieceCut:
    """The marks, or None if there can be none; the figures to set and mark; what to know of them
    now, and what explains them, in lines; `details` gives all of it in words."""

    made: Marks | None
    figures: tuple[Tall, ...] = ()
    lines: Sequence[Parts] = ()
    quiet: Sequence[Parts] = ()
    details: Callable[[], Content] = _nothing_more


_DOUBTED = "No cut from a reading in doubt."


def piece_cut(
    stages: Stages,
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading],
    trouble: str,
    step: Step,
    doubt: str,
    projection: Fraction,
    scribe_cut: ScribeCut | None = None,
    now: Collection[str] = (),
) -> PieceCut:
    """Return the cut as the record and what is `typed` have it; `trouble` says what is wrong
    with what is typed, `doubt` what is doubted beside it, each a sentence or nothing;
    `projection` is how far the job's cleats stand off the sides, in inches,
    `scribe_cut` how a side is cut to its scribe line, and `now` names the figures of the next
    step."""
    as_typed = bool(typed or trouble)
    if not trouble:
        try:
            made = shown_marks(beam, piece, typed, projection)
            sure = how_sure(beam, piece, typed, projection=projection)
            sure = None if isinstance(made, BottomMarks) and made.cut is None else sure
            missing = [
                missing_text(beam, key, what)
                for key, what in missing_of(beam, piece)
                if key != piece.key or what not in typed
            ]
            fit = tried(beam, piece, step, typed)
            early = [one.why for one in read_early(stages, beam, piece.with_typed(typed))]
            lines, quiet = lines_of_piece(
                beam, piece, made, step, missing, sure, fit, scribe_cut, early, typed
            )

            def details() -> Content:
                return cut_told(
                    *(beam, piece, made, step, missing, sure, fit, scribe_cut),
                    typed=typed,
                    early=early,
                )

            figures = figures_of(
                beam, piece, made, sure, step, () if as_typed else now, fit.fit, typed
            )
            return PieceCut(made, figures, lines, quiet, details)
        except BadInput as refusal:
            trouble = refusal.shown(step)
            if doubt.endswith(trouble):
                trouble = _DOUBTED
    line: Parts = [(f"! {plain(trouble)}", "$error bold")]
    return PieceCut(
        None, lines=(line,), details=lambda: trouble_told(trouble, step, typed=as_typed)
    )


def piece_picture(
    beam: Beam,
    piece: Piece,
    made: Marks | None,
    step: Step,
    *,
    beside: bool,
    cleat: Fraction,
    spliced: Spliced | None = None,
) -> Draw | None:
    """Return the picture of a piece; None if there is nothing to draw, or if the section is shown
    `beside` it already."""
    if made is None and piece.kind == "side":
        return None
    made = None if made is None else as_it_is(made)
    if isinstance(made, SideMarks) and (cut := made.cut) is not None:
        side: Side = "A" if piece.key == "A" else "B"
        return lambda columns, rows: board_picture(
            cut, side, beam.ends, step, columns, rows, spliced
        )
    if isinstance(made, BottomMarks) and piece.kind in ("bottom", "top"):
        return lambda columns, rows: bottom_picture(beam, piece, made, step, columns, rows, spliced)
    if beside and isinstance(made, CleatMarks):
        return lambda columns, rows: cleats_picture(beam, made, step, columns, rows)
    if beside and piece.kind == "side":
        left, right = ends_left_to_right("A" if piece.key == "A" else "B")
        walls = (beam.ends[left - 1], beam.ends[right - 1])
        unread = [piece.latest(what) is None for what in ("run", f"end{left}", f"end{right}")]
        return lambda columns, rows: side_template(
            piece.name, (left, right), walls, unread, columns, rows
        )
    return None if beside else beam_section(beam, step, cleat)


def beam_section(beam: Beam, step: Step, cleat: Fraction) -> Draw:
    """Return the section of a beam; `cleat` is how far its cleats stand off the sides, in
    inches."""
    return lambda columns, rows: section_picture(beam, step, columns, rows, cleat)
