"""The PDF library, loaded when something is printed."""

import sys
from threading import active_count
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fpdf import FPDF

_ONLY_FOR_PICTURES = "numpy"


def pdf_writer() -> "type[FPDF]":
    """fpdf2's FPDF. It takes numpy where it finds it, to turn pictures into a page's colours;
    no page here has one, and without it fpdf2 loads in three quarters of the time. That is
    left alone where another thread may want numpy meanwhile."""
    if "fpdf" in sys.modules or _ONLY_FOR_PICTURES in sys.modules or active_count() > 1:
        from fpdf import FPDF

        return FPDF
    sys.modules[_ONLY_FOR_PICTURES] = None  # type: ignore[assignment]
    try:
        from fpdf import FPDF
    finally:
        del sys.modules[_ONLY_FOR_PICTURES]
    return FPDF
