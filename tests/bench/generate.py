# SPDX-License-Identifier: MIT
"""Inputs of the workloads: fixed seeds, so the same facts on every machine and for every engine."""


class Dice:
    """splitmix64."""

    MASK = (1 << 64) - 1

    def __init__(self, seed):
        self.state = seed

    def draw(self):
        self.state = (self.state + 0x9E3779B97F4A7C15) & self.MASK
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & self.MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & self.MASK
        return z ^ (z >> 31)

    def below(self, n):
        return (self.draw() >> 11) % n

    def between(self, low, high):
        return low + self.below(high - low + 1)


class Relation:
    """Columns are (name, sort): key columns first. Sorts: `id` a whole number that names something,
    `word`, and for values `um` (a length in whole micrometres) and `count`."""

    def __init__(self, name, keys, values=()):
        self.name, self.keys, self.values = name, list(keys), list(values)
        self.rows = []

    @property
    def columns(self):
        return self.keys + self.values


def distinct_pairs(dice, relation, n, count):
    seen = set()
    while len(seen) < count:
        pair = dice.below(n), dice.below(n)
        if pair not in seen:
            seen.add(pair)
            relation.rows.append(pair)


# ---- graphs

def closure(size):
    edge = Relation("edge", [("from", "id"), ("to", "id")])
    kind, *numbers = size.replace("x", "-").split("-")
    numbers = [int(n) for n in numbers]
    if kind == "random":
        distinct_pairs(Dice(1001), edge, numbers[0], numbers[1])
    elif kind == "chain":
        edge.rows = [(i, i + 1) for i in range(numbers[0] - 1)]
    else:
        wide, high = numbers
        for y in range(high):
            for x in range(wide):
                at = y * wide + x
                edge.rows += [(at, at + 1)] if x + 1 < wide else []
                edge.rows += [(at, at + wide)] if y + 1 < high else []
    return [edge]


def generation(size):
    parent = Relation("parent", [("of", "id"), ("child", "id")])
    dice = Dice(2002)
    kind, *numbers = size.replace("x", "-").split("-")
    numbers = [int(n) for n in numbers]
    if kind == "tree":
        parent.rows = [(dice.between((i - 1) // 5, (i - 1) // 3), i) for i in range(1, numbers[0])]
    else:
        distinct_pairs(dice, parent, numbers[0], numbers[1])
    return [parent]


def joins(size):
    """Five relations over a thousand names."""
    made = []
    for i, name in enumerate(["p", "q", "r", "s", "t"]):
        relation = Relation(name, [("from", "id"), ("to", "id")])
        distinct_pairs(Dice(3003 + i), relation, 1000, int(size))
        made.append(relation)
    return made


# ---- nested lists of parts

def parts_list(size):
    """A tree of parts; those that have no parts of their own are of a kind and have a weight."""
    dice = Dice(4004)
    n = int(size)
    holds = Relation("holds", [("in", "id"), ("part", "id")])
    single = Relation("single", [("part", "id"), ("kind", "word")], [("weight", "count")])
    holds.rows = [(dice.between((i - 1) // 5, (i - 1) // 3), i) for i in range(1, n)]
    inner = {row[0] for row in holds.rows}
    for i in range(n):
        if i not in inner:
            kind = "seal" if dice.below(100) < 20 else ["ring", "spacer", "bearing"][dice.below(3)]
            single.rows.append((i, kind, dice.between(1, 1000)))
    return [holds, single]


# ---- a catalogue of parts and units

KINDS = {"bearing": (0, 40), "gear": (0, 44), "pulley": (2, 46), "spacer": (0, 60), "ring": (1, 50)}
CLASSES = 10  # of shafts by diameter


class Catalogue:
    """Shafts with lands, grooves and a spline; parts with a bore and perhaps a seal; units of a shaft
    and four parts beside each other on it. A tenth of `size` are shafts, and as many units there are."""

    def __init__(self, size):
        self.dice = Dice(5005)
        key = ("part", "id")
        self.part = Relation("part", [key, ("kind", "word")], [("width", "um")])
        self.bore = Relation("bore", [key], [("diameter", "um")])
        self.feature = Relation("feature", [key, ("feature", "id"), ("kind", "word")],
                                [("start", "um"), ("end", "um"), ("diameter", "um")])
        self.unit = Relation("unit", [("unit", "id"), ("shaft", "id")], [("start", "um")])
        self.slot = Relation("slot", [("unit", "id"), ("slot", "id"), ("part", "id")])
        self.follows = Relation("follows", [("slot", "id"), ("next", "id")])
        self.limits = Relation("limits", [("kind", "word")], [("least", "um"), ("greatest", "um")])
        self.hazard = Relation("hazard", [("kind", "word")])
        self.limits.rows = [(kind, *ends) for kind, ends in KINDS.items()]
        self.hazard.rows = [("spline",), ("groove",)]
        self.follows.rows = [(1, 2), (2, 3), (3, 4)]
        self.of_class = [[] for _ in range(CLASSES)]
        self.shaft_class = [self.add_shaft(i) for i in range(size // 10)]
        for i in range(size // 10, size):
            self.add_part(i)
        for i in range(size // 10):
            self.add_unit(i)

    def relations(self):
        return [self.part, self.bore, self.feature, self.unit, self.slot, self.follows, self.limits, self.hazard]

    def add_features(self, part, features):
        self.feature.rows += [(part, i + 1, *one) for i, one in enumerate(features)]

    def add_shaft(self, number):
        dice = self.dice
        size = dice.below(CLASSES)
        nominal = 20000 + 5000 * size
        step = dice.between(20000, 50000)
        features = [("land", 0, step, nominal - dice.below(21)),
                    ("land", step, 75000, nominal - dice.below(21)),
                    ("spline", 75000, 90000, nominal - 500)]
        for _ in range(dice.between(1, 2)):
            at = dice.between(5000, 70000)
            features.append(("groove", at, at + dice.between(1200, 2500), nominal - 1500))
        self.part.rows.append((number, "shaft", 90000))
        self.add_features(number, features)
        return size

    def add_part(self, number):
        dice = self.dice
        size = dice.below(CLASSES)
        width = 8000 + 2000 * dice.below(8)
        bore = 20000 + 5000 * size + dice.below(21) + 2
        if dice.below(100) < 7:
            bore += (1 if dice.below(2) else -1) * dice.between(60, 500)
        self.part.rows.append((number, list(KINDS)[dice.below(5)], width))
        self.bore.rows.append((number, bore))
        if dice.below(5) < 3:
            wide = dice.between(2000, 5000)
            at = dice.between(0, width - wide)
            self.add_features(number, [("seal", at, at + wide, bore)])
        self.of_class[size].append(number)

    def add_unit(self, number):
        dice = self.dice
        shaft = dice.below(len(self.shaft_class))
        self.unit.rows.append((number, shaft, dice.between(0, 5000)))
        for slot in range(1, 5):
            size = dice.below(CLASSES) if dice.below(100) < 2 else self.shaft_class[shaft]
            fitting = self.of_class[size]
            self.slot.rows.append((number, slot, fitting[dice.below(len(fitting))]))


def swap(size):
    return Catalogue(int(size)).relations()


# ---- questions to the catalogue

def asked(catalogue, count, is_changed):
    """Units as they are (place 0), or with another part in one place."""
    dice = Dice(6006)
    made = Relation("asked", [("question", "id"), ("unit", "id"), ("slot", "id"), ("part", "id")])
    for i in range(1, count + 1):
        unit = dice.below(len(catalogue.unit.rows))
        part = catalogue.slot.rows[dice.below(len(catalogue.slot.rows))][2]
        made.rows.append((i, unit, dice.between(1, 4), part) if is_changed else (i, unit, 0, 0))
    return made


def questions(size):
    """`size` is parts-questions."""
    parts, count = map(int, size.split("-"))
    catalogue = Catalogue(parts)
    return catalogue.relations() + [asked(catalogue, count, False)]


def what_ifs(size):
    parts, count = map(int, size.split("-"))
    catalogue = Catalogue(parts)
    return catalogue.relations() + [asked(catalogue, count, True)]
