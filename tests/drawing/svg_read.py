# SPDX-License-Identifier: MIT
"""Reads a picture back: words with their boxes, half sections with their scale, lines in millimetres."""
import re
import xml.etree.ElementTree as tree

SVG = "{http://www.w3.org/2000/svg}"
LETTER_SHARE = 0.6  # a letter's width as a share of its height, on average, in a wide font


class Picture:
    def __init__(self, content):
        self.content = content
        self.root = tree.fromstring(content)
        self.width, self.height = (float(self.root.get(k)) for k in ("width", "height"))

    def all(self, element):
        return self.root.iter(SVG + element)

    def words(self):
        """Every line of letters as (words, left, top, right, bottom)."""
        for text in self.all("text"):
            words, size = text.text or "", float(text.get("font-size"))
            wide = LETTER_SHARE * size * len(words)
            left = float(text.get("x")) - {None: 0, "middle": wide / 2, "end": wide}[text.get("text-anchor")]
            base = float(text.get("y"))
            yield words, left, base - 0.75 * size, left + wide, base + 0.2 * size

    def halves(self):
        return {g.get("data-unit"): Half(g) for g in self.all("g") if g.get("data-unit")}

    def marks(self):
        return [r for r in self.all("rect") if r.get("data-mark")]


class Half:
    """A half section: lines as drawn, in millimetres of the unit."""

    def __init__(self, group):
        self.group = group
        self.zero, self.scale, self.axis_y, self.way = (
            float(group.get(k)) for k in ("data-zero", "data-scale", "data-axis-y", "data-way"))

    def x(self, on_page):
        return (on_page - self.zero) / self.scale

    def pieces(self):
        return {g.get("data-piece"): g for g in self.group if g.get("data-piece")}

    def points(self):
        for path in self.group.iter(SVG + "path"):
            for x, y in points_of(path):
                yield x, y

    def features(self):
        """(piece, run): (from, to) as drawn, and as said; None where it is not said. What is cut into a run parts
        its line."""
        found = {}
        for name, group in self.pieces().items():
            for path in group.iter(SVG + "path"):
                if path.get("data-feature"):
                    ends = sorted(self.x(x) for x, _ in points_of(path))
                    said = tuple(float(path.get(k)) if path.get(k) else None for k in ("data-from", "data-to"))
                    (low, high), _ = found.get((name, path.get("data-feature")), ((ends[0], ends[-1]), said))
                    found[name, path.get("data-feature")] = (min(low, ends[0]), max(high, ends[-1])), said
        return found


def points_of(path):
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path.get("d"))]
