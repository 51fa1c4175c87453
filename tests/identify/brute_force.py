#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""brute_force.py PROGRAM ROOT: draws small catalogues and asks `whyfit identify` of them.

What is left, what speaks against each of the others and what is to be looked at next are worked out here
again, slowly and from the drawn records alone, as identify.h states them. WHYFIT_CATALOGUES says how many
are drawn (12), WHYFIT_SEED from which seed (1).
"""
import json
import math
import os
import random
import re
import subprocess
import sys
import tempfile

GRID = 1e-4  # mm: what the program holds for equal, and more
WORDS = {"colour": ["red", "green", "blue"], "kind": ["plain", "seat", "spline"]}
WAYS = {"teeth": ["eye"], "colour": ["eye"], "kind": ["eye"], "length": ["caliper"], "diameter": ["micrometer", "caliper"],
        "at": ["depth-gauge", "caliper"]}
VOCABULARY = """kinds:
  drawn: {says: Drawn at random., fields: {
    teeth: {count: true, got-by: eye},
    colour: {choice: [red, green, blue], got-by: eye},
    length: {quantity: length, positive: true, got-by: caliper}}}
  drawn-special: {is: drawn, says: Drawn too.}
  drawn-outside: {is: drawn, says: Seen from outside., open-to-view: true}
  drawn-unit: {says: Holds some.}
"""


def table(root, path, key):
    """NAME: {… KEY: NUMBER UNIT …} of a file of the shipped knowledge."""
    scale = {"s": 1, "min": 60, "h": 3600, "mm": 1}
    with open(os.path.join(root, path), encoding="utf-8") as file:
        found = re.findall(rf"^  ([a-z-]+): {{.*\b{key}: ([0-9.]+) ([a-z]+)", file.read(), re.M)
    return {name: float(number) * scale[unit] for name, number, unit in found}


# ---- drawing

def draw_size(dice, around):
    """A length as (text, least, greatest, reading); reading None: nobody says."""
    at = round(around + dice.choice([0, 0, 0.02, 0.05, 0.5, 1, 5]), 2)
    form = dice.randrange(5)
    if form == 0:
        return f"{at} ±0.1 mm", at - 0.1, at + 0.1, at
    if form == 1:
        return f"{at} +0.06/+0.02 mm", at + 0.02, at + 0.06, at + 0.02
    if form == 2:
        return f"{at}..{round(at + 0.4, 2)} mm", at, at + 0.4, at + 0.2
    if form == 3:
        return f"at least {at} mm", at, math.inf, at
    return f"{at} mm", -math.inf, math.inf, at  # no tolerance: unknown beyond its nominal


def draw_fields(dice):
    """Fields of a part or run: name → (text, least, greatest, reading) or a word or count."""
    fields = {}
    for name in ("teeth", "colour", "length"):
        if dice.random() < 0.75:
            fields[name] = (dice.choice([17, 18, 21]) if name == "teeth" else
                            dice.choice(WORDS["colour"]) if name == "colour" else draw_size(dice, 30))
    return fields


def draw_part(dice, name, kinds):
    part = {"name": name, "kind": dice.choice(kinds), "fields": draw_fields(dice), "runs": {},
            "partial": dice.random() < 0.2, "datum": dice.choice(["top", "top", "foot"])}
    depth = draw_size(dice, 50)
    step = draw_size(dice, 20)
    # positions from the datum: the other end, and a step
    part["at"] = {part["datum"]: ("0 mm", 0.0, 0.0, 0.0), "step": step,
                  "foot" if part["datum"] == "top" else "top": depth}
    for run in ("land", "neck"):
        if dice.random() < 0.6:
            fields = {"kind": dice.choice(WORDS["kind"])}
            if dice.random() < 0.7:
                fields["diameter"] = draw_size(dice, 40)
            if dice.random() < 0.5:
                fields["teeth"] = dice.choice([17, 21])
            part["runs"][run] = fields
    return part


def yaml_value(value):
    return value[0] if isinstance(value, tuple) else str(value)


def yaml_part(part):
    lines = [f"  - part: {part['name']}", f"    kind: {part['kind']}", "    source: drawn at random",
             f"    datum: {part['datum']}"]
    lines += [f"    {name}: {yaml_value(value)}" for name, value in part["fields"].items()]
    lines += ["    faces: {" + ", ".join(f"{face}: {{at: {at[0]}, looks: out}}" for face, at in part["at"].items()) + "}"]
    runs = [f"{run}: {{" + ", ".join(f"{k}: {yaml_value(v)}" for k, v in fields.items()) + "}"
            for run, fields in part["runs"].items()]
    lines += ["    runs: {" + ", ".join(runs) + "}"] if runs else []
    lines += ["    partial: [runs]"] if part["partial"] else []
    return lines


def draw_catalogue(dice):
    parts = [draw_part(dice, f"thing-{i}", ["drawn", "drawn", "drawn-special", "drawn-outside"])
             for i in range(dice.randrange(2, 9))]
    units = []
    for i in range(dice.randrange(2, 6)):
        places = {place: dice.choice(parts) for place in ("case", "core", "cap") if dice.random() < 0.7}
        places = places or {"case": parts[0]}
        units.append({"name": f"unit-{i}", "kind": "drawn-unit", "places": places})
    return parts, units


def yaml_catalogue(parts, units):
    lines = ["parts:"] + [line for part in parts for line in yaml_part(part)]
    lines += ["units:"]
    for unit in units:
        lines += [f"  - unit: {unit['name']}", f"    kind: {unit['kind']}", "    source: drawn at random",
                  "    places: {" + ", ".join(f"{k}: {v['name']}" for k, v in unit["places"].items()) + "}"]
    return "\n".join(lines) + "\n"


# ---- what a candidate answers

LACKS, UNKNOWN = "lacks", "unknown"


def kinds_meet(a, b):
    up = {"drawn-special": "drawn", "drawn-outside": "drawn"}
    return a == b or up.get(a) == b or up.get(b) == a


class Catalogue:
    """Candidates with their answers to every field: a value, LACKS or UNKNOWN."""

    def __init__(self, candidates, is_units):
        self.candidates = {one["name"]: one for one in candidates}
        self.is_units = is_units
        self.fields = {}
        for one in candidates:
            for name, kind in self.fields_of(one):
                self.fields.setdefault(name, kind)
        self.listed = {(place, run) for one in candidates for place, part in self.owners(one) for run in part["runs"]}

    def owners(self, one):
        return [(place + ".", part) for place, part in one["places"].items()] if self.is_units else [("", one)]

    def fields_of(self, one):
        yield "kind", "kind"
        for prefix, part in self.owners(one):
            if self.is_units:
                yield prefix[:-1], "presence"
                yield prefix + "kind", "kind"
            for name, value in part["fields"].items():
                yield prefix + name, "quantity" if isinstance(value, tuple) else "count" if isinstance(value, int) else "word"
            for face in part["at"]:
                yield f"{prefix}{face}", "presence"
                yield f"{prefix}{face}.at", "position"
                yield f"{prefix}{face}.looks", "word"
            for run, fields in part["runs"].items():
                yield f"{prefix}{run}", "presence"
                yield f"{prefix}{run}.in", "word"
                for name, value in fields.items():
                    yield (f"{prefix}{run}.{name}",
                           "quantity" if isinstance(value, tuple) else "count" if isinstance(value, int) else "word")

    def part_at(self, one, field):
        """The part that a field is of, the prefix, and what is left of the field's name."""
        if not self.is_units:
            return one, "", field
        place, _, rest = field.partition(".")
        return one["places"].get(place), place + ".", rest

    def has(self, part, prefix, feature):
        if part is None:
            return LACKS
        if feature in part["at"] or feature in part["runs"]:
            return True
        return UNKNOWN if part["partial"] and (prefix, feature) in self.listed else LACKS

    def answer(self, one, field, anchor=None):
        if field == "kind":
            return one["kind"]
        part, prefix, rest = self.part_at(one, field)
        if self.is_units and rest == "":
            return True if part is not None else LACKS
        feature, _, column = rest.partition(".")
        if self.fields.get(field) == "presence":
            return self.has(part, prefix, feature)
        if part is None:
            return LACKS
        if column == "":
            return part["kind"] if rest == "kind" else part["fields"].get(rest, UNKNOWN)
        there = self.has(part, prefix, feature)
        if there is not True:
            return there
        if feature in part["at"]:
            return self.position(part, feature, anchor) if column == "at" else "out"
        if column == "in":
            return "outside"
        return part["runs"][feature].get(column, UNKNOWN)

    @staticmethod
    def position(part, face, anchor):
        at, start = part["at"][face], ("", 0.0, 0.0, 0.0)
        if face == anchor:
            return "", 0.0, 0.0, 0.0  # a thing less itself
        if anchor is not None:
            start = part["at"][anchor]
        least, greatest = at[1] - start[2], at[2] - start[1]
        return "", least, greatest, min(max(at[3] - start[3], least), greatest)

    def needs_opening(self, field, left):
        if not self.is_units or field == "kind":
            return False
        return any(one["places"][field.split(".")[0]]["kind"] != "drawn-outside" or "." in field and not self.is_own(one, field)
                   for one in left
                   if field.split(".")[0] in one["places"] and self.has_cell(one, field))

    def is_own(self, one, field):
        """A field of the part itself, not of a feature (no run or face is seen from outside)."""
        return field.split(".", 1)[1] in ("kind", "teeth", "colour", "length")

    def has_cell(self, one, field):
        answer = self.answer(one, field)
        return answer is not LACKS and answer is not UNKNOWN


def apart(kind, answer, seen):
    """Whether an answer surely is not what was seen; seen: LACKS, True, a word, or (least, greatest)."""
    if answer is UNKNOWN or seen is UNKNOWN:
        return False
    if (answer is LACKS) != (seen is LACKS):
        return True
    if answer is LACKS or kind == "presence":
        return False
    if kind == "kind":
        return not kinds_meet(answer, seen)
    if kind == "word":
        return answer != seen
    least, greatest = (answer, answer) if isinstance(answer, int) else answer[1:3]
    return seen[1] < least - GRID or seen[0] > greatest + GRID


# ---- looks

def as_seen(kind, answer, doubt):
    """What would be seen if it is this one, read as drawn."""
    if answer is LACKS or answer is UNKNOWN or answer is True or kind in ("kind", "word"):
        return answer
    reading = answer if isinstance(answer, int) else answer[3]
    return (reading - doubt, reading + doubt)


def bits_of(catalogue, left, field, anchor, doubt):
    kind = catalogue.fields[field]
    answers = [catalogue.answer(one, field, anchor) for one in left]
    total = 0.0
    for answer in answers:
        seen = as_seen(kind, answer, doubt)
        total += math.log2(sum(not apart(kind, other, seen) for other in answers))
    return math.log2(len(left)) - total / len(left)


def datum_of(catalogue, left, field):
    """The face that most of those left count a position from; None: nobody has it."""
    counts = {}
    for one in left:
        part = catalogue.part_at(one, field)[0]
        if part is not None:
            counts[part["datum"]] = counts.get(part["datum"], 0) + 1
    return min(counts, key=lambda face: (-counts[face], face)) if counts else None


def ways_of(catalogue, field):
    kind = catalogue.fields[field]
    return ["eye"] if kind in ("presence", "kind", "word", "count") else WAYS[field.rsplit(".", 1)[-1]]


def looks_of(catalogue, left, closed, gauges, times):
    """All looks that split, best first: (needs opening, -rate, -bits, field, way)."""
    looks = []
    for field, kind in catalogue.fields.items():
        parent = field.rsplit(".", 1)[0] if "." in field else None
        if field in closed or parent in closed:
            continue
        anchor = datum_of(catalogue, left, field) if kind == "position" else None
        opening = catalogue.needs_opening(field, left)
        best = None
        for way in ways_of(catalogue, field):
            doubt = gauges[way] if kind in ("quantity", "position") else 0
            bits = bits_of(catalogue, left, field, anchor, doubt)
            look = (opening, round(-bits / times[way], 9), round(-bits, 9), field, way)
            if bits > 1e-9 and (best is None or look < best):
                best = look
        lacking = any(catalogue.answer(one, field) is LACKS for one in left)
        enough = bits_of(catalogue, left, parent, None, 0) if lacking and parent in catalogue.fields else 0
        if best is not None and -best[2] > enough + 1e-9:
            looks.append(best)
    return sorted(looks)


# ---- asking

def draw_seen(dice, catalogue):
    """What somebody sees of one of the candidates, or of none: name → (words, what it is)."""
    seen = {}
    names = sorted(catalogue.fields)
    true = dice.choice(sorted(catalogue.candidates))
    for field in dice.sample(names, min(len(names), dice.randrange(0, 4))):
        kind = catalogue.fields[field]
        other = catalogue.candidates[true if dice.random() < 0.7 else dice.choice(sorted(catalogue.candidates))]
        answer = catalogue.answer(other, field)
        if kind == "position" and len({p["datum"] for one in catalogue.candidates.values()
                                       for p in [catalogue.part_at(one, field)[0]] if p is not None}) > 1:
            face = dice.choice(["top", "foot"])
            name, answer = f"{field} from {face}", catalogue.answer(other, field, face)
            seen_of = {"anchor": face}
        else:
            name, seen_of = field, {"anchor": None}
        if dice.random() < 0.1 or answer is UNKNOWN:
            seen[name] = ("?", {"field": field, "what": UNKNOWN, **seen_of})
        elif kind == "presence":
            seen[name] = ("yes" if answer is True else "no", {"field": field, "what": answer, **seen_of})
        elif answer is LACKS:
            continue
        elif kind in ("kind", "word"):
            seen[name] = (answer, {"field": field, "what": answer, **seen_of})
        elif kind == "count":
            seen[name] = (str(answer), {"field": field, "what": (answer, answer), **seen_of})
        else:
            at, by = round(answer[3] + dice.choice([0, 0.03, -0.2]), 2), dice.choice([0.03, 0.5])
            seen[name] = (f"{at} ±{by} mm", {"field": field, "what": (at - by, at + by), **seen_of})
    return seen


def check(catalogue, seen, answer, gauges, times):
    """What is wrong with an answer; empty: nothing."""
    against = {}
    for name, one in catalogue.candidates.items():
        bad = {what["field"] for _, what in seen.values()
               if apart(catalogue.fields[what["field"]], catalogue.answer(one, what["field"], what["anchor"]), what["what"])}
        if bad:
            against[name] = bad
    left = sorted(set(catalogue.candidates) - set(against))
    said = {one["name"]: {m["field"] for m in one["misfits"]} for one in answer["fallen"]}
    faults = []
    if [one["name"] for one in answer["left"]] != left:
        faults.append(f"left {[one['name'] for one in answer['left']]}, by brute force {left}")
    if said != against:
        faults.append(f"fallen {said}, by brute force {against}")
    closed = {what["field"] for _, what in seen.values() if what["what"] is not UNKNOWN}
    told = {what["field"] for _, what in seen.values() if what["what"] is UNKNOWN}
    rest = [catalogue.candidates[name] for name in left]
    wanted = [look for look in looks_of(catalogue, rest, set(), gauges, times)
              if look[3] not in closed | told and ("." not in look[3] or look[3].rsplit(".", 1)[0] not in
                                                   {f for f in told if catalogue.fields[f] == "presence"})] if len(rest) > 1 else []
    looks = [(look["field"].split(" from ")[0], look["way"], look["bits"], look["needs_opening"]) for look in answer["looks"]]
    if answer["look_count"] != len(wanted) or len(looks) != min(3, len(wanted)):
        faults.append(f"{answer['look_count']} looks, by brute force {len(wanted)}: {[w[3] for w in wanted]}")
    for (field, way, bits, opening), best in zip(looks, wanted):
        if (field, way, opening) != (best[3], best[4], best[0]) or abs(bits + best[2]) > 2e-6:
            faults.append(f"look {field} by {way} for {bits} bits, by brute force {best[3]} by {best[4]} for {-best[2]}")
    return faults


def ask_all(program, root, folder, lines):
    done = subprocess.run([program, "swap", "--with", folder, "--batch", "-", "--knowledge", root], text=True,
                          input="\n".join(lines) + "\n", capture_output=True, check=False)
    if done.returncode != 0:
        print(done.stdout[-2000:], done.stderr)
    return [json.loads(line) for line in done.stdout.splitlines()]


def try_catalogue(program, root, seed, gauges, times):
    dice = random.Random(seed)
    parts, units = draw_catalogue(dice)
    text = yaml_catalogue(parts, units)
    asked, lines = [], []
    for what, candidates in (("drawn", parts), ("drawn-unit", units)):
        for _ in range(12):
            catalogue = Catalogue(candidates, what == "drawn-unit")
            seen = draw_seen(dice, catalogue)
            asked.append((catalogue, seen))
            lines.append(json.dumps({"command": "identify", "of": what, "most": 1000,
                                     "seen": {name: words for name, (words, _) in seen.items()}}))
    with tempfile.TemporaryDirectory() as folder:
        for name, content in (("vocabulary.yaml", VOCABULARY), ("drawn.yaml", text)):
            with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                file.write(content)
        answers = ask_all(program, root, folder, lines)
    wrong = 0 if len(answers) == len(asked) else 1
    fallen = looks = 0
    for line, (catalogue, seen), answer in zip(lines, asked, answers):
        faults = [str(answer["error"])] if "error" in answer else check(catalogue, seen, answer, gauges, times)
        fallen += answer.get("fallen_count", 0)
        looks += answer.get("look_count", 0)
        if faults and wrong == 0:
            print(f"seed {seed}: {line}", *faults, text, sep="\n")
        wrong += 1 if faults else 0
    return len(asked), fallen, looks, wrong


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    gauges = table(root, "facts/gauges.yaml", "uncertainty")
    times = table(root, "rules/looking.yaml", "time")
    first, count = int(os.environ.get("WHYFIT_SEED", "1")), int(os.environ.get("WHYFIT_CATALOGUES", "12"))
    totals = [0, 0, 0, 0]
    for seed in range(first, first + count):
        totals = [a + b for a, b in zip(totals, try_catalogue(program, root, seed, gauges, times))]
        if totals[3]:
            break
    asked, fallen, looks, wrong = totals
    print(f"{asked} questions, {fallen} candidates fell out, {looks} looks weighed, {wrong} wrong")
    return 0 if wrong == 0 and fallen > asked / 4 and looks > asked else 1


if __name__ == "__main__":
    sys.exit(main())
