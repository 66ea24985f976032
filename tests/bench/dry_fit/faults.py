# ruff: noqa: E501
"""Single faults, as data: a file of crewdesk, what stands there once, and what is put instead.

Each is a slip that a board would be spoiled by: a sign, a side, a face, a swapped end, a
rounding's direction, a missing tangent.
"""

from typing import NamedTuple

from tests.dry_fit.trial import ROOT


class Fault(NamedTuple):
    """One fault."""

    file: str
    old: str
    new: str

    @property
    def text(self) -> str:
        """The whole file as it is."""
        return (ROOT / self.file).read_text("utf-8")

    @property
    def stale(self) -> bool:
        """Whether what it changes is not in its file any more, or more than once."""
        return self.text.count(self.old) != 1

    def __str__(self) -> str:
        return f"{self.file}: {self.old.strip()}  ->  {self.new.strip()}"


_CUTS = "crewdesk/trade/cuts/"
_OLD_NEW: dict[str, tuple[tuple[str, str], ...]] = {
    "crewdesk/trade/angle.py": (
        ("math.tan(math.radians(degrees))", "math.tan(degrees)"),
        ("math.tan(math.radians(degrees))", "math.sin(math.radians(degrees))"),
        ("math.degrees(math.atan(ratio))", "math.degrees(ratio)"),
        ("Fraction(45): Fraction(1)", "Fraction(45): Fraction(1, 2)"),
        ("float(factor * exact(value))", "float(factor + exact(value))"),
    ),
    "crewdesk/length.py": (
        ("else -(-top // bottom)", "else top // bottom"),
        ("return top // bottom if", "return -(-top // bottom) if"),
        ('if way == "down" else', 'if way == "up" else'),
        ("Fraction(254, 10)", "Fraction(250, 10)"),
    ),
    _CUTS + "section.py": (
        ("section.width - 2 * section.side_thickness - section.fit", "section.width - 2 * section.side_thickness + section.fit"),
        ("section.width - 2 * section.side_thickness - section.fit", "section.width - section.side_thickness - section.fit"),
        ("times(section.bottom_thickness - section.flat, tangent(section.bevel))", "times(section.bottom_thickness, tangent(section.bevel))"),
        ("times(section.bottom_thickness - section.flat, tangent(section.bevel))", "times(section.flat, tangent(section.bevel))"),
    ),
    _CUTS + "side_board.py": (
        ('ratio if reading.lean == "in" else -ratio', '-ratio if reading.lean == "in" else ratio'),
        ("ratio = reading.gap / reading.level", "ratio = reading.gap / 24"),
        ("return EndCut(ratio * height, arctangent(ratio))", "return EndCut(ratio * reading.level, arctangent(ratio))"),
        ("return EndCut(ratio * height, arctangent(ratio))", "return EndCut(ratio * height, -arctangent(ratio))"),
        ("end_cut(end1, height), end_cut(end2, height)", "end_cut(end2, height), end_cut(end1, height)"),
        ("bottom_length - first.offset - second.offset", "bottom_length - first.offset + second.offset"),
        ("min(_NONE, first.offset)", "max(_NONE, first.offset)"),
        ('return (1, 2) if side == "A" else (2, 1)', "return (1, 2)"),
    ),
    _CUTS + "sloped_side.py": (
        ('ratio if reading.lean == "in" else -ratio', '-ratio if reading.lean == "in" else ratio'),
        ('pitch.tangent if end == "low" else -pitch.tangent', "pitch.tangent"),
        ('pitch.tangent if end == "low" else -pitch.tangent', '-pitch.tangent if end == "low" else pitch.tangent'),
        ("below = 1 - tilt * lean", "below = 1 + tilt * lean"),
        ("ratio = (tilt + lean) / below", "ratio = (tilt - lean) / below"),
        ("SlopedEnd(times(height, ratio), arctangent(ratio))", "SlopedEnd(ratio, arctangent(ratio))"),
        ("(first.offset + second.offset)", "(first.offset - second.offset)"),
        ("mitre = arctangent(end_ratio(pitch, lean, end))", "mitre = pitch.degrees"),
        ("return CompoundEnd(Compound(mitre, tilt), Compound(mitre, -tilt), bottom)", "return CompoundEnd(Compound(mitre, -tilt), Compound(mitre, tilt), bottom)"),
    ),
    _CUTS + "board_end.py": (
        ("times(self.thickness - self.flat, tangent(self.bevel))", "times(self.thickness, tangent(self.bevel))"),
        ("comes_in * self.flat, comes_in * self.thickness", "comes_in * self.flat, comes_in * self.flat"),
        ("exact(at_back) - exact(self.relief)", "exact(at_back) + exact(self.relief)"),
        ('return "A" if self.offset > 0 else "B"', 'return "B" if self.offset > 0 else "A"'),
        ("return need if need <= OPEN_AT_MOST else Fraction(0)", "return Fraction(0)"),
        ("difference = edges[0] - edges[1]", "difference = edges[1] - edges[0]"),
        ("first, second = walls[0].skew, walls[1].skew", "first, second = walls[1].skew, walls[0].skew"),
        ("return first * width, difference - first * width", "return first * width, difference"),
        ("return difference - second * width, second * width", "return difference, second * width"),
        ("return first * width + rest * part_1, second * width + rest * part_2", "return first * width - rest * part_1, second * width - rest * part_2"),
        ("return first * width + rest * part_1, second * width + rest * part_2", "return difference / 2, difference / 2"),
        ("return (None, None) if difference else (Fraction(0), Fraction(0))", "return difference / 2, difference / 2"),
        ("math.degrees(math.atan(abs(slant)))", "math.degrees(abs(slant) / 2)"),
        ("if profile.need(wall.comes_in) > OPEN_AT_MOST:", "if False:"),
        ("blade = arctangent(comes_in)", "blade = -arctangent(comes_in)"),
        ("short = comes_in * profile.thickness", "short = comes_in * profile.flat"),
        ('"relief", float(profile.bevel), profile.flat, short)', '"relief", float(profile.bevel), profile.thickness - profile.flat, short)'),
    ),
    _CUTS + "bottom_cut.py": (
        ("return reading - undercut", "return reading + undercut"),
        ("return reading - undercut", "return reading"),
        ("profile = EdgeProfile(thickness, thickness if plain else section.flat, section.bevel)", "profile = EdgeProfile(thickness, section.flat, section.bevel)"),
        ("less = skews[0] + skews[1]", "less = -skews[0] - skews[1]"),
        ("edge_a - less * (inside[0] + width)", "edge_a - less * width"),
        ("(board.narrowed, -stock) if board.tilt > 0 else (Fraction(0), board.narrowed - stock)", "(Fraction(0), board.narrowed - stock) if board.tilt > 0 else (board.narrowed, -stock)"),
        ("return bottom_length(rooms[0], short), bottom_length(rooms[1], short)", "return bottom_length(rooms[1], short), bottom_length(rooms[0], short)"),
        ("short = max(undercut, _needs(profile, walls))", "short = min(undercut, _needs(profile, walls))"),
        ("short = ends[0].back_short + ends[1].back_short", "short = ends[0].back_short - ends[1].back_short"),
        ("return edges[0] - short - slant * insets[0], edges[1] - short + slant * insets[1]", "return edges[0] - short + slant * insets[0], edges[1] - short - slant * insets[1]"),
    ),
    _CUTS + "cleat.py": (
        ("bevel = thickness * tangent(back_bevel)", "bevel = 0 * thickness"),
        ('behind = skew if side == "A" else -skew', "behind = skew"),
        ('behind = skew if side == "A" else -skew', 'behind = -skew if side == "A" else skew'),
        ("face = max(rate * line, rate * (line + height))", "face = min(rate * line, rate * (line + height))"),
        ("max(bevel, behind * (thickness + projection)) + CLEARANCE", "max(bevel, behind * (thickness + projection)) - CLEARANCE"),
        ("return taken[0], cut.bottom_length - taken[0] - taken[1]", "return taken[1], cut.bottom_length - taken[0] - taken[1]"),
        ("return taken[0], cut.bottom_length - taken[0] - taken[1]", "return taken[0], cut.bottom_length - taken[0]"),
        ("max(zero, rate * height) + max(zero, -skew * projection)", "max(zero, -skew * projection)"),
        ("return first, room - first - second", "return (first + second) / 2, room - first - second"),
    ),
    _CUTS + "forms.py": (
        ("_side(\"side B\", other.height, section)", "_side(\"side B\", section.height, section)"),
        ("width = section.width - section.side_thickness - section.fit + TO_SCRIBE", "width = section.width - 2 * section.side_thickness - section.fit + TO_SCRIBE"),
        ("return 90 - corner / 2", "return corner / 4"),
        ("side = _back(height, lost, 1, width)", "side = _back(height, lost, 2, width)"),
        ("name, over, _back(over, thickness, 2, width)", "name, over, _back(over, thickness, 1, width)"),
    ),
    _CUTS + "ridge.py": (
        ('_side("A", drop_a, half + off_centre, pitch_a, side_thickness)', '_side("A", drop_a, half + off_centre, pitch_b, side_thickness)'),
        ('_side("B", drop_b, half - off_centre, pitch_b, side_thickness)', '_side("B", drop_a, half - off_centre, pitch_b, side_thickness)'),
        ("tilt = (drop_a - drop_b) / between", "tilt = (drop_b - drop_a) / between"),
        ("tilt = (drop_a - drop_b) / between", "tilt = (drop_a - drop_b) / width"),
        ("show = drop - fall", "show = drop + fall"),
        ("fall = distance * pitch.tangent", "fall = 2 * distance * pitch.tangent"),
        ("show + thickness * pitch.tangent", "show - thickness * pitch.tangent"),
        ("between * square_root(1 + tilt * tilt)", "between * (1 + tilt * tilt)"),
    ),
    _CUTS + "dry_fit.py": (
        ("closing * FROM_BELOW <= max(Fraction(0), slack) + SPRINGS", "closing <= max(Fraction(0), slack) + SPRINGS"),
        ("closing = -exact(walls[0]) - exact(walls[1])", "closing = exact(walls[0]) + exact(walls[1])"),
        ("tilted * tilted * length / 2 - slack", "tilted * length / 2 - slack"),
        ("tilted * tilted * length / 2 - slack", "Fraction(0) - slack"),
        ('"no way" if over or jams else way', '"no way" if over else way'),
        ("-exact(max(up)) + exact(room.rise)", "-exact(min(up)) + exact(room.rise)"),
        ("(slant - wall) * across + behind - exact(room.comes_in[at]) * deep", "(wall - slant) * across + behind - exact(room.comes_in[at]) * deep"),
        ("across + behind - exact(room.comes_in[at]) * deep", "across + behind + exact(room.comes_in[at]) * deep"),
        ("across + behind - exact(room.comes_in[at]) * deep", "across - exact(room.comes_in[at]) * deep"),
        ("top = offset - wall * height", "top = offset + wall * height"),
        ("slack = free + sum(nearest)", "slack = free - sum(nearest)"),
        ("slack = free + sum(nearest)", "slack = free + max(nearest)"),
        ("lost - behind * thickness for", "lost + behind * thickness for"),
        ('spots.append(_Spot("back", off))', "pass"),
        ("skew = max(Fraction(0), exact(behind or 0)) * thickness", "skew = max(Fraction(0), -exact(behind or 0)) * thickness"),
    ),
    _CUTS + "frame_fit.py": (
        ('return FrameWay("no way", min(lacks, straight))', 'return FrameWay("one end first", 0.0)'),
        ("one[2] - FROM_BELOW", "one[2] + FROM_BELOW"),
        ("ways = (0,) if across == 2 else (1, -1)", "ways = (0,)"),
    ),
    _CUTS + "ceiling.py": (
        ("height_b=one.height_b - higher", "height_b=one.height_b + higher"),
        ('higher = widths["B"] - height - b_lower', 'higher = widths["B"] - height + b_lower'),
        ("lowest, highest = min(heights), max(heights)", "lowest, highest = heights[0], max(heights)"),
        ("setting = rounded_up(highest - lowest, step) + margin", "setting = rounded_up(highest - lowest, step) - margin"),
        ("StationMark(*one, setting - one.gap,", "StationMark(*one, one.gap,"),
        ("widths[one.side] - setting + one.gap)", "widths[one.side] - setting - one.gap)"),
        ("widths[one.side] - setting + one.gap)", "height - setting + one.gap)"),
    ),
    _CUTS + "skew.py": (
        ('(1 if self.longer == "A" else -1) * self.gap / self.leg', '(-1 if self.longer == "A" else 1) * self.gap / self.leg'),
        ('(1 if self.longer == "A" else -1) * self.gap / self.leg', '(1 if self.longer == "A" else -1) * self.gap / 24'),
    ),
    _CUTS + "pitch.py": (
        ("read_length(m[1]) / PER_FOOT, RISE_STEP", "read_length(m[1]) / 10, RISE_STEP"),
    ),
    "crewdesk/job/cuts/walls.py": (
        ("return float(skew) / (math.cos(slope) - float(lean) * math.sin(slope))", "return float(skew)"),
        ("return float(skew) / (math.cos(slope) - float(lean) * math.sin(slope))", "return float(skew) * (math.cos(slope) - float(lean) * math.sin(slope))"),
        ('return "low" if beam.low == end else "high"', 'return "low" if end == 1 else "high"'),
        ('way = 1 if piece.key == "A" else -1', "way = 1"),
        ('way = 1 if piece.key == "A" else -1', 'way = -1 if piece.key == "A" else 1'),
        # A twisted wall is no plane, as the rooms' walls are: tests/job/test_twisted_walls.py.
        ("max(Fraction(0), exact(behind_side(then, piece, end) or 0)) * thick", "Fraction(0)"),
        ("return BackCut(below, max(below, above))", "return None"),
    ),
    "crewdesk/paper/text/mark_text.py": (
        ('lengths_json(cut, step, "blank", way="up")', 'lengths_json(cut, step, "blank", way="down")'),
        ('"bottom_length", "top_length", way="down"', '"bottom_length", "top_length"'),
    ),
}  # fmt: skip

FAULTS = tuple(Fault(file, old, new) for file, pairs in _OLD_NEW.items() for old, new in pairs)
