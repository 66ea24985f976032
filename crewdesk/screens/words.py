"""How stretches of time stand on the screen."""

from datetime import timedelta


def lasted(time: timedelta) -> str:
    """A stretch of time as hours, minutes and seconds, the second cut off: ``1:04:09``."""
    seconds = int(time.total_seconds())
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def hours(time: timedelta) -> str:
    """A stretch of time as hours and minutes, the second cut off: ``1 h 04 min``."""
    minutes = int(time.total_seconds()) // 60
    return f"{minutes // 60} h {minutes % 60:02d} min"
