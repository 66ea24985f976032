"""A job's document (see `crewdesk.job.sync.exchange`) as a file to keep or send."""

import json
import os
import re
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any, NoReturn

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.lumber.stock_list import take_stock_in
from crewdesk.job.text_limits import quoted
from crewdesk.store.desk import Desk
from crewdesk.store.disk import (
    NEW,
    fit_name,
    open_handle,
    open_to_read,
    replace,
    shipped,
    sync,
    unlink,
    why_unfit,
)

LARGEST = 64 * 1024 * 1024
_MOST_ALIKE = 1000
_LONGEST_STEM = 100


def read_document(path: Path) -> Any:
    """Return the JSON in a file; raises `NotAllowed` with one sentence for an unusable file."""
    try:
        with open_to_read(path, named=True) as file:
            data = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise NotAllowed(f"{path} can't be read: {why}.") from None
    if len(data) > LARGEST:
        raise NotAllowed(f"{path} is too large for a job; the limit is {LARGEST // 1024**2} MB.")
    return document_of(data, str(path))


def document_of(data: bytes, path: str) -> Any:
    """Return the JSON in a file's bytes; raises `NotAllowed`, which names it by its `path`."""
    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=_no, parse_float=_finite)
    except UnicodeDecodeError as error:
        raise NotAllowed(f"{path} isn't text in UTF-8, from byte {error.start + 1}.") from None
    except RecursionError:
        raise NotAllowed(f"{path} is nested too deeply to be a job.") from None
    except json.JSONDecodeError as error:
        raise NotAllowed(
            f"{path} isn't JSON: {error.msg} in line {error.lineno}, column {error.colno}."
        ) from None
    except ValueError as error:
        raise NotAllowed(f"{path} has a number that can't be kept: {error}.") from None


def document_text(document: Doc) -> str:
    """Return a document as text: ASCII only, one row or change a line."""
    parts = []
    for key, value in document.items():
        if isinstance(value, list) and value:
            inner = ",\n".join(f"  {json.dumps(one)}" for one in value)
            text = f"[\n{inner}\n ]"
        elif isinstance(value, dict) and key != "job" and value:
            inner = ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in value.items())
            text = f"{{\n{inner}\n }}"
        else:
            text = json.dumps(value)
        parts.append(f" {json.dumps(key)}: {text}")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def write_document(path: Path, document: Doc) -> None:
    """Write a document to a new file; see `write_new`."""
    write_new(path, document_text(document).encode("ascii"))


def check_new(path: Path) -> None:
    """Raise `NotAllowed` if a file or folder of that name exists, or no file can have it."""
    if not path.name:
        raise NotAllowed(f"{quoted(str(path))} is a folder. Name a new file in it.")
    if why := why_unfit(path.name):
        raise NotAllowed(f"{quoted(str(path))} can't be written: {why}. Choose another name.")
    try:
        there = path.is_dir() or path.is_file()
    except OSError as error:
        raise NotAllowed(
            f"{quoted(str(path))} can't be written: {error.strerror or error}."
        ) from None
    if there:
        raise NotAllowed(f"{path} exists already. Name a new file.")


def free_name(folder: Path, stem: str, end: str) -> Path:
    """Return the first free name of ``stem.pdf``, ``stem-2.pdf``, ``stem-3.pdf``, ..., the stem
    reduced to characters that every system accepts."""
    stem = re.sub(r"[^A-Za-z0-9._-]+", "-", stem)[:_LONGEST_STEM].strip("-.") or "sheet"
    stem = fit_name(stem)
    names = (f"{stem}{number}{end}" for number in ("", *(f"-{n}" for n in range(2, _MOST_ALIKE))))
    free = (folder / name for name in names if not (folder / name).exists())
    if (found := next(free, None)) is None:
        raise NotAllowed(f"{folder} is full of files named {stem}. Choose another name.")
    return found


def write_new(path: Path, data: bytes) -> None:
    """Write a new file atomically; raises `NotAllowed`.

    Only the user may read it, like all of crewdesk's files. An existing file is never overwritten.
    A device is written to directly.
    """
    check_new(path)
    part = path.with_name(f"{path.name}.part")
    try:
        if path.exists():
            with os.fdopen(open_handle(path, os.O_WRONLY, named=True), "wb") as file:
                file.write(data)
            return
        handle = open_handle(part, NEW)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                sync(file.fileno())
            _give_name(part, path)
        finally:
            with suppress(OSError):
                unlink(part)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise NotAllowed(f"{path} can't be written: {why}. The job itself is unchanged.") from None


def _give_name(part: Path, path: Path) -> None:
    """Give a written file its name, if it is free; raises `OSError`.

    A FAT or exFAT disk has no hard links: link(2) fails with EPERM there, or ENOTSUP or similar.
    Then an empty file takes the name, and the whole one replaces it.
    """
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:
        os.close(open_handle(path, NEW))
        try:
            replace(part, path)
        except OSError:
            with suppress(OSError):
                unlink(path)
            raise


def _no(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number of JSON")


def _finite(text: str) -> float:
    value = float(text)
    if value in (float("inf"), float("-inf")):
        raise ValueError(f"{text} is too large")
    return value


_JOB, _STOCK = "tamarack-bend.json", "stock.json"


def sample_desk(folder: Path, now: datetime) -> tuple[Desk, str]:
    """Return a desk in `folder` with a fresh copy of the sample job and its stock, and the job's
    id."""
    document = read_document(shipped("sample_data") / _JOB)
    stock = read_document(shipped("sample_data") / _STOCK)
    desk = Desk(folder)
    id_ = desk.take_in(document, now)
    desk.shop.make(lambda books, at: take_stock_in(books, stock, at), now)
    return desk, id_
