"""crewdesk on the run sheet of one job of a data folder."""

import sys
from pathlib import Path

from crewdesk.screens.app import CrewdeskApp
from crewdesk.store.desk import Desk

if __name__ == "__main__":
    folder, id_ = sys.argv[1:]
    CrewdeskApp(Desk(Path(folder)), open_job=id_).run()
