"""What a row must be to come into a record, beyond what is needed to read it.

Every change and every import goes by these rules (see `Rows.check` and `exchange`), and reads
numbers and names more strictly (see `coming_in`). A row that a record holds already is read
without them, and a change may leave in it what was there before: an older crewdesk took it.

A reading that can't be believed comes in: it is doubted on its page and in the cut list, and
measured again (see `believable`).
"""

from typing import Protocol

from crewdesk.errors import NotAllowed
from crewdesk.job.beam import Beam, section_from_doc
from crewdesk.job.beam_pieces import piece_fault
from crewdesk.job.change import Doc
from crewdesk.job.forms import USUAL, form_of
from crewdesk.job.piece import OwnCut, Piece
from crewdesk.job.readings import READ_TO, check_step, fraction
from crewdesk.job.ridge_line import check_ridge
from crewdesk.job.today import checked_zone
from crewdesk.job.words import brief
from crewdesk.job.written import within
from crewdesk.trade.cuts.pitch import read_pitch


class _OfJob(Protocol):
    """What is looked at of a job, whose record looks at this in its turn."""

    @property
    def zone(self) -> str: ...


def sound_job(job: _OfJob, doc: Doc) -> None:
    """Raise `NotAllowed` or `BadInput` where a job's own row can't come in."""
    checked_zone(job.zone)
    steps = doc.get("read_to", {})
    if not isinstance(steps, dict):
        raise NotAllowed(f"What the instruments are read to is an object, not {brief(steps)}.")
    for name, step in steps.items():
        if name not in READ_TO:
            raise NotAllowed(
                f"There is no instrument {brief(name)}; there are {', '.join(READ_TO)}."
            )
        check_step(fraction(step, f"step of the {name}"), name)


def sound_beam(beam: Beam, doc: Doc) -> None:
    """Raise `NotAllowed` or `BadInput` where a beam can't come in."""
    low = doc.get("low", 1)
    if type(low) is not int or low not in (1, 2):
        raise NotAllowed(f"The low end of a sloped beam is 1 or 2, not {brief(low)}.")
    check_ridge(beam)
    if fault := piece_fault(beam.label, beam.form, doc["pieces"]):
        raise NotAllowed(fault)
    for what in ("drop", "height_b", "ridge_side"):
        value = getattr(beam, what)
        if value is not None and (value < 0 or (value == 0 and what != "drop")):
            raise NotAllowed(f"The '{what}' of a beam can't be {brief(doc[what])}.")
    for piece in beam.pieces.values():
        with within(piece.name):
            _sound_piece(piece)


def _sound_piece(piece: Piece) -> None:
    for name, taken in piece.readings.items():
        with within(f"reading '{name}'"):
            for reading in taken:
                if reading.to is not None:
                    check_step(reading.to, reading.instrument or "instrument")
    for id_, mark in piece.steps.items():
        if mark.cut is not None:
            with within("step", id_):
                section_from_doc(mark.cut.section)
                _sound_settings(mark.cut.settings)


def _sound_settings(kept: Doc) -> None:
    """What a cut followed beside its readings, as `as_cut.settings_of` keeps it."""
    form_of(kept.get("form", USUAL))
    for key in ("pitch", "pitch_b"):
        if kept.get(key):
            read_pitch(kept[key])
    if "cleat" in kept:
        fraction(kept["cleat"], "cleat")
    if "own_cut" in kept:
        OwnCut.from_doc(kept["own_cut"])
