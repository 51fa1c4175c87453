#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What `measure` promises, held against asking with every value: measured.py WHYFIT ROOT SEED COUNT

Draws stacks of blocks in a frame (invented) of which some widths are known to a tolerance, some only from
below, and asks about another first block. Then it holds: in every stretch of readings the finding comes out
as the sheet says, with all else as recorded; what the sheet leaves out never decides; with all of the sheet
read as drawn, with the calliper, it is decided where reading everything would decide it. Prints what does not come out, and
`N passed, N failed`.
"""
import json
import os
import random
import subprocess
import sys
import tempfile

FRAME = """
  - part: frame-{n}
    kind: gear-case
    source: invented
    datum: floor
    faces: {{floor: {{at: 0 mm, looks: out}}, ceiling: {{at: {height} ±0.02 mm, looks: in}}}}
"""
BLOCK = """
  - part: block-{n}-{k}
    kind: spacer
    source: invented
    datum: in
    faces: {{in: {{at: 0 mm, looks: in}}, out: {{at: {width}, looks: out}}}}
"""
UNIT = """
  - unit: stack-{n}
    title: Blocks in a frame
    source: invented
    places: {{frame: frame-{n}, {places}}}
    contacts: [{contacts}]
    gaps:
      room: {{between: [{last}.out, frame.ceiling], want: {want}}}
"""

WANTS = {"at least 0.1 mm": [0.1], "at most 0.9 mm": [0.9], "0.1..0.9 mm": [0.1, 0.9]}
CALIPER = 0.03  # mm: facts/gauges.yaml


class Asker:
    def __init__(self, program, root, folder):
        self.call = [program, "swap", "--batch", "-", "--threads", "1", "--with", folder]
        self.environment = {**os.environ, "WHYFIT_KNOWLEDGE": root, "LC_ALL": "C"}

    def ask(self, questions):
        lines = "".join(json.dumps(question) + "\n" for question in questions)
        done = subprocess.run(self.call, input=lines, env=self.environment, capture_output=True,
                              text=True, check=True)
        return [json.loads(line) for line in done.stdout.splitlines()]


def draw(dice, count):
    parts, units, stacks = "", "", []
    for n in range(count):
        blocks = dice.randint(1, 4)
        widths, kinds, spreads = [], [], [0.02]
        for k in range(blocks):
            nominal = dice.randint(40, 200) / 10
            kind = dice.choice(["drawn", "drawn", "wide", "open"])
            spread = dice.choice([0.01, 0.05]) if kind == "drawn" else dice.choice([0.3, 0.6])
            kinds.append(kind)
            spreads.append(float("inf") if kind == "open" else spread)
            widths.append(nominal)
            text = f"at least {nominal - 1:.2f} mm" if kind == "open" else f"{nominal} ±{spread} mm"
            parts += BLOCK.format(n=n, k=k, width=text)
        room = dice.choice([0.2, 0.5, 0.8])
        want = dice.choice(sorted(WANTS))
        parts += FRAME.format(n=n, height=round(sum(widths) + room, 3))
        places = [f"b{k}" for k in range(blocks)]
        contacts = ["b0.in = frame.floor"] + [f"b{k}.in = b{k - 1}.out" for k in range(1, blocks)]
        units += UNIT.format(n=n, last=places[-1], want=want, contacts=", ".join(contacts),
                             places=", ".join(f"{p}: block-{n}-{k}" for k, p in enumerate(places)))
        drawn = {f"b{k}.out.at": width for k, width in enumerate(widths)}
        drawn["frame.ceiling.at"] = round(sum(widths) + room, 3)
        stacks.append({"unit": f"stack-{n}", "kinds": kinds, "drawn": drawn, "spreads": spreads,
                       "room": room, "limits": WANTS[want]})
    return "parts:" + parts + "\nunits:" + units, stacks


def same(finding, rule, subject):
    return finding["rule"] == rule and finding["subject"] == subject


def outcome_in(answer, rule, subject):
    found = [f for f in answer["findings"] if f["counts"] and same(f, rule, subject)]
    return found[0]["outcome"] if found else "holds"


def is_open(answer):
    """Whether the room is not decided; what else kinds are asked for is not drawn here."""
    return any(f["counts"] and f["rule"].startswith("gap-") and f["outcome"] in ("unsure", "unknown")
               for f in answer["findings"])


def readings_in(dice, stretch):
    """Three values inside a stretch, away from its ends by the 2 um that a search may be off."""
    low = stretch["from"] if stretch["from"] is not None else (stretch["to"] or 0) - 3
    high = stretch["to"] if stretch["to"] is not None else (stretch["from"] or 0) + 3
    low, high = low + 0.002, high - 0.002
    return [dice.uniform(low, high) for _ in range(3)] if low < high else []


def question(stack, given, command="swap"):
    return {"command": command, "unit": stack["unit"], "changes": {"b0": "another"}, "given": given}


def check_stretches(asker, dice, stacks, sheets, plain):
    asked, wanted = [], []
    for stack, sheet, before in zip(stacks, sheets, plain):
        findings = {f["id"]: f for f in before["findings"]}
        for item in sheet["measure"]:
            for use in item["decides"]:
                for stretch in use["readings"]:
                    for value in readings_in(dice, stretch):
                        finding = findings[use["finding"]]
                        asked.append(question(stack, {item["dimension"]: f"{value:.6f} +/-0 mm"}))
                        wanted.append((finding["rule"], finding["subject"], stretch["outcome"]))
    wrong = 0
    for one, answer, (rule, subject, outcome) in zip(asked, asker.ask(asked), wanted):
        got = outcome_in(answer, rule, subject) if "findings" in answer else answer
        if got != outcome and {got, outcome} != {"unsure", "unknown"}:
            print(f"{one}: {rule} {got}, the sheet says {outcome}")
            wrong += 1
    return len(asked), wrong


def check_left_out(asker, dice, stacks, sheets, plain):
    """A width that is not on the sheet of an open question does not change that it is open."""
    asked = []
    for stack, sheet, before in zip(stacks, sheets, plain):
        named = {item["dimension"] for item in sheet["measure"]}
        for k, kind in enumerate(stack["kinds"]):
            dimension = f"b{k}.out.at"
            if is_open(before) and kind != "drawn" and dimension not in named:
                value = stack["drawn"][dimension] + dice.uniform(-0.05, 0.05)
                asked.append(question(stack, {dimension: f"{value:.4f} +/-0 mm"}))
    answers = asker.ask(asked) if asked else []
    wrong = [one for one, answer in zip(asked, answers) if not is_open(answer)]
    for one in wrong:
        print(f"{one}: this decides, and the sheet does not name it")
    return len(asked), len(wrong)


def spare(stack):
    """How far the room, as drawn, is from the nearer limit of what is wanted."""
    return min(abs(stack["room"] - limit) for limit in stack["limits"])


def check_enough(asker, stacks, sheets):
    """Where reading every width with the calliper would decide, reading the sheet as drawn does."""
    asked = []
    for stack, sheet in zip(stacks, sheets):
        given = {item["dimension"]: f"measured {stack['drawn'][item['dimension']]} mm with caliper"
                 for item in sheet["measure"]}
        if given and spare(stack) > sum(min(CALIPER, spread) for spread in stack["spreads"]) + 0.001:
            asked.append(question(stack, given))
    answers = asker.ask(asked) if asked else []
    wrong = [one for one, answer in zip(asked, answers) if is_open(answer)]
    for one in wrong:
        print(f"{one}: still not known")
    return len(asked), len(wrong)


def check_file(program, root, folder, stacks, sheets):
    """--read keeps what the question took, and leaves the file as it was when it did not."""
    stack, sheet = next((s, m) for s, m in zip(stacks, sheets) if m["measure"])
    path = os.path.join(folder, "readings.txt")
    call = [program, "measure", stack["unit"], "b0=another", "--with", folder, "--readings", path]
    environment = {**os.environ, "WHYFIT_KNOWLEDGE": root}
    name = sheet["measure"][0]["dimension"]

    def read(word):
        done = subprocess.run([*call, "--read", word], env=environment, capture_output=True, check=False)
        with open(path, encoding="utf-8") as file:
            return done.returncode, file.read()

    kept = read(f"{name}=measured 9.0 mm with caliper")
    again = read(f"{name}=measured 9.1 mm with caliper")
    refused = read("b0.nothing.at=3 mm")
    wanted = f'readings:\n  "{name}": "measured 9.1 mm with caliper"\n'
    good = (kept[0] == 0 and again == (0, wanted) and refused == (2, wanted)
            and not os.path.exists(path + ".part"))
    if not good:
        print(f"readings were kept otherwise: {kept}, {again}, {refused}")
    return 1, 0 if good else 1


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    dice = random.Random(int(sys.argv[3]))
    written, stacks = draw(dice, int(sys.argv[4]))
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "stacks.yaml"), "w", encoding="utf-8") as file:
            file.write(written)
        asker = Asker(program, root, folder)
        sheets = asker.ask([question(stack, {}, "measure") for stack in stacks])
        plain = asker.ask([question(stack, {}) for stack in stacks])
        counts = [check_stretches(asker, dice, stacks, sheets, plain),
                  check_left_out(asker, dice, stacks, sheets, plain), check_enough(asker, stacks, sheets),
                  check_file(program, root, folder, stacks, sheets)]
    tried, failed = sum(c[0] for c in counts), sum(c[1] for c in counts)
    if min(c[0] for c in (counts[0], counts[2], counts[3])) == 0:
        print(f"too little was drawn: {counts}")
        failed += 1
    print(f"{tried - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
