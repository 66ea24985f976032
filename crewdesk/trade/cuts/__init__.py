"""Geometry of the boards: sections, ends, ceilings, slopes, bottoms and wedges."""
