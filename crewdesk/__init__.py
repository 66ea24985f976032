"""crewdesk: the whole job of a one-person crew that hangs decorative box beams."""

import gc

__version__ = "0.1.0"

gc.set_threshold(100_000)
"""So many new things before Python looks for garbage, of which little is made here: at its
usual 700, a command would spend a twentieth of its time on that."""
