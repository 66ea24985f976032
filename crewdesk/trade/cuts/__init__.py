"""Marks on the boards: sections, ends, ceilings, slopes, bottoms and wedges."""
