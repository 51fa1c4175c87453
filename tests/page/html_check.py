# SPDX-License-Identifier: MIT
"""What any page of ours must be: well nested, readable without eyes or colours, and of one piece."""
import re
from html.parser import HTMLParser

VOID = {"meta", "link", "input", "br", "hr", "img", "wbr"}
# What a reader could be led to, or a browser made to fetch, without being asked.
FORBIDDEN = {"script", "iframe", "object", "embed", "base", "audio", "video", "frame"}


class Page(HTMLParser):
    """Collects the faults of a page, and its text as a reader gets it."""

    def __init__(self, markup):
        super().__init__(convert_charrefs=True)
        self.faults, self.open, self.headings = [], [], []
        self.ids, self.targets, self.labels, self.controls = set(), set(), set(), []
        self.links, self.forms, self.tags = [], [], []
        self.words = []
        self.feed(markup)
        self.close()
        if self.open:
            self.faults.append(f"left open: {self.open}")
        for target in sorted(self.targets - self.ids):
            self.faults.append(f"#{target} is nowhere")
        for control in self.controls:
            if not control & self.labels and "aria" not in control:
                self.faults.append(f"no label for {control}")
        self.check_headings()

    def handle_starttag(self, tag, attrs):
        values = dict(attrs)
        if "svg" not in self.open:
            self.tags.append((tag, values))
        if len(values) != len(attrs):
            self.faults.append(f"<{tag}> says an attribute twice")
        if tag in FORBIDDEN:
            self.faults.append(f"<{tag}>")
        for name, value in attrs:
            self.check_attribute(tag, name, value or "")
        if tag == "th" and values.get("scope") not in ("row", "col"):
            self.faults.append("a th without scope")
        if tag == "label":
            self.labels.add(values.get("for", ""))
        if tag in ("input", "select", "textarea") and values.get("type") not in ("hidden", "submit"):
            self.controls.append({values.get("id", "?")} | ({"aria"} if "aria-label" in values else set()))
        if tag not in VOID:
            self.open.append(tag)

    def check_attribute(self, tag, name, value):
        if name.startswith("on") or name == "style":
            self.faults.append(f"<{tag} {name}>")
        if name == "id":
            if value in self.ids:
                self.faults.append(f"id {value} twice")
            self.ids.add(value)
        if name in ("href", "src", "action"):
            self.links.append(value)
            if value.startswith("#"):
                self.targets.add(value[1:])
            elif re.match(r"[a-z]+:|//", value) and value != "data:,":
                self.faults.append(f"{tag} leads to {value}")
        if "\uFFFD" in value:
            self.faults.append(f"spoiled text in {name}")

    def handle_endtag(self, tag):
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self.open[-3:]}")
        else:
            self.open.pop()

    def handle_data(self, data):
        if "style" in self.open:
            return
        self.words.append(data)
        if self.open and re.fullmatch("h[1-6]", self.open[-1]):
            self.headings.append(int(self.open[-1][1]))

    def check_headings(self):
        last = 0
        for level in self.headings:
            if level > last + 1:
                self.faults.append(f"h{level} after h{last}")
            last = level

    def text(self):
        return " ".join(" ".join(self.words).split())


def whole_page_faults(markup):
    """The faults of a page that stands alone, with its landmarks."""
    page = Page(markup)
    faults = list(page.faults)
    count = {}
    for tag, _ in page.tags:
        count[tag] = count.get(tag, 0) + 1
    if not markup.startswith("<!DOCTYPE html>"):
        faults.append("no DOCTYPE")
    if ("html", {"lang": "en"}) not in page.tags:
        faults.append("no lang")
    for tag in ("main", "h1", "title"):
        if count.get(tag) != 1:
            faults.append(f"{count.get(tag, 0)} {tag}")
    return page, faults


def luminance(colour):
    parts = [int(colour[i:i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """WCAG 2.2, contrast ratio."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)
