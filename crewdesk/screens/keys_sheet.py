"""Every action with its keys, told as the file of one's own keys takes them."""

import json
from pathlib import Path

from crewdesk.errors import NotAllowed
from crewdesk.paper.sheet import Sheet
from crewdesk.screens.actions import AREAS
from crewdesk.screens.own_keys import FILE, read_own_keys

_WIDE = 46


def keys_sheet(folder: Path) -> Sheet:
    """The keys as they count in a data folder; raises `NotAllowed` where its file won't do."""
    own = read_own_keys(folder / FILE)
    if own.complaints:
        raise NotAllowed(own.complaints[0])
    lines = [f"# Keys of crewdesk. Changed lines of this count in {FILE} in the data folder."]
    pages = []
    for page in AREAS.values():
        lines += ["", f"[{page.name}]"]
        actions = []
        for one in page.actions:
            told = own.keymap.get(one.id)
            keys = told.split(",") if told else list(one.keys)
            given = json.dumps(keys[0] if len(keys) == 1 else keys)
            lines.append(f"{f'{one.name} = {given}':<{_WIDE}} # {one.words}")
            actions.append({"name": one.name, "words": one.words, "keys": keys})
        pages.append({"name": page.name, "words": page.words, "actions": actions})
    return Sheet(tuple(lines), lambda: {"pages": pages})
