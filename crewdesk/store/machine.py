"""The name of this machine, used for its files in a data folder."""

import os
import re
import sys
from contextlib import suppress
from pathlib import Path

from crewdesk.errors import BadInput
from crewdesk.job.text_limits import brief
from crewdesk.store.disk import AFRESH, fit_name, open_handle, read_bytes

LONGEST = 24
XDG = sys.platform == "linux"
_UNFIT = "[^a-z0-9]+"


def machine_name() -> str:
    """Return this machine's name: `CREWDESK_MACHINE`, else the saved one.

    It is made once, from the host's name and four random digits, and saved outside the data folder,
    which several machines may share. Raises `BadInput` if CREWDESK_MACHINE can't be a file's name.
    """
    if text := os.environ.get("CREWDESK_MACHINE"):
        if name := _plain(text):
            return name
        raise BadInput(
            f"CREWDESK_MACHINE is {brief(text)}, which has none of the letters a to z "
            "and no digit, so files can't be named after it. Set it to a name such as "
            "laptop."
        )
    kept = name_file()
    with suppress(OSError, ValueError):
        if name := _plain(read_bytes(kept).decode("ascii")):
            return name
    import platform  # needed only to make a name
    import secrets

    host = _plain(platform.node().partition(".")[0]) or "machine"
    name = f"{host}-{secrets.token_hex(2)}"
    return name if _keep(kept, name) else host


def name_file() -> Path:
    """Return the file that keeps this machine's name.

    On Linux it is in the config folder of the XDG Base Directory Specification, 0.8; every command
    asks for it, and platformdirs takes longer to load than most of them run. On macOS and Windows
    config and data are one folder, which people copy from one machine to another; there the file
    is next to it.
    """
    if XDG:
        text = Path(os.environ.get("XDG_CONFIG_HOME", ""))
        return (text if text.is_absolute() else Path.home() / ".config") / "crewdesk" / "machine"
    from platformdirs import user_config_path, user_data_path

    folder = user_config_path("crewdesk", appauthor=False)
    if folder == user_data_path("crewdesk", appauthor=False):
        return folder.with_name("crewdesk-machine")
    return folder / "machine"


def _plain(text: str) -> str:
    return fit_name(re.sub(_UNFIT, "-", text.strip().casefold()).strip("-")[:LONGEST].strip("-"))


def _keep(path: Path, name: str) -> bool:
    """Save the name; return whether that succeeded."""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with os.fdopen(open_handle(path, AFRESH), "wb") as file:
            file.write(name.encode("ascii"))
    except OSError:
        return False
    return True
