#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What `compare` promises: compared.py WHYFIT ROOT SEED COUNT

Draws parts (invented) and changes some of their fields: moves, resizes, other limits, other words, features
gone and added, fields that one of the two does not record. Then it holds: what is reported is what was
changed, no more and no less, with its amount; a part beside itself has no difference; and the answer the
other way round is the mirror image. The mirror is also held up to the parts and units of the demo, whose
checks and figures it must turn too. Prints what does not come out, and `N passed, N failed`.
"""
import copy
import json
import os
import random
import subprocess
import sys
import tempfile

FACES, RUNS, PORTS, CIRCLES = "faces", "runs", "ports", "bolt-circles"
RELATION = {FACES: "face", RUNS: "run", PORTS: "port", CIRCLES: "bolt-circle"}
WORDS = {"made-for": ["lip", "o-ring", "bearing", "gear"], "made-as": ["clear", "tapped", "reamed"],
         "corner": None}
DEMO = [
    ("demo/mower", "kestrel-cover-early", "kestrel-cover-late"),
    ("demo/mower", "kestrel-shaft-early", "kestrel-shaft-late"),
    ("demo/mower", "kestrel-shaft-late", "kestrel-shaft-replica"),
    ("demo/mower", "kestrel-shield", "kestrel-seal-ring"),
    ("demo/mower", "kestrel-head-early", "kestrel-head-late"),
    ("demo/mower", "kestrel-head-late", "kestrel-head-late-counter"),
    ("demo/pump", "otter-frame-early", "otter-frame-early"),
    ("demo/pump", "otter-plate-early", "otter-plate-late"),
    ("demo/pump", "deep-groove-6206-2rs", "deep-groove-6207-2rs"),
    ("demo/trailer", "packhorse-hub-greased", "packhorse-hub-oiled"),
    ("demo/trailer", "packhorse-spindle-early", "packhorse-spindle-late"),
]


class Length:
    """A written dimension, perhaps counted from a face."""

    def __init__(self, nominal, limits, on=None):
        self.nominal, self.limits, self.on = nominal, limits, on

    def write(self):
        limits = f" ±{self.limits} mm" if self.limits else " mm"
        if self.on:
            sign = "+" if self.nominal >= 0 else "-"
            return f"{self.on} {sign}{abs(self.nominal):g}{limits}"
        return f"{self.nominal:g}{limits}"


def draw_part(dice, name):
    part = {"name": name, FACES: {}, RUNS: {}, PORTS: {}, CIRCLES: {}}
    at = 0.0
    for i in range(dice.randint(2, 5)):
        at += dice.randint(5, 30)
        on = dice.choice([None, None, *part[FACES]]) if part[FACES] else None
        part[FACES][f"face-{i}"] = {"at": Length(at, dice.choice([0.05, 0.1, 0.2]), on), "looks": dice.choice(["in", "out"])}
    for i in range(dice.randint(1, 4)):
        part[RUNS][f"run-{i}"] = {
            "kind": "plain", "from": Length(1000 + 100 * i, 0.1), "to": Length(1000 + 100 * i + dice.randint(10, 60), 0.1),
            "diameter": Length(dice.randint(20, 90), 0.02), "finish": Length(0.4, 0), "made-for": dice.choice(WORDS["made-for"])}
    for i in range(dice.randint(0, 2)):
        part[PORTS][f"port-{i}"] = {"at": Length(dice.randint(5, 40), 0.3), "bore": Length(dice.randint(6, 20), 0.1)}
    for i in range(dice.randint(0, 2)):
        part[CIRCLES][f"circle-{i}"] = {"holes": dice.randint(3, 8), "circle-diameter": Length(dice.randint(60, 160), 0.1),
                                        "made-as": dice.choice(WORDS["made-as"])}
    return part


def write_part(part):
    lines = [f"  - part: {part['name']}", "    kind: spacer", "    source: invented", "    datum: base",
             "    faces:", "      base: {at: 0 mm, looks: in}"]
    for listed in (FACES, RUNS, PORTS, CIRCLES):
        if listed != FACES and part[listed]:
            lines.append(f"    {listed}:")
        for name, fields in part[listed].items():
            inner = ", ".join(f"{field}: {value.write() if isinstance(value, Length) else value}"
                              for field, value in fields.items())
            lines.append(f"      {name}: {{{inner}}}")
    return "\n".join(lines) + "\n"


def is_hung_on(part, face):
    return any(fields["at"].on == face for fields in part[FACES].values())


def change_feature(dice, part, other):
    """A feature that is gone, or one that is added: what is expected of it; None: nothing was done."""
    listed = dice.choice([FACES, RUNS, PORTS, CIRCLES])
    names = [name for name in part[listed] if name in other[listed] and not is_hung_on(part, name)]
    if dice.random() < 0.5 and names and len(part[listed]) > 1:
        name = dice.choice(names)
        del other[listed][name]
        return listed, name, None, "gone", None
    if listed == RUNS:
        name = f"added-{len(other[RUNS])}"
        if name not in other[RUNS]:
            other[RUNS][name] = {"kind": "plain", "from": Length(2000 + 50 * len(other[RUNS]), 0.1),
                                 "to": Length(2000 + 50 * len(other[RUNS]) + 20, 0.1), "diameter": Length(30, 0.1)}
            return listed, name, None, "added", None
    return None


def change_field(dice, part, other, touched):
    """One field of one feature: (list, feature, field, difference, by); None: nothing was done."""
    listed = dice.choice([one for one in (FACES, RUNS, PORTS, CIRCLES) if other[one]])
    name = dice.choice(list(other[listed]))
    field = dice.choice(list(other[listed][name]))
    if (listed, name, field) in touched or name not in part[listed] or field in ("kind", "looks"):
        return None
    value = other[listed][name][field]
    touched.add((listed, name, field))
    if isinstance(value, int):
        by = dice.choice([-1, 1, 2])
        other[listed][name][field] = value + by
        return listed, name, field, "resized", by
    if not isinstance(value, Length):
        other[listed][name][field] = dice.choice([word for word in WORDS[field] if word != value])
        return listed, name, field, "other", None
    if dice.random() < 0.2 and field in ("diameter", "finish", "bore"):
        del other[listed][name][field]
        return listed, name, field, "not known", None
    if dice.random() < 0.3 and value.limits:
        other[listed][name][field] = Length(value.nominal, value.limits * 2, value.on)
        return listed, name, field, "limits", 0.0
    by = dice.choice([-0.5, -0.25, 0.13, 0.5, 1.5])
    by = 0.4 if field == "finish" else by
    other[listed][name][field] = Length(value.nominal + by, value.limits, value.on)
    return listed, name, field, "moved" if field in ("at", "from", "to") else "resized", by


def lies_at(part, face):
    at = part[FACES][face]["at"]
    return at.nominal + (lies_at(part, at.on) if at.on else 0.0)


def told_from_datum(part, other, one):
    """A face that hangs on one that moved too is told by both."""
    listed, name, field, _, by = one
    if listed != FACES or field != "at" or name not in other[FACES]:
        return one
    by = round(lies_at(other, name) - lies_at(part, name), 6)
    return listed, name, field, "moved" if by else "limits", by


def vary(dice, part, name):
    other = copy.deepcopy(part)
    other["name"] = name
    expected, touched = set(), set()
    for _ in range(dice.randint(0, 6)):
        made = change_feature(dice, part, other) if dice.random() < 0.25 else change_field(dice, part, other, touched)
        if made is not None:
            expected.add(made)
    expected = {told_from_datum(part, other, one) for one in expected}
    # what went with its feature is not told apart
    gone = {(one[0], one[1]) for one in expected if one[3] == "gone"}
    expected = {one for one in expected if one[3] == "gone" or (one[0], one[1]) not in gone}
    return other, {(RELATION[one[0]], *one[1:]) for one in expected}


def reported(answer):
    """The same of an answer; what is carried along is no difference of its own."""
    found = set()
    for feature in answer["places"][0]["features"]:
        if feature["difference"] in ("gone", "added"):
            found.add((feature["relation"], feature["feature"], None, feature["difference"], None))
            continue
        for value in feature["values"]:
            if value["difference"] == "same" or value["carried_with"] is not None:
                continue
            by = value["by"]["nominal"] if isinstance(value["by"], dict) else value["by"]
            found.add((feature["relation"], feature["feature"], value["field"], value["difference"], by))
    return found


TURNED = {"gone": "added", "added": "gone", "inside": "around", "around": "inside", "worse": "better",
          "better": "worse", "first alone": "second alone", "second alone": "first alone"}


def negated(by):
    if isinstance(by, dict):
        return {**by, "nominal": -by["nominal"],
                "least": None if by["greatest"] is None else -by["greatest"],
                "greatest": None if by["least"] is None else -by["least"]}
    return -by


def mirror(tree):
    """An answer as it would be, asked the other way round."""
    if isinstance(tree, list):
        return [mirror(one) for one in tree]
    if not isinstance(tree, dict):
        return tree
    made = {key: mirror(value) for key, value in tree.items()}
    if "first" in made and "second" in made:
        made["first"], made["second"] = made["second"], made["first"]
    for key in ("difference", "limits", "change"):
        if isinstance(made.get(key), str):
            made[key] = TURNED.get(made[key], made[key])
    if isinstance(tree.get("by"), (int, float, dict)):
        made["by"] = negated(tree["by"])
    if "question" in made:
        question = made["question"]
        question["unit"], question["toward"] = question["toward"], question["unit"]
    if "subject" in made:  # of two units each has its own name
        made["subject"].pop("unit", None)
    return made


def plain(tree):
    return mirror(mirror(tree))


class Asker:
    def __init__(self, program, root):
        self.program, self.root = program, root
        self.environment = {**os.environ, "WHYFIT_KNOWLEDGE": root, "LC_ALL": "C"}
        self.passed = self.failed = 0

    def ask(self, folder, pairs):
        lines = "".join(json.dumps({"command": "compare", "unit": a, "toward": b}) + "\n" for a, b in pairs)
        done = subprocess.run([self.program, "swap", "--batch", "-", "--with", folder], input=lines,
                              env=self.environment, capture_output=True, text=True, check=True, cwd=self.root)
        return [json.loads(line) for line in done.stdout.splitlines()]

    def hold(self, is_so, what):
        self.passed += is_so
        self.failed += not is_so
        if not is_so:
            print(what)



def first_difference(a, b, path=""):
    """Where two trees part, for people."""
    if isinstance(a, dict) and isinstance(b, dict) and a.keys() == b.keys():
        return next((found for key in a if (found := first_difference(a[key], b[key], f"{path}.{key}"))), None)
    if isinstance(a, list) and isinstance(b, list) and len(a) == len(b):
        return next((found for i in range(len(a)) if (found := first_difference(a[i], b[i], f"{path}[{i}]"))), None)
    return None if a == b else f"{path}: {a} is not {b}"


def hold_pair(asker, name, answer, back, itself):
    parts = first_difference(mirror(answer), plain(back))
    asker.hold(parts is None, f"{name}: the other way round is no mirror image: {parts}")
    asker.hold(itself["differences"] == 0 and itself["not_known"] == 0, f"{name}: differs from itself")


def main():
    program, root, seed, count = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    dice = random.Random(seed)
    asker = Asker(program, root)
    drawn = []
    with tempfile.TemporaryDirectory() as folder:
        text = "parts:\n"
        for n in range(count):
            part = draw_part(dice, f"drawn-{n}")
            other, expected = vary(dice, part, f"drawn-{n}-later")
            drawn.append((part["name"], other["name"], expected))
            text += write_part(part) + write_part(other)
        with open(os.path.join(folder, "parts.yaml"), "w", encoding="utf-8") as file:
            file.write(text)
        pairs = [pair for a, b, _ in drawn for pair in ((a, b), (b, a), (a, a))]
        answers = asker.ask(folder, pairs)
        for i, (name, _, expected) in enumerate(drawn):
            answer, back, itself = answers[3 * i:3 * i + 3]
            found = reported(answer)
            asker.hold(found == expected, f"{name}: not told {sorted(expected - found, key=str)}, "
                                          f"told in vain {sorted(found - expected, key=str)}")
            hold_pair(asker, name, answer, back, itself)
    for folder in sorted({one[0] for one in DEMO}):
        asked = [(a, b) for where, a, b in DEMO if where == folder]
        answers = asker.ask(folder, [pair for a, b in asked for pair in ((a, b), (b, a), (a, a))])
        for i, (a, b) in enumerate(asked):
            hold_pair(asker, f"{a} and {b}", *answers[3 * i:3 * i + 3])
    print(f"{asker.passed} passed, {asker.failed} failed")
    return 0 if asker.failed == 0 and asker.passed > 3 * count else 1


if __name__ == "__main__":
    sys.exit(main())
