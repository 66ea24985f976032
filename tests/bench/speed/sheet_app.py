"""crewdesk on the run sheet of one job of a data folder, as its command opens it."""

import gc
import sys
from pathlib import Path

from crewdesk.commands.on_screen import on_screen
from crewdesk.store.desk import Desk
from crewdesk.store.machine_clock import machine_now

if __name__ == "__main__":
    gc.disable()  # as `door` does
    folder, id_ = sys.argv[1:]
    on_screen(Desk(Path(folder)), machine_now, id_)
