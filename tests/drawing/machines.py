# SPDX-License-Identifier: MIT
"""Machines drawn by lot, invented: a shaft with runs, parts threaded on it, a case around some of them."""


def maybe(dice, words, chance=0.85):
    return words if dice.random() < chance else ""


def shaft(dice, n, lengths):
    at, runs, faces = 0, [], ["start: {at: 0 mm, looks: in}"]
    diameter = dice.choice([20, 25, 30, 40])
    for k, length in enumerate(lengths):
        kind = dice.choice(["seat", "plain", "plain", "spline", "thread"])
        size = {"spline": f"teeth: 24, module: 1 mm, major: {diameter} h11",
                "thread": f"major: {diameter} mm, pitch: 1.5 mm"}.get(kind, f"diameter: {diameter} h6")
        start = f"{at + maybe_gap(dice)} mm"
        end = maybe(dice, f", to: {at + length} ±0.1 mm", 0.8)
        runs.append(f"run-{k}: {{kind: {kind}, from: {start}{end}{maybe(dice, ', ' + size)}}}")
        at += length
        if dice.random() < 0.5:
            faces.append(f"step-{k}: {{at: {at} ±0.05 mm, looks: {dice.choice(['in', 'out'])}}}")
        diameter = max(8, diameter + dice.choice([-5, -2, 0, 4]))
    listed = "\n      ".join(runs)
    return f"""
  - part: shaft-{n}
    kind: shaft
    source: invented
    general-tolerance: ISO 2768-m
    datum: start
    faces: {{{', '.join(faces)}}}
    runs:
      {listed}
"""


def maybe_gap(dice):
    return dice.choice([0, 0, 0, 1.5])


def ring(dice, n, k):
    kind = dice.choice(["spacer", "spacer", "gear", "hub", "nut", "crush-sleeve", "dust-cap"])
    width = dice.choice([3, 8, 12, 20])
    fields = ["    faces: {in: {at: 0 mm, looks: in" + maybe(dice, f", outside: {dice.choice([44, 60])} mm", 0.4) +
              "}, out: {at: " + f"{width}" + " ±0.05 mm, looks: out}}"]
    runs = []
    if dice.random() < 0.7:
        runs.append(f"bore: {{kind: plain, in: bore, from: in, to: out{maybe(dice, ', diameter: 30 H7')}}}")
        if dice.random() < 0.4 and width > 5:
            runs.append("dent: {kind: groove, in: bore, on: bore, from: 1 mm, width: 2 mm" +
                        maybe(dice, ", diameter: 34 mm") + "}")
    if dice.random() < 0.5:
        runs.append(f"rim: {{kind: plain, from: in, to: out{maybe(dice, ', diameter: 70 h9')}}}")
    if runs:
        fields.append("    runs: {" + ", ".join(runs) + "}")
    return f"""
  - part: ring-{n}-{k}
    kind: {kind}
    source: invented
    general-tolerance: ISO 2768-m
    datum: in
""" + "\n".join(fields) + "\n"


def machine(dice, n):
    count = dice.randint(0, 9)
    parts = shaft(dice, n, [dice.choice([6, 12, 25, 40]) for _ in range(dice.randint(1, 6))])
    places, contacts, gaps = {"shaft": f"shaft-{n}"}, [], []
    before = "shaft.start"
    for k in range(count):
        parts += ring(dice, n, k)
        place = dice.choice(["part", "a-part-with-a-rather-long-name", "p"]) + f"-{k}"
        places[place] = f"{{part: ring-{n}-{k}, turned: true}}" if dice.random() < 0.2 else f"ring-{n}-{k}"
        turned = "turned" in places[place]
        first, last = ("out", "in") if turned else ("in", "out")
        if before == "shaft.start":
            contacts.append(f"{place}.{first} = shaft.start {dice.choice([2, 5])} ±0.2 mm")
        elif dice.random() < 0.9:
            contacts.append(f"{place}.{first} = {before}")
        before = f"{place}.{last}"
    if count > 1:
        gaps.append(f"room: {{between: [shaft.start, {before}], want: {dice.choice(['0..0.5 mm', 'at least 3 mm'])}}}")
    listed = "\n".join(f"      {k}: {v}" for k, v in places.items())
    return f"""parts:{parts}
units:
  - unit: machine-{n}
    title: Drawn by lot & "invented" <{n}>
    source: invented
    places:
{listed}
""" + ("    contacts:\n" + "\n".join(f"      - {c}" for c in contacts) + "\n" if contacts else "") + \
        ("    gaps: {" + ", ".join(gaps) + "}\n" if gaps else "")
