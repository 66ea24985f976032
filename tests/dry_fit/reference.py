"""A plain maker of cut lists, so that the simulator can be tested before it tests anything.

It takes what a user read and the section that was ordered, and writes the same JSON as
`crewdesk cutlist --json`, as far as the simulator reads it. `fault` puts one of `FAULTS` in.
"""

import math
from fractions import Fraction
from typing import Any

from tests.dry_fit.measure import STEP_SIZES
from tests.dry_fit.readings import Readings
from tests.dry_fit.room import CLEATED, MITRED, SCRIBED, Room

Doc = dict[str, Any]

FAULTS = (
    "side's lean turned round",
    "side's ends swapped",
    "side shown rounded up",
    "offset shown rounded to nothing",
    "relief on the other face",
    "relief not told",
    "relief by half",
    "bottom over its reading",
    "bottom's slant mirrored",
    "bottom's ends swapped",
    "bottom's slant by half",
    "bottom's need forgotten",
    "bottom's low end relieved, not bevelled",
    "bottom shown rounded up",
    "bottom without clearance",
    "bottom's stop at the wrong edge",
    "tilted bottom's lower edge as it was measured",
    "lowest width is that of the highest spot",
    "relief without the tangent",
    "relief without the flat",
    "cleat as long as the side",
    "cleat line without the reveal",
    "cleat line without the board",
    "setting without the highest spot",
    "setting for each side by itself",
    "height of B not told apart",
    "ridge's sides swapped",
    "ridge's tilt mirrored",
    "mitre on the wrong face",
    "blank is the bottom edge",
    "slope's sign",
    "slope's ends swapped",
    "top without its lean",
)


class Maker:
    """Writes one beam's part of a cut list."""

    def __init__(self, room: Room, readings: Readings, step: str, fault: str = "") -> None:
        assert fault in ("", *FAULTS)
        self.room, self.read, self.step, self.fault = room, readings, step, fault
        self.size = STEP_SIZES[step]
        self.section = room.section
        self.thick = float(room.section.side_thickness)
        self.bevel = math.tan(math.radians(float(room.section.bevel)))
        if fault == "relief without the tangent":
            self.bevel = math.radians(float(room.section.bevel)) / 2
        self.plank = room.bottom_thickness
        self.flat = 0.0 if room.kind in MITRED else float(room.section.flat)
        short = self.plank - (0.0 if fault == "relief without the flat" else self.flat)
        self.relief = 0.0 if room.kind in MITRED else short * self.bevel

    def beam(self) -> Doc:
        """The whole beam."""
        pieces: Doc = {key: self.side(key) for key in self.room.sides}
        pieces["bottom"] = self.bottom()
        if self.room.form in ("box", "mitred box"):
            pieces["top"] = self.top()
        if self.room.kind in CLEATED:
            pieces["cleats"] = self.cleats()
        return {
            "name": str(self.room.number),
            "pieces": [
                {
                    "piece": key,
                    "marks": {**marks, "list": []},
                    "compound": self.compounds(key) if key in ("A", "B", "bottom") else [],
                }
                for key, marks in pieces.items()
            ],
            "scribe": self.scribe() if self.room.kind in SCRIBED else None,
        }

    # What the readings come to in the beam's own frame.

    def slope(self, end: int) -> float:
        if self.fault == "slope's sign":
            return 0.0
        low = 3 - self.room.low if self.fault == "slope's ends swapped" else self.room.low
        return math.atan(self.room.pitch) * (1 if end == low else -1)

    def lean(self, end: int, key: str = "") -> float:
        """A wall's tangent off square at a side; without one, the mean of both."""
        leans = [float(self.read.leans[k][end - 1]) for k in (key or self.room.sides)]
        return math.tan(self.slope(end) + math.atan(sum(leans) / len(leans)))

    def tilted(self, end: int) -> tuple[float, float]:
        """A wall's tangents along and across a bottom that is tilted across the beam."""
        cos, sin = math.cos(self.room.tilt), math.sin(self.room.tilt)
        lean, turn = self.lean(end), self.turn(end) or 0.0
        return lean * cos - turn * sin, turn * cos + lean * sin

    def turn(self, end: int) -> float | None:
        square = self.read.squares[end - 1]
        if square is None:
            return None
        slope, out = self.slope(end), math.tan(math.atan(self.lean(end)) - self.slope(end))
        return float(square) / (math.cos(slope) - out * math.sin(slope))

    def losing(self, key: str, end: int) -> float:
        """What a side's back must lose at an end."""
        turn = (self.turn(end) or 0.0) * (1 if key == "A" else -1) * self.thick
        if self.fault == "relief on the other face":
            turn = -turn
        if self.fault == "relief by half":
            turn /= 2
        return 0.0 if self.fault == "relief not told" else max(0.0, turn)

    def compounds(self, key: str) -> list[Doc]:
        """On a slope, the saw's two settings at each end whose wall is turned in plan.

        Of a plane u = c + slant v + back w the miter is atan(slant) in the face, and the
        blade leans off the face's normal by asin(back / |(1, slant, back)|).
        """
        out = []
        for end in (1, 2):
            turn = self.turn(end)
            if not self.room.pitch or not turn:
                continue
            slant, back = turn, self.lean(end)
            if key != "bottom":
                slant, back = self.lean(end, key), turn if key == "A" else -turn
            size = math.sqrt(1 + slant * slant + back * back)
            miter, blade = math.atan(slant), math.asin(back / size)
            settings = {"mitre_deg": math.degrees(miter), "blade_deg": math.degrees(blade)}
            out.append({"end": end, **settings})
        return out

    # The pieces.

    def side(self, key: str) -> Doc:
        height, rise = self.height(key), self.rise(key)
        run = float(self.read.runs[key])
        leans = [self.lean(end, key) for end in (1, 2)]
        if self.fault == "side's lean turned round":
            leans = [-lean for lean in leans]
        if self.fault == "side's ends swapped":
            leans.reverse()
        offsets = [lean * height for lean in leans]
        mitre = self.room.kind in MITRED
        mitred_top = self.room.kind == "mitred box"
        back = height + self.thick * rise - self.thick * (mitre + mitred_top)
        out = sum(max(0.0, -offset) for offset in offsets)
        up = "up" if self.fault == "side shown rounded up" else "down"
        return {
            "height": self.length(height),
            "back_height": self.length(back),
            "bottom_length": self.length(run, up),
            "top_length": self.length(run - sum(offsets), "down"),
            "blank": self.length(
                run + (0.0 if self.fault == "blank is the bottom edge" else out), "up"
            ),
            "bottom_edge": self.edge(45.0 if mitre else 0.0, "mitre" if mitre else "square"),
            "top_edge": self.edge(
                45.0 if mitred_top else math.degrees(math.atan(rise)),
                "mitre" if mitred_top else "scribed" if rise else "square",
            ),
            "cleat_line": self.length(self.line_of(key)) if self.room.kind in CLEATED else None,
            **{f"end{end}": self.side_end(key, end, offsets[end - 1], height) for end in (1, 2)},
        }

    def side_end(self, key: str, end: int, offset: float, height: float) -> Doc:
        by = self.losing(key, end)
        if self.fault == "offset shown rounded to nothing":
            offset = 0.0
        return {
            "seen_at": "left" if (end == 1) == (key == "A") else "right",
            "offset": self.length(offset, "up"),
            "angle_deg": math.degrees(math.atan(offset / height)),
            "back_relief": {"by": self.length(by, "up"), "angle_deg": _degrees(by / self.thick)}
            if by
            else None,
        }

    def height(self, key: str) -> float:
        key = "A" if self.fault == "height of B not told apart" else key
        if self.fault == "ridge's sides swapped":
            key = "B" if key == "A" else "A"
        return self.room.height(key)

    def rise(self, key: str) -> float:
        if self.fault == "ridge's sides swapped":
            key = "B" if key == "A" else "A"
        return self.room.top_slope(key)

    @property
    def line(self) -> float:
        forgotten = self.fault == "cleat line without the reveal"
        reveal = 0.0 if forgotten else float(self.section.reveal)
        return reveal + (0.0 if self.fault == "cleat line without the board" else self.plank)

    def line_of(self, key: str) -> float:
        """A cleat's line: on the side that hangs lower, up by what a tilted back rises over
        the cleat; on the other one, at the corner of the back."""
        lower, tilt = "A" if self.room.tilt > 0 else "B", abs(self.room.tilt)
        if tilt and key != lower:
            short = (self.plank - float(self.section.flat)) * math.tan(
                math.radians(float(self.section.bevel))
            )
            return self.line - self.plank * (1 - math.cos(tilt)) - short * math.sin(tilt)
        raised = 0.75 * math.tan(tilt) if tilt else 0.0
        return self.line + self.plank * (1 / math.cos(tilt) - 1) + raised

    def need(self, lean: float, *, square: bool = False) -> float:
        if self.fault == "bottom's need forgotten":
            return 0.0
        if square:
            return max(0.0, lean * self.plank)
        return max(0.0, lean * self.flat, lean * self.plank - self.relief)

    def joint(self, lean: float) -> str:
        mitred = self.room.kind in MITRED
        square = max(0.0, lean * self.plank)
        relieved = max(0.0, lean * self.flat, lean * self.plank - self.relief)
        if self.fault == "bottom's low end relieved, not bevelled":
            return "square" if mitred else "relief"
        if (square if mitred else relieved) > 1 / 64:
            return "bevel"
        return "square" if mitred else "relief"

    def offsets(self, width: float, over: float) -> list[float | None]:
        """How far edge A runs past edge B at each end over a width, of which the sum is `over`."""
        known: list[float | None] = [
            None if self.turn(end) is None else self.tilted(end)[1] * width for end in (1, 2)
        ]
        one, two = known
        if one is not None and two is not None:
            share = (over - one - two) / 2
            known = [one + share, two + share]
        elif one is not None:
            known = [one, over - one]
        elif two is not None:
            known = [over - two, two]
        elif over == 0:
            known = [0.0, 0.0]
        if self.fault == "bottom's slant mirrored":
            known = [None if one is None else -one for one in known]
        if self.fault == "bottom's ends swapped":
            known.reverse()
        if self.fault == "bottom's slant by half":
            known = [None if one is None else one / 2 for one in known]
        return known

    def bottom(self) -> Doc:
        room = self.room
        tilt = abs(math.tan(room.tilt))
        near, far = room.faces
        fit = 0.0 if room.kind in MITRED else float(self.section.fit)
        width = (far - near) * math.hypot(1, tilt) - fit - self.need(tilt)
        if self.fault == "bottom without clearance":
            width += fit + 1 / 64
        edge_a = float(self.read.opening)
        # A tilted board is narrowed at its lower edge, so that edge lies in from where it was read.
        narrowed = self.need(tilt)
        per_inch = sum(self.tilted(end)[1] for end in (1, 2))
        if self.read.edge_b is not None:
            per_inch = (edge_a - float(self.read.edge_b)) / (width + narrowed)
        as_read = self.fault == "tilted bottom's lower edge as it was measured"
        edge_a -= 0.0 if as_read or room.tilt < 0 else per_inch * narrowed
        edge_b = edge_a - per_inch * width
        offsets = self.offsets(width, edge_a - edge_b)
        if room.kind == "wall":
            stock = (width + 0.25) / width
            edge_b -= (edge_a - edge_b) / width * 0.25
            width += 0.25
            offsets = [None if one is None else one * stock for one in offsets]
        leans = [self.tilted(end)[0] for end in (1, 2)]
        joints = [self.joint(lean) for lean in leans]
        square = room.kind in MITRED
        needs = [
            0.0 if joint == "bevel" else self.need(lean, square=square)
            for lean, joint in zip(leans, joints, strict=True)
        ]
        short = max(float(self.section.undercut), sum(needs))
        if self.fault == "bottom over its reading":
            short = -1 / 32
        if self.fault == "bottom's stop at the wrong edge":
            edge_a, edge_b = edge_b, edge_a
        lower = None if room.tilt == 0 else "B" if room.tilt < 0 else "A"
        if self.fault == "ridge's tilt mirrored" and lower:
            lower = "A" if lower == "B" else "B"
        joint = "mitre" if room.kind in MITRED else "relief"
        at_a = at_b = self.edge(self.blade, joint)
        if room.kind == "wall":
            at_b = self.edge(0.0, "scribed")
        return {
            **self.board(width, (edge_a - short, edge_b - short), offsets, leans, joints),
            "edges": [{"edge": "A", **at_a}, {"edge": "B", **at_b}],
            "tilt_deg": _degrees(tilt),
            "lower_side": lower,
        }

    @property
    def blade(self) -> float:
        return 45.0 if self.room.kind in MITRED else math.degrees(math.atan(self.bevel))

    def top(self) -> Doc:
        near, far = self.room.faces
        mitred = self.room.kind in MITRED
        clear = 0.0 if mitred else float(self.section.fit) / 2
        wide, high = float(self.section.width), float(self.section.height)
        run = {key: float(value) for key, value in self.read.runs.items()}
        per_inch = (run["A"] - run["B"]) / wide
        leans = [self.lean(end) for end in (1, 2)]
        if self.fault == "top without its lean":
            leans = [0.0, 0.0]
        short = sum(lean * high + self.plank * max(0.0, -lean) for lean in leans)
        edges = (
            run["A"] - per_inch * (near + clear) - short,
            run["A"] - per_inch * (far - clear) - short,
        )
        width = far - near - 2 * clear
        offsets = self.offsets(width, edges[0] - edges[1])
        joint = "mitre" if mitred else "square"
        edge = self.edge(self.blade if mitred else 0.0, joint)
        return {
            **self.board(width, edges, offsets, leans, ["square", "square"], mitred=mitred),
            "edges": [{"edge": name, **edge} for name in "AB"],
            "tilt_deg": 0.0,
            "lower_side": None,
        }

    def board(
        self,
        width: float,
        edges: tuple[float, float],
        offsets: list[float | None],
        leans: list[float],
        joints: list[str],
        *,
        mitred: bool | None = None,
    ) -> Doc:
        mitred = self.room.kind in MITRED if mitred is None else mitred
        narrower = self.plank if mitred else 0.0 if joints == ["square", "square"] else self.relief
        backs = [
            {"relief": self.relief, "bevel": lean * self.plank, "square": 0.0}[joint]
            for lean, joint in zip(leans, joints, strict=True)
        ]
        room, slant = self.room, narrower * (edges[0] - edges[1]) / width
        up = "up" if self.fault == "bottom shown rounded up" else "down"
        a, b = (self.length(edge, up) for edge in edges)
        return {
            "width": self.length(width, up),
            "back_width": self.length(width - (1 if self.room.kind == "wall" else 2) * narrower),
            "flat": self.length(self.flat if narrower and not mitred else 0.0),
            "relief": self.length(0.0 if mitred else narrower),
            "length": a if edges[0] >= edges[1] else b,
            "edge_a": a,
            "edge_b": b,
            "back_a": self.length(edges[0] - sum(backs) - slant, "down"),
            "back_b": self.length(edges[1] - sum(backs) + slant * (room.kind != "wall"), "down"),
            "ends": [
                self.board_end(end, *one, width)
                for end, one in enumerate(zip(offsets, leans, joints, backs, strict=True), 1)
            ],
        }

    def board_end(
        self,
        end: int,
        offset: float | None,
        lean: float,
        joint: str,
        back: float,
        width: float,
    ) -> Doc:
        slant = (offset or 0.0) / width
        bevel = math.asin(lean / math.sqrt(1 + slant * slant + lean * lean))
        blade = {"relief": math.atan(self.bevel), "bevel": bevel, "square": 0.0}[joint]
        longer = None if not offset else "A" if offset > 0 else "B"
        return {
            "end": end,
            "known": offset is not None,
            "longer": longer,
            "offset": None
            if offset is None
            else self.length(abs(offset), "up" if offset > 0 else "down"),
            "miter_deg": None if offset is None else math.degrees(math.atan(abs(offset) / width)),
            "joint": joint,
            "blade_deg": math.degrees(blade),
            "flat": self.length(self.flat if joint == "relief" else 0.0),
            "back_short": self.length(back),
        }

    def edge(self, blade: float, joint: str) -> Doc:
        mitre = joint == "mitre"
        if self.fault == "mitre on the wrong face" and mitre:
            blade = -blade
        back = self.thick * abs(math.tan(math.radians(blade))) if mitre else self.relief
        back = back if blade else 0.0
        return {
            "joint": joint,
            "blade_deg": blade,
            "flat": self.length(0.0 if joint in ("mitre", "square") else self.flat),
            "back_short": self.length(0.0 if joint == "square" else back),
        }

    def cleats(self) -> Doc:
        cleats = [self.cleat(on) for on in ("A", "wall" if self.room.kind == "wall" else "B")]
        return {"line": self.length(self.line), "cleats": cleats}

    def cleat(self, on: str) -> Doc:
        key = "A" if on == "wall" else on
        run = float(self.read.runs[key])
        turns = [self.turn(end) or 0.0 for end in (1, 2)]
        if on == "wall":
            run -= sum(turns) * float(self.section.width)
        line, keeps = self.line_of(on), []
        for end in (1, 2):
            lean = self.lean(end, key)
            nearer = turns[end - 1] * (1 if on == "A" else -1)
            back = max(self.losing(on, end), self.thick * math.tan(math.radians(5)))
            if on == "wall":
                back = max(0.0, nearer) * 0.75
            else:
                back = max(back, nearer * (self.thick + 0.75))
            keeps.append(max(lean * z for z in (line, line + self.thick)) + back + 1 / 16)
        if self.fault == "cleat as long as the side":
            keeps = [0.0, 0.0]
        # On the wall it starts from the end wall, which has come in by then.
        come = self.lean(1, key) * line if on == "wall" else 0.0
        start = math.ceil(round((keeps[0] - come) / self.size, 6)) * self.size
        return {
            "on": on,
            "line": self.length(line),
            "start": self.length(keeps[0] - come, "up"),
            "length": self.length(run - come - start - keeps[1], "down"),
            "projection": self.length(0.75),
            "height": self.length(self.thick),
        }

    def scribe(self) -> Doc:
        over = {"A": 0.0, "B": 0.0}
        if "B" in self.room.sides:
            over["B"] = self.height("B") - self.height("A") + self.room.b_edge
        spots = [
            (key, float(one.at), float(one.over_a if key == "A" else one.over_b) - over[key])
            for key in self.room.sides
            for one in self.read.ceiling
        ]
        heights = [height for _, _, height in spots]
        low, high = min(heights), max(heights)
        if self.fault == "setting without the highest spot":
            high = sorted(heights)[len(heights) // 2]
        if self.fault == "setting for each side by itself":
            low = min(height for key, _, height in spots if key == "A")
        setting = math.ceil(round((high - low) / self.size, 6)) * self.size + 1 / 16
        least = max if self.fault == "lowest width is that of the highest spot" else min
        return {
            "setting": self.length(setting, "up"),
            "within": self.length(0.0),
            "lowest_drop": self.length(
                least(self.height(key) - setting + height - low for key, _, height in spots)
            ),
            "reads_from": "slope" if self.room.pitch else "level",
            "marks": [
                {
                    "side": key,
                    "at": self.length(at),
                    "gap": self.length(height - low),
                    "within": self.length(0.0),
                    "cut_depth": self.length(setting - height + low),
                    "finished_height": self.length(self.height(key) - setting + height - low),
                }
                for key, at, height in spots
            ],
        }

    def length(self, value: float, way: str = "nearest") -> Doc:
        """A length as it is shown: rounded to the step, `up`, `down` or to the nearest one."""
        steps = value / self.size
        whole = {
            "nearest": math.floor(steps + 0.5),
            "up": math.ceil(steps - 1e-7),
            "down": math.floor(steps + 1e-7),
        }[way]
        if self.step == "mm":
            return {"exact": str(value), "shown": f"{whole} mm"}
        shown = Fraction(whole) * Fraction(self.step)
        sign, (inches, part) = "-" if shown < 0 else "", divmod(abs(shown), 1)
        text = " ".join(str(one) for one in (inches, part) if one) or "0"
        return {"exact": str(value), "shown": sign + text}


def _degrees(tangent: float) -> float:
    return math.degrees(math.atan(tangent))


def reference_beam(room: Room, readings: Readings, step: str, fault: str = "") -> Doc:
    """The cut list's part for a room's beam, as a plain maker writes it."""
    return Maker(room, readings, step, fault).beam()
