"""The pieces that a beam's type has: given to it, taken from it, and what is wrong with them."""

from collections.abc import Iterable

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.forms import USUAL, Form, form_of
from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.change import ABSENT, Doc, Edit, Tables, edit, edit_row, look


def piece_fault(label: str, form: Form, keys: Iterable[str]) -> str:
    """Return what's wrong with a beam whose pieces have those keys, and how to fix it; or "" if
    they are the type's."""
    keys = set(keys)
    names = ", ".join(NAME_OF[key] for key in form.pieces)
    begun = f"The pieces of {label}, {form.name}, are {names}"
    if more := [key for key in NAME_OF if key in keys and key not in form.pieces]:
        return (
            f"{begun}, so it can't have {_named(more)}. First change it to a type that "
            f"has {_named(more)}."
        )
    if less := [key for key in form.pieces if key not in keys]:
        return (
            f"{begun}, but it lacks {_named(less)}. Change its type, or edit the beam and save it "
            "to add what is missing."
        )
    return ""


def pieces_of_type(tables: Tables, row: str, doc: Doc, label: str) -> list[Edit]:
    """Return the edits that give a beam the pieces of its type.

    doc: the beam's row after the change, with its type. Raises `NotAllowed` if a piece that would
    go was already worked on. A piece that an older version left, and that the old type lacked too,
    stays.
    """
    form, pieces = form_of(doc.get("form", USUAL)), doc["pieces"]
    before = form_of(look(tables, ("beams", row)).get("form", USUAL))
    edits = []
    for key in sorted({*form.pieces, *pieces}):
        at = ("beams", row, "pieces", key)
        if key not in pieces:
            edits.append(edit(tables, at, {"readings": {}, "steps": {}}))
        elif key not in form.pieces:
            if any(pieces[key].values()):
                if key not in before.pieces:
                    continue
                raise NotAllowed(_worked_on(label, key, form))
            edits.append(edit(tables, at, ABSENT))
    return edits


def _worked_on(label: str, key: str, form: Form) -> str:
    return (
        f"Work has been done on {label} {NAME_OF[key]}, and {form.name} has no such "
        "piece. Nothing was changed."
    )


def with_pieces(tables: Tables, edits: list[Edit]) -> list[Edit]:
    """Return the edits, and those that give each beam with a changed type the pieces of that type;
    raises `NotAllowed` as `pieces_of_type` does."""
    types = [(one.at[1], one.after) for one in edits if one.at[::2] == ("beams", "form")]
    for row, after in types:
        doc, form = tables["beams"][row], form_of(USUAL if after is ABSENT else after)
        label = f"{doc['room']} {doc['name']}".strip()
        for key, piece in doc["pieces"].items():
            goes = any(one.at == ("beams", row, "pieces", key) for one in edits)
            if goes and key not in form.pieces and any(piece.values()):
                raise NotAllowed(_worked_on(label, key, form))
        mine = [one for one in edits if one.at[:2] == ("beams", row)]
        more = pieces_of_type(tables, row, edit_row(doc, mine) or doc, label)
        gone = [one.at for one in more]
        edits = [one for one in edits if one.at[:4] not in gone] + more
    return edits


def _named(keys: Iterable[str]) -> str:
    return " and ".join(NAME_OF[key] for key in keys)
