"""crewdesk: the whole job of a one-person crew that hangs decorative box beams."""

__version__ = "0.1.0"
