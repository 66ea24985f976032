"""Where the folders lie that crewdesk is shipped with: its fonts, themes and sample job."""

from pathlib import Path

import crewdesk


def shipped(name: str) -> Path:
    """The folder `fonts`, `themes` or `sample_data`.

    In a wheel it lies inside the package, in a checkout beside it; the fonts are always
    inside.
    """
    package = Path(crewdesk.__file__).parent
    inside = package / name
    return inside if inside.is_dir() else package.parent / name
