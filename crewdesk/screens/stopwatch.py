"""How long a clock has run, as it stands on the screen."""

from datetime import timedelta


def lasted(time: timedelta) -> str:
    """A stretch of time as hours, minutes and seconds, the second cut off: ``1:04:09``; none
    has passed where the computer's clock was set back."""
    seconds = max(int(time.total_seconds()), 0)
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
