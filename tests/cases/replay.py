#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Computes every step of every answer again, without the engine.

replay.py ANSWERS.jsonl RULES.yaml…

Reads answers as `whyfit swap --format json` writes them and rules as people write them (with PyYAML),
and works out each step from the steps it names: positions, gaps and fits from the rows they rest on,
rules from their conditions, formulas by an affine arithmetic of its own. Prints each step that does
not come out, and `N passed, N failed`.
"""
import json
import re
import math
import sys
from itertools import product
from math import inf, isclose

import yaml

import replay_drives
from replay_laws import PLAIN_LAWS

NEAR = 4e-6  # mm and alike: a few nanometres, what rounding to the comparison grid can leave


class Form:
    """centre + sum(by * deviation) + rest, with its range; None limits are infinite."""

    def __init__(self, centre=0.0, terms=None, rest=(0.0, 0.0), known=(-inf, inf), missing=False):
        self.centre, self.rest, self.missing = centre, rest, missing
        self.terms = {name: by for name, by in (terms or {}).items() if abs(by) > 1e-12}
        low, high = self.swing()
        self.least = max(centre + low, known[0])
        self.greatest = min(centre + high, known[1])

    def swing(self):
        low, high = self.rest
        for name, by in self.terms.items():
            ends = [times(by, end) for end in DIMENSIONS[name]]
            low, high = low + min(ends), high + max(ends)
        return low, high

    def combine(self, other, by):
        terms = dict(self.terms)
        for name, value in other.terms.items():
            terms[name] = terms.get(name, 0.0) + by * value
        ends = sorted(times(by, end) for end in other.rest)
        span = sorted(times(by, end) for end in (other.least, other.greatest))
        return Form(self.centre + by * other.centre, terms,
                    (self.rest[0] + ends[0], self.rest[1] + ends[1]),
                    (self.least + span[0], self.greatest + span[1]))

    def __add__(self, other):
        return self.combine(other, 1.0)

    def __sub__(self, other):
        return self.combine(other, -1.0)

    def __neg__(self):
        return Form().combine(self, -1.0)

    def __mul__(self, other):
        low, high = self.swing()
        other_low, other_high = other.swing()
        bends = [times(a, b) for a in (low, high) for b in (other_low, other_high)]
        terms = {n: times(by, other.centre) for n, by in self.terms.items()}
        for name, by in other.terms.items():
            terms[name] = terms.get(name, 0.0) + times(by, self.centre)
        span = [times(a, b) for a in (self.least, self.greatest)
                for b in (other.least, other.greatest)]
        exact = not self.varies() or not other.varies()
        rest = (0.0, 0.0) if exact else (min(bends), max(bends))
        for one, centre in ((self.rest, other.centre), (other.rest, self.centre)):
            ends = sorted(times(end, centre) for end in one)
            rest = (rest[0] + ends[0], rest[1] + ends[1])
        return Form(self.centre * other.centre, terms, rest, (min(span), max(span)))

    def varies(self):
        return bool(self.terms) or self.rest != (0.0, 0.0)

    def over(self, number):
        return self * Form(1.0 / number.centre)

    def exact(self, value):
        return Form(value)

    def unknown(self):
        return Form(0.0, rest=(-inf, inf), missing=True)


def times(a, b):
    return 0.0 if a == 0.0 or b == 0.0 else a * b


def comes_first(a, b, sign):
    """The branch to keep: the larger nominal; of equal ones the first by its dimensions' names."""
    if abs(a.centre - b.centre) > NEAR:
        return sign * a.centre > sign * b.centre
    one, two = sorted(a.terms.items()), sorted(b.terms.items())
    for x, y in zip(one, two):
        if x != y:
            return x < y
    return len(one) >= len(two)


def choose(a, b, sign):
    """The greater (sign 1) or lesser (-1): a branch exactly, or a branch plus what the other adds."""
    for one in (a, b):
        if one.rest == (-inf, inf):
            return one  # no number at all
    keep, other = (a, b) if comes_first(a, b, sign) else (b, a)
    beyond = other - keep
    if sign < 0:
        beyond = -beyond
    if beyond.greatest <= 0:
        return keep
    if beyond.least >= 0:
        return other
    pick = max if sign > 0 else min
    rest = (keep.rest[0], keep.rest[1] + beyond.greatest) if sign > 0 else \
        (keep.rest[0] - beyond.greatest, keep.rest[1])
    return Form(keep.centre, keep.terms, rest,
                (pick(a.least, b.least), pick(a.greatest, b.greatest)))


def number(value):
    """A value that is reckoned with; one that nobody recorded may be any number."""
    return value if isinstance(value, Form) else Form(0.0, rest=(-inf, inf), missing=True)


DIMENSIONS = {}
# Of every dimension in the unit that answers are written in.
SCALES = {"mm": 1.0, "um": 1e-3, "um Ra": 1e-3, "m": 1000.0, "in": 25.4, "deg": 1.0, "HRC": 1.0,
          "%": 0.01, "": 1.0, "1": 1.0, "N": 1.0, "kN": 1000.0, "MPa": 1.0, "GPa": 1000.0, "Nm": 1.0,
          "K": 1.0, "degC": 1.0, "um/m/K": 1.0, "rpm": 1.0, "s": 1.0, "h": 3600.0, "bar": 0.1,
          "kPa": 1e-3, "m/s": 1.0, "ml": 1.0, "l": 1000.0, "ShoreA": 1.0}
OFFSETS = {"degC": 273.15}
UNITS = "|".join(re.escape(unit) for unit in sorted(SCALES, key=len, reverse=True)
                 if unit not in ("", "1"))


def read(value):
    """A value of the JSON as a Form, a word, or None where it is missing."""
    if isinstance(value, dict) and "terms" in value:
        rest = [(-inf, inf)[i] if end is None else end for i, end in enumerate(value["remainder"])]
        known = (-inf if value["least"] is None else value["least"],
                 inf if value["greatest"] is None else value["greatest"])
        return Form(value["centre"] or 0.0, {t["dimension"]: t["by"] for t in value["terms"]},
                    tuple(rest), known, value["nominal"] is None)
    if isinstance(value, dict):  # a missing count enters sums as any number; a word stays missing
        name = value["missing"]
        return Form(0.0, {name: 1.0}, missing=True) if name in DIMENSIONS else None
    return Form(float(value)) if isinstance(value, (int, float)) else value


# ---- formulas

TOKEN = re.compile(r"""\s*(?:(?P<number>\d+(?:\.\d+)?)(?:\s*±(?P<limits>\d+(?:\.\d+)?))?
  (?:\s*(?P<unit>""" + UNITS + r""")(?![\w/]))?
  |(?P<variable>\$[A-Za-z][\w]*(?:-[A-Za-z][\w]*)*)|"(?P<word>[^"]*)"
  |(?P<name>[A-Za-z_]\w*)|(?P<symbol><=|>=|!=|[-+*/^=<>(),|−]))""", re.X)


class Formula:
    def __init__(self, text, values, call):
        self.tokens, at = [], 0
        text = text.strip()
        while at < len(text):
            match = TOKEN.match(text, at)
            if not match:
                raise ValueError(f"cannot read {text[at:]!r}")
            self.tokens.append(match)
            at = match.end()
        self.at, self.values, self.call = 0, values, call
        self.result = self.either()

    def take(self, kind, *words):
        if self.at < len(self.tokens):
            token = self.tokens[self.at].group(kind)
            if token is not None and (not words or token in words):
                self.at += 1
                return token
        return None

    def either(self):
        left = self.both()
        while self.take("name", "or"):
            right = self.both()
            left = truth_or(left, right)
        return left

    def both(self):
        left = self.negated()
        while self.take("name", "and"):
            right = self.negated()
            left = truth_and(left, right)
        return left

    def negated(self):
        return truth_not(self.negated()) if self.take("name", "not") else self.compared()

    def compared(self):
        left = self.sum()
        sign = self.take("symbol", "<=", ">=", "!=", "=", "<", ">")
        if sign is None:
            return left
        right = self.sum()
        if sign in ("=", "!="):
            if isinstance(left, Form):
                gap = left - right
                same = "yes" if abs(gap.least) < NEAR and abs(gap.greatest) < NEAR else \
                    "no" if gap.least > NEAR or gap.greatest < -NEAR else "open"
            else:
                same = "open" if left is None or right is None else \
                    "yes" if left == right else "no"
            return same if sign == "=" else truth_not(same)
        left, right = number(left), number(right)
        if sign == "<=":
            return holds(right - left)
        if sign == ">=":
            return holds(left - right)
        return truth_not(holds(left - right) if sign == "<" else holds(right - left))

    def sum(self):
        left = self.product()
        while True:
            sign = self.take("symbol", "+", "-", "−")
            if sign is None:
                return left
            right = self.product()
            left, right = number(left), number(right)
            left = left + right if sign == "+" else left - right

    def product(self):
        left = self.raised()
        while True:
            sign = self.take("symbol", "*", "/")
            if sign is None:
                return left
            right = self.raised()
            left, right = number(left), number(right)
            left = left * right if sign == "*" else divided(left, right)

    def raised(self):
        base = self.signed()
        if self.take("symbol", "^") is None:
            return base
        power = self.signed().centre
        return at_ends(lambda x: x ** power, [base])  # of what is above nothing

    def signed(self):
        return -number(self.signed()) if self.take("symbol", "-", "−") else self.atom()

    def atom(self):
        token = self.tokens[self.at]
        if token.group("number") is not None:
            self.at += 1
            scale = SCALES[token.group("unit") or ""]
            limits = float(token.group("limits") or 0) * scale  # no other number shares them
            number_read = float(token.group("number")) * scale
            return Form(number_read + OFFSETS.get(token.group("unit"), 0.0),
                        rest=(-limits, limits))  # what is written as 0 degC is 273.15 K
        if token.group("word") is not None:
            self.at += 1
            return token.group("word")
        if token.group("variable") is not None:
            self.at += 1
            return self.values[token.group("variable")[1:]]
        if self.take("symbol", "("):
            inside = self.either()
            self.take("symbol", ")")
            return inside
        name = self.take("name")
        if name in ("true", "false"):
            return "yes" if name == "true" else "no"
        arguments = []
        self.take("symbol", "(")
        while not self.take("symbol", ")"):
            arguments.append(self.either())
            self.take("symbol", ",")
        return self.function(name, arguments)

    def function(self, name, arguments):
        if name in ("min", "max"):
            result = number(arguments[0])
            for other in arguments[1:]:
                result = choose(result, number(other), 1 if name == "max" else -1)
            return result
        if name == "abs":
            one = number(arguments[0])
            if one.least >= 0 or one.rest == (-inf, inf):
                return one
            if one.greatest <= 0:
                return -one
            both = choose(one, -one, 1)
            return Form(both.centre, both.terms, both.rest, (max(0.0, both.least), both.greatest))
        if name == "matches":
            whole = arguments[0] is not None and re.fullmatch(arguments[1], arguments[0])
            return "open" if arguments[0] is None else "yes" if whole else "no"
        if name in ("least", "greatest"):
            end = getattr(number(arguments[0]), name)
            nobody_knows = Form(0.0, rest=(-inf, inf), missing=True)
            return nobody_knows if abs(end) == inf else Form(end)
        if name == "nominal":
            return Form(arguments[0].centre)
        if name in ("sin", "cos", "tan"):  # of exact angles only: the rules ask for no others
            need(not arguments[0].varies(), f"{name} of an angle with a tolerance")
            return Form(getattr(math, name)(math.radians(arguments[0].centre)))
        if name in LAWS:
            return by_law(LAWS[name], [number(one) for one in arguments])
        if name == "ring_thinning":
            return ring_thinning(number(arguments[0]))
        if name == "clock_apart":
            apart = arguments[0] - arguments[1]
            near = Formula.function(self, "abs", [apart - Form(round(apart.centre / 360) * 360)])
            if near.greatest <= 180:
                return near
            other = choose(near, Form(360.0) - near, -1)
            return Form(other.centre, other.terms, other.rest,
                        (max(0.0, other.least), min(180.0, other.greatest)))
        if name in replay_drives.LINEAR:
            return replay_drives.LINEAR[name](*map(number, arguments))
        law = PLAIN_LAWS.get(name) or replay_drives.LAWS.get(name)
        if law is not None:
            return at_ends(law, arguments)
        return self.call(name, arguments)


def divided(left, right):
    return at_ends(lambda a, b: a / b, [left, right]) if right.varies() else left.over(right)


def at_ends(law, arguments):
    """A law of several numbers: what it comes to with every dimension at one end or the other. Its
    linear part is not worked out, so the answer's goes on where this one was compared."""
    forms = [number(one) for one in arguments]
    nothing = Form(0.0, rest=(-inf, inf), missing=True)
    if any(form.least == -inf or form.greatest == inf for form in forms):
        return nothing
    ends = {name: DIMENSIONS[name] for form in forms for name in form.terms}
    ends.update({i: form.rest for i, form in enumerate(forms) if form.rest[0] != form.rest[1]})
    names = sorted(ends, key=str)

    def at(values):
        numbers = []
        for i, form in enumerate(forms):
            own = form.centre + sum(by * values.get(name, 0.0) for name, by in form.terms.items())
            own += values.get(i, form.rest[0] if form.rest[0] == form.rest[1] else 0.0)
            numbers.append(min(max(own, form.least), form.greatest))
        return law(*numbers)

    try:
        centre = at({})
        if len(names) <= 10:
            corners = [dict(zip(names, corner)) for corner in product(*(ends[n] for n in names))]
        else:  # each to the end that is better for itself: the laws are nearly straight
            rises = {n: at({n: ends[n][1]}) >= at({n: ends[n][0]}) for n in names}
            corners = [{n: ends[n][rises[n] == high] for n in names} for high in (True, False)]
        found = [at(corner) for corner in corners] + [centre]
    except (ZeroDivisionError, ValueError):
        return nothing
    made = Form(centre, rest=(min(found) - centre, max(found) - centre))
    made.at_ends = True
    return made


# ---- mechanics, each law written again from its source

def corners(sides):
    for which in range(2 ** len(sides)):
        yield [side[which >> i & 1] for i, side in enumerate(sides)]


def by_law(plain_law, arguments):
    """A law of several quantities: its slopes at the nominals, and what the corners leave beside that."""
    def law(*x):
        try:
            return plain_law(*x)
        except ZeroDivisionError:
            return None

    sides = [(a.least, a.greatest) for a in arguments]
    at = [a.centre for a in arguments]
    is_open = any(abs(end) == inf for side in sides for end in side)
    far = [[max(-1e9, min(1e9, end)) for end in side] for side in sides]  # as good as without end
    values = [law(*x) for x in corners(far)]
    if any(value is None for value in values) or law(*at) is None:
        return Form(0.0, rest=(-inf, inf), missing=True)
    if is_open:
        return Form(law(*at), rest=(-inf, inf), known=(min(values), max(values)))
    centre, made = law(*at), Form(law(*at))
    slopes = []
    for i, argument in enumerate(arguments):
        step = abs(at[i]) * 1e-5 or 1e-6
        above, below = list(at), list(at)
        above[i] += step
        below[i] -= step
        varies = argument.least < argument.greatest
        slopes.append((law(*above) - law(*below)) / (2 * step) if varies else 0.0)
        made = made + (argument - Form(at[i])) * Form(slopes[i])
    beside = [law(*x) - centre - sum(s * (v - a) for s, v, a in zip(slopes, x, at)) for x in corners(sides)]
    return Form(made.centre, made.terms, (made.rest[0] + min(0.0, *beside), made.rest[1] + max(0.0, *beside)),
                (min(values), max(values)))


def thinning(stretch):
    """Parker O-Ring Handbook, section III, in per cent of stretch and of section."""
    x = 100 * stretch
    if x < 0 or x > 25:
        return None
    lost = -0.005 + 1.19 * x - 0.19 * x ** 2 - 0.001 * x ** 3 + 0.008 * x ** 4 if x <= 3 \
        else 0.56 + 0.59 * x - 0.0046 * x ** 2
    return max(0.0, lost) / 100


def ring_thinning(stretch):
    """It steps down at 3 %, so where the stretch may be either side of that both ends count."""
    if abs(stretch.least) == inf or abs(stretch.greatest) == inf:
        return Form(0.0, rest=(-inf, inf), missing=True)
    points = [thinning(stretch.least), thinning(stretch.greatest)]
    if stretch.least <= 0.03 < stretch.greatest:
        points += [thinning(0.03), (0.56 + 0.59 * 3 - 0.0046 * 9) / 100]
    if None in points:
        return Form(0.0, rest=(-inf, inf), missing=True)
    return Form(thinning(min(max(stretch.centre, 0.0), 0.25)), rest=(-inf, inf),
                known=(min(points), max(points)))


def ring_fill(inside, section, inner, outer, length):
    ring = math.pi ** 2 / 4 * (inside + section) * section ** 2
    room = math.pi / 4 * (outer ** 2 - inner ** 2) * length
    return ring / room if room > 0 else None


def closed_space_pressure(cold, hot, volume, filled, swelling, growth, outside):
    warmer = hot - cold
    left = volume * (1 + 3e-6 * growth * warmer) - filled * (1 + 1e-6 * swelling * warmer)
    return outside * (hot / cold * (volume - filled) / left - 1) if left > 0 else None


LAWS = {"ring_fill": ring_fill, "closed_space_pressure": closed_space_pressure,
        "ring_squeeze": lambda section, depth: 1 - depth / section,
        "ring_stretch": lambda over, inside: over / inside - 1,
        "surface_speed": lambda diameter, turning: math.pi * diameter / 1000 * turning / 60}


def holds(margin):
    return "yes" if margin.least >= -NEAR else "no" if margin.greatest < -NEAR else "open"


def truth_not(a):
    return {"yes": "no", "no": "yes"}.get(a, a)


def truth_and(a, b):
    return "no" if "no" in (a, b) else "open" if "open" in (a, b) else "yes"


def truth_or(a, b):
    return truth_not(truth_and(truth_not(a), truth_not(b)))


# ---- steps

class Mistake(Exception):
    pass


def need(condition, words):
    if not condition:
        raise Mistake(words)


def same(a, b, what):
    """The number that was answered (a, JSON) against the one worked out here (b, Form). Where something is
    missing, what is worked out here may be wider: here no interval is cut by another. Where a product leaves
    a remainder, what was answered may be wider, by that remainder at most. What is worked out here goes out from
    numbers written to six places, so large products differ in the tenth digit."""
    if not isinstance(b, Form):
        need(a == b, f"{what} is {a}, worked out {b}")
        return
    a = read(a)
    need(isinstance(a, Form), f"{what} is {a}, worked out a number")
    is_open = inf in (-b.least, b.greatest)
    for word in ("least", "greatest"):
        x, y = getattr(a, word), getattr(b, word)
        tighter = is_open and (x <= y if word == "greatest" else x >= y)
        beyond = y - x if word == "least" else x - y
        need(tighter or 0 <= beyond <= a.rest[1] - a.rest[0] or x == y or isclose(x, y, rel_tol=4e-9, abs_tol=NEAR),
             f"{what}: {word} is {x}, worked out {y}")


def at_of(laid, position):
    at, p = read(laid["value"]["at"]), read(position)
    return at - p if laid["value"]["turned"] == "true" else at + p


def set_at(laid, position, but=()):
    """The same with what is chosen at assembly put in."""
    at = at_of(laid, position)
    for name, chosen in SETTLED.get(laid["key"]["unit"], ()):
        by = at.terms.get(name, 0.0)
        if by and name not in but:
            own = Form(NOMINALS[name], {name: 1.0})
            at = at + (chosen - own) * Form(by)
    return at


def stretch_of(laid, run):
    ends = [set_at(laid, run["value"]["from"]), set_at(laid, run["value"]["to"])]
    return ends[::-1] if laid["value"]["turned"] == "true" else ends


def overlap(a, b):
    return choose(a[1], b[1], -1) - choose(a[0], b[0], 1)


def toothed(run):
    return run["value"].get("kind") in ("spline", "thread")


def clear(run, is_bore):
    crest = run["value"].get("minor" if is_bore else "major")
    described = isinstance(crest, dict) and crest.get("nominal") is not None
    return read(crest if toothed(run) and described else run["value"]["diameter"])


def looks(fills, face):
    way = {"in": -1, "out": 1}.get(face["value"].get("looks"), 0)
    return -way if fills["value"]["turned"] == "true" else way


def replay_laid(row, rows):
    fills = rows[0]
    if len(rows) == 1:
        at = read(row["value"]["at"])
        need(at.missing or (at.least == 0 and at.greatest == 0), "a root lies at 0 or nowhere known")
        return
    face, met, way = rows[2], None, looks(rows[0], rows[2])
    for stop in [r for r in rows if r["relation"] == "stop"]:
        place = stop["value"]["place"]
        other = [r for r in rows if r["relation"] in ("face", "station")
                 and r["key"]["piece"] == PLACES[(row["key"]["unit"], place)]
                 and r["key"].get("face", r["key"].get("station")) == stop["value"]["face"]][0]
        laid = [r for r in rows if r["relation"] == "laid"
                and r["key"]["piece"] == other["key"]["piece"]][0]
        found = at_of(laid, other["value"]["at"]) + read(stop["value"]["offset"])
        met = found if met is None else choose(met, found, -1 if way > 0 else 1)
    own = read(face["value"]["at"])
    at = met + own if fills["value"]["turned"] == "true" else met - own
    for float_row in [r for r in rows if r["relation"] == "float"]:
        at = at + read(float_row["value"]["by"])
    same(row["value"]["at"], at, "at")


def replay_gap(row, rows):
    planes = [r for r in rows if r["relation"] in ("face", "station")]
    laid = [r for r in rows if r["relation"] == "laid"]
    asked = rows[0]["value"]
    places = [PLACES[(row["key"]["unit"], r["key"]["place"])] + "." for r in rows
              if r["relation"] == "setting"]
    own = [n for n in DIMENSIONS if KINDS[n] == "set" and any(n.startswith(p) for p in places)]

    def end(place, face):
        piece = PLACES[(row["key"]["unit"], place)]
        plane = [p for p in planes if p["key"]["piece"] == piece
                 and p["key"].get("face", p["key"].get("station")) == face][0]
        return set_at([l for l in laid if l["key"]["piece"] == piece][0], plane["value"]["at"],
                      own)

    size = end(asked["to-place"], asked["to-face"]) - end(asked["from-place"], asked["from-face"])
    for name in [n for n in size.terms if f" in {row['key']['gap']}, float to " in n]:
        size = size - Form(0.0, {name: size.terms[name]})  # measured before the float
    if row["value"]["is-set"] == "true":
        chosen = {n: by for n, by in size.terms.items() if n in own}
        adds = [sorted(times(by, e) for e in DIMENSIONS[n]) for n, by in chosen.items()]
        same(row["value"]["set-least"], Form(sum(a[0] for a in adds)), "set-least")
        same(row["value"]["set-greatest"], Form(sum(a[1] for a in adds)), "set-greatest")
        size = Form(size.centre, {n: by for n, by in size.terms.items() if n not in chosen},
                    size.rest)
    same(row["value"]["size"], size, "size")
    settled = [read(s["as"]) - Form(NOMINALS[s["dimension"]]) for s in SETTINGS
               if (s["unit"], s["gap"]) == (row["key"]["unit"], row["key"]["gap"])]
    if settled:
        (name, by), = chosen.items()
        same(row["value"]["comes-to"], size + settled[0].over(Form(1 / by)), "comes-to")
    elif row["value"]["is-set"] == "false":
        same(row["value"]["comes-to"], size, "comes-to")


def without_settings(rows):
    return [r for r in rows if r["relation"] != "gap"]


def replay_float(row, rows):
    by = read(row["value"]["by"])
    (name, share), = by.terms.items() if by.terms else (("", 0.0),)
    need(not name or (abs(share) == 1 and DIMENSIONS[name][0] == 0 and KINDS[name] == "moves"),
         "a float moves from nothing to the room it has")


def replay_setting(setting, gaps):
    """What is chosen brings its gap to the middle of what is wanted, as far as the stock reaches."""
    gap = gaps.get((setting["unit"], setting["gap"]))
    if gap is None:  # it is in no chain of this answer
        return
    ends = [read(gap["value"][w]).centre for w in ("want-least", "want-greatest")]
    left = Form(0.0, {setting["left"]: 1.0})
    step = read(gap["value"]["step"]).centre
    need(KINDS[setting["dimension"]] == "set", "what is chosen can be set")
    nominal, (low, high) = NOMINALS[setting["dimension"]], DIMENSIONS[setting["dimension"]]
    thin, thick, by = nominal + low, nominal + high, setting["by"]
    size = read(gap["value"]["size"])
    for name in [n for n in size.terms if KINDS[n] == "moves"]:  # chosen for the middle of it
        middle = sum(DIMENSIONS[name]) / 2
        size = size + (Form(middle if abs(middle) < inf else 0.0) - Form(0.0, {name: 1.0})
                       ).over(Form(1 / size.terms[name]))
    same(setting["size"], size, "what is set")
    wanted = Form(nominal) + (Form(sum(ends) / 2) - size).over(Form(by))
    window = (ends[1] - ends[0]) / 2
    short = sorted(times(by, max(0.0, one)) * sign
                   for one, sign in ((thin - wanted.least, 1), (wanted.greatest - thick, -1)))
    half = min(window, step * abs(by) / 2)
    off = (-min(window, max(half, -short[0])), min(window, max(half, short[1])))
    need(all(isclose(a, b, abs_tol=NEAR) for a, b in zip(DIMENSIONS[setting["left"]], off)),
         "what is left over is half a step, or what the stock lacks")
    as_worked = wanted + left.over(Form(by))
    within = Form(as_worked.centre, as_worked.terms, as_worked.rest, (thin, thick))
    if wanted.greatest <= thin or wanted.least >= thick:
        within = Form(thin if wanted.greatest <= thin else thick)
    same(setting["as"], within, "what is chosen")


def replay_fit(row, rows):
    asked, left_laid, left, right_laid, right = without_settings(rows)
    bore, outside = (left, right) if asked["value"]["way"] == "on" else (right, left)
    if "clearance" in row["value"]:
        same(row["value"]["clearance"], clear(bore, True) - clear(outside, False), "clearance")
    if "common" in row["value"]:
        same(row["value"]["common"],
             overlap(stretch_of(left_laid, left), stretch_of(right_laid, right)), "common")


def replay_pass(row, rows):
    left, over = without_settings(rows)[2], without_settings(rows)[-1]
    is_on = rows[0]["value"]["way"] == "on"
    room = clear(left, is_on) - clear(over, not is_on)
    same(row["value"]["room"], room if is_on else -room, "room")


def replay_sweep(row, rows):
    """The crest of the run that is swept over, or of the one that it dips into."""
    asked, left_laid, band, right_laid, over = rows[:5]
    surface = rows[-1]
    need(row["key"]["over"] == over["key"]["run"] and (surface is over or surface["key"]["run"] == over["value"]["on"]),
         "the surface is the run's own, or the one it is on")
    is_on = asked["value"]["way"] == "on"
    same(row["value"]["crest"], clear(surface, not is_on), "crest")
    own, other = stretch_of(left_laid, band), stretch_of(right_laid, over)
    need(other[1].centre > own[1].centre or other[0].centre < own[0].centre, "it lies beyond the band")
    need((over["value"].get("in", "outside") == "bore") == (row["value"]["side"] == "bore") != is_on,
         "it lies on the side that the band touches")


def replay_stretch(row, rows):
    laid = [r for r in rows if r["relation"] == "laid"][0]
    run = [r for r in rows if r["relation"] in ("run", "seal-band")][0]
    laid = [r for r in rows if r["relation"] == "laid" and r["key"]["piece"] == run["key"]["piece"]][0]
    ends = stretch_of(laid, run)
    same(row["value"]["from"], ends[0], "from")
    same(row["value"]["to"], ends[1], "to")


def replay_located(row, rows):
    laid, plane = without_settings(rows)
    same(row["value"]["at"], set_at(laid, plane["value"]["at"]), "at")


def replay_offer(row, rows):
    laid, face = without_settings(rows)
    same(row["value"]["at"], set_at(laid, face["value"]["at"]), "at")


def replay_touch(row, rows):
    need(len(rows) == 1 and rows[0]["relation"] in ("stop", "fit-asked"), "touch rests on a line")


def replay_between(row, rows):
    asked, unit = rows[0]["value"], row["key"]["unit"]
    said = {row["key"]["piece"], row["key"]["other"]}
    for place in (asked["from-place"], asked["to-place"]):
        # a piece is called like its place, or like its unit and place where a chain does not say
        need(PLACES.get((unit, place), place) in said or f"{unit}.{place}" in said,
             "the pieces are those of the gap")


def replay_lacking(row, rows):
    """What may be missing; whoever denies or counts such rows is checked against it."""
    need(row["standing"] == "open" and not rows, "it may be missing, and rests on no row")


COMPUTED = {"what partial lists leave open": replay_lacking,
            "laid on": replay_laid, "gap": replay_gap, "gap between": replay_between, "fit": replay_fit, "pass": replay_pass, "sweep": replay_sweep,
            "float": replay_float, "lies": replay_stretch, "band": replay_stretch, "offered face": replay_offer, "located": replay_located,
            "touch": replay_touch, "laid on piece": replay_touch}


def covered(arguments, extra):
    """spare and run under a band, from the rows the engine says it looked at."""
    a, b = arguments[3], arguments[4]
    laid = [r for r in extra if r["relation"] == "laid"][0]
    spare, bare, under = None, None, None
    for run in [r for r in extra if r["relation"] == "run"]:
        start, end = stretch_of(laid, run)
        if run["value"]["kind"] in ("plain", "seat") and "on" not in run["value"]:
            spare, land = choose(a - start, end - b, -1), run
            under = under or land["key"]["run"]
        else:
            bare = -overlap((a, b), (start, end))
            under = run["key"]["run"] if bare.centre < 0 or under is None else under
    if bare is not None and (spare is None or bare.greatest < 0):
        return bare, under
    if bare is not None:
        return choose(bare, spare, -1), under
    return spare, under


def word_of(term):
    """A constant of a rule as an answer writes it."""
    return {True: "true", False: "false"}[term] if isinstance(term, bool) else str(term)


def asks_what_is_open(column, cell, term):
    """Whether a finding is asked to hold or to fail of which that is not known."""
    return column == "outcome" and cell in ("unsure", "unknown") and term in ("holds", "fails")


def match(condition, row, values):
    """One condition of a rule against one row; binds what is new."""
    (relation, columns), = condition.items()
    need(row["relation"] == relation, f"{relation} was expected, not {row['relation']}")
    for column, term in (columns or {}).items():
        column = {True: "on"}.get(column, column)
        is_key = column in row["key"]
        cell = row["key"][column] if is_key else row["value"].get(column)
        need(is_key or cell is not None or row["standing"] == "open",
             f"{relation} has no {column}")
        if isinstance(term, str) and term.startswith("$"):
            if is_key and term[1:] in values:
                known = values[term[1:]]
                need(known == cell or (isinstance(known, Form) and known.centre == cell),
                     f"{term} is {known} and {cell}")
            values[term[1:]] = read(cell)
        elif not isinstance(cell, dict) and not asks_what_is_open(column, cell, term):
            need(str(cell) == word_of(term), f"{relation}.{column} is {cell}, not {word_of(term)}")


def concluded(rule, row, column, values):
    """What the rule's conclusion puts into a key column, where one variable or word stands there."""
    terms = {str((c.get(row["relation"]) or {}).get(column)) for c in rule.get("conclude") or []
             if row["relation"] in c}
    if row["relation"] == rule["rule"]:
        return values.get(column, row["key"][column])
    known = [values.get(t[1:]) if t.startswith("$") else t for t in terms]
    words = {word.centre if isinstance(word, Form) else word for word in known}
    cell = row["key"][column]
    return cell if cell in words or str(cell) in words else sorted(map(str, words))


def tallied(condition, rows, values, value):
    """(value, whether the row is surely there) of each row that an aggregate is taken over."""
    (relation, columns), = condition.items()
    for row in rows:
        bound = dict(values)
        try:
            match(condition, row, bound)
        except Mistake:
            continue
        constants = [c for c, term in columns.items() if not str(term).startswith("$")]
        is_open = any(isinstance(row["value"].get({True: "on"}.get(c, c)), dict) or
                      asks_what_is_open(c, row["value"].get(c), columns[c]) for c in constants)
        yield number(bound[value[1:]]), not is_open and row["standing"] == "sure"


def replay_tally(kind, item, answered, rows, values):
    """A sum, or the least or greatest, worked out from the rows that it rests on."""
    taken = list(tallied(item["of"], rows, values, item["value"]))
    sure = [form for form, is_sure in taken if is_sure]
    maybe = [form for form, is_sure in taken if not is_sure]
    if kind == "sum":
        total = sum(sure, Form())
        low = total.least + sum(min(0.0, form.least) for form in maybe)
        high = total.greatest + sum(max(0.0, form.greatest) for form in maybe)
    elif not sure:
        low, high = -inf, inf
    else:
        pick = min if kind == "least" else max
        low, high = (pick(getattr(form, end) for form in sure) for end in ("least", "greatest"))
        low = min([low] + [form.least for form in maybe]) if kind == "least" else low
        high = max([high] + [form.greatest for form in maybe]) if kind == "greatest" else high
    for name in read(answered).terms:  # a list that is not complete may hold anything more
        if KINDS[name] == "counted" and name.startswith(kind):
            low = -inf if DIMENSIONS[name][0] == -inf else low
            high = inf if DIMENSIONS[name][1] == inf else high
    same(answered, Form(rest=(low, high)), kind)


# ---- what is not there: where an answer holds all rows

def fits(condition, row, values):
    """yes, no or open, whether the row is there and matches; and the values with what it binds."""
    (relation, columns), = condition.items()
    truth, bound = "yes" if row["standing"] == "sure" else "open", dict(values)
    if row["relation"] != relation:
        return "no", bound
    for column, term in (columns or {}).items():
        column = {True: "on"}.get(column, column)
        is_key = column in row["key"]
        cell = row["key"][column] if is_key else row["value"].get(column)
        if isinstance(term, str) and term.startswith("$"):
            known = bound.get(term[1:])
            if is_key and known is not None and known != read(cell) and \
                    not (isinstance(known, Form) and known.centre == cell):
                return "no", bound
            if cell is None:
                return "no", bound
            bound[term[1:]] = read(cell)
        elif isinstance(cell, dict) and "terms" in cell:  # a count that is a range
            apart = read(cell) - Form(float(term))
            same_count = "yes" if abs(apart.least) < NEAR and abs(apart.greatest) < NEAR else \
                "no" if apart.least > NEAR or apart.greatest < -NEAR else "open"
            truth = truth_and(truth, same_count)
        elif isinstance(cell, dict) or asks_what_is_open(column, cell, term):
            truth = truth_and(truth, "open")
        elif str(cell) != word_of(term):
            return "no", bound
    return truth, bound


def has_holes(condition, values, everything, if_unknown):
    """Whether what the condition looks into may lack rows: its owner calls the list incomplete, or they would
    follow from rows of such a list. Of a relation without a single row its owner's column is not known here:
    where gaps of some but not of all of the names could be meant, if_unknown is answered."""
    (relation, columns), = condition.items()
    first = next((next(iter(r["key"])) for r in everything if r["relation"] == relation), None)
    known = {name: values.get(word[1:]) if isinstance(word, str) and word.startswith("$") else word
             for name, word in (columns or {}).items()}
    column = OWNERS.get(relation, first)
    owners = set(known.values()) - {None} if column is None else {known.get(column)} - {None}
    gaps = [next(iter(r["key"].values())) for r in everything
            if r["relation"] in ("partial", "may lack rows") and r["key"]["list"] == relation]
    if column is None and owners - set(gaps) and owners & set(gaps) and "" not in gaps:
        return if_unknown
    return any(not owners or gap == "" or gap in owners for gap in gaps)


def replay_absent(rule, step, values, everything):
    """Denials, counts and `every`, over all rows that there are. Gives whether any is open."""
    is_sure, is_open = step["row"]["standing"] == "sure", False
    for condition in rule.get("unless") or []:
        truths = [fits(condition, row, values)[0] for row in everything]
        need("yes" not in truths, f"denied: {condition} is there")
        opens = "open" in truths or has_holes(condition, values, everything, not is_sure)
        need(not (opens and is_sure and "margin" not in step), f"{condition} may be there")
        is_open = is_open or opens
    for name, condition in (rule.get("count") or {}).items():
        truths = [fits(condition, row, values)[0] for row in everything]
        sure, maybe = truths.count("yes"), truths.count("open")
        answered = read(step["bind"][name])
        holes = has_holes(condition, values, everything, answered.greatest == inf)
        need(answered.least == sure, f"{name} is at least {answered.least}, counted {sure}")
        need(answered.greatest == (inf if holes else sure + maybe),
             f"{name} is at most {answered.greatest}, counted {sure} and {maybe}")
        is_open = is_open or holes or maybe > 0
    for item in rule.get("every") or []:
        opens = has_holes(item["of"], values, everything, not is_sure)
        for row in everything:
            there, bound = fits(item["of"], row, values)
            if there != "no":
                is_so = Formula(str(item["is"]), bound, None).result
                need(there != "yes" or is_so != "no", f"{item['is']} is not so of {row['key']}")
                opens = opens or is_so != "yes"
        is_open = is_open or opens
    return is_open


def replay_values(rule, row, values):
    """The value columns of what a rule concludes."""
    ways = [c[row["relation"]] for c in rule.get("conclude") or [] if row["relation"] in c]
    if len(ways) != 1:
        return
    for column, term in ways[0].items():
        answered = row["value"].get(column)
        known = values.get(term[1:]) if str(term).startswith("$") else term
        missing = isinstance(answered, dict) and answered.get("nominal") is None
        if column in row["key"] or missing or known is None:  # contested or missing: no number
            continue
        same(answered, Form(float(known)) if isinstance(known, int) else known, column)


def margin_of(rule):
    """What a check measures; a line of the set-up sheet has its order in its place."""
    return rule["check"]["margin"] if "check" in rule else rule["line"]["order"]


def replay_rule(step, rows, rules, everything=None):
    rule = rules[step["rule"]]
    values, given = {}, rule["given"]
    need(step["given"] == len(given), "one row for each condition")
    for condition, row in zip(given, rows):
        match(condition, row, values)
    for name in rule.get("count") or {}:
        values[name] = read(step["bind"][name])
    extra = list({id(row): row for row in rows[len(given):]}.values())  # looked at twice or more
    for kind in ("sum", "least", "greatest"):
        for name, item in (rule.get(kind) or {}).items():
            replay_tally(kind, item, step["bind"][name], extra, values)
            values[name] = read(step["bind"][name])
    is_open = any(r["standing"] == "open" or
                  any(asks_what_is_open(c, r["value"].get(c), term)
                      for c, term in (list(condition.values())[0] or {}).items())
                  for condition, r in zip(given, rows))
    if everything is not None:
        is_open = replay_absent(rule, step, values, everything) or is_open

    def call(name, arguments):
        mine = [r for r in extra if r["key"].get("piece") == arguments[1]]
        spare, under = covered(arguments, mine)
        return under if name == "run_under" else spare

    lets = {l["name"]: l for l in step["let"]}
    for name, formula in (rule.get("let") or {}).items():
        worked = Formula(str(formula), values, call).result
        answered = lets[name]["value"]
        answered = "open" if answered in ("unsure", "unknown") else answered
        unknown = isinstance(answered, dict) and answered.get("nominal") is None
        if unknown and isinstance(worked, str):  # what lies under a band that lies nobody knows where
            worked = None
        elif worked is None or unknown:  # an undescribed surface: nothing to work out
            worked = read(answered)
        else:
            same(answered, worked, name)
            # what is read from a literal with limits is one dimension, wherever the let is used
            # and a law's linear part is not worked out here
            as_answered = "±" in str(formula) or getattr(worked, "at_ends", False)
            worked = read(answered) if as_answered else worked
        values[name] = worked
    where = rule.get("where") or []
    for formula in [where] if isinstance(where, str) else where:
        truth = Formula(formula, values, call).result
        need(truth != "no", f"{formula} is not so")
        is_open = is_open or truth == "open"
    if "margin" in step:
        margin = number(Formula(str(margin_of(rule)), values, call).result)
        answered = step["row"]["value"]
        if "different values" in answered["margin"].get("undefined", ""):  # other reasons disagree
            need(step["row"]["standing"] == "open", "of sure reasons none disagree")
            return
        same(answered["margin"], margin, "margin")
        outcome = "holds" if margin.least >= -NEAR else "fails" if margin.greatest < -NEAR else None
        if outcome == "holds" or (outcome == "fails" and not is_open
                                  and step["row"]["standing"] == "sure"):
            need(answered["outcome"] == outcome, f"outcome is {answered['outcome']}, not {outcome}")
        else:
            need(answered["outcome"] in ("unsure", "unknown"), "outcome should be open")
    for name, cell in step["row"]["key"].items():
        known = concluded(rule, step["row"], name, values)
        need(known == cell or isinstance(known, Form), f"key {name} is {cell}, bound {known}")
    replay_values(rule, step["row"], values)


def replay(answer, rules, is_complete=False):
    """Each step again; with all rows there are (is_complete) also what must not be there."""
    everything = [step["row"] for step in answer["steps"]] if is_complete else None
    steps = {step["id"]: step for step in answer["steps"]}
    DIMENSIONS.clear()
    KINDS.clear()
    NOMINALS.clear()
    PLACES.clear()
    for name, d in answer["dimensions"].items():
        DIMENSIONS[name] = (-inf if d["low"] is None else d["low"],
                            inf if d["high"] is None else d["high"])
        KINDS[name] = d["kind"]
        NOMINALS[name] = d["nominal"] or 0.0
    SETTLED.clear()
    SETTINGS[:] = answer["settings"]
    for setting in answer["settings"]:
        SETTLED.setdefault(setting["unit"], []).append((setting["dimension"], read(setting["as"])))
    for step in answer["steps"]:
        if step["row"]["relation"] == "fills":
            key = step["row"]["key"]
            PLACES[(key["unit"], key["place"])] = key["piece"]
    good, bad = 0, []
    gaps = {(s["row"]["key"]["unit"], s["row"]["key"]["gap"]): s["row"] for s in answer["steps"]
            if s["row"]["relation"] == "gap"}
    for setting in answer["settings"]:
        try:
            replay_setting(setting, gaps)
            good += 1
        except (Mistake, KeyError, ValueError, AttributeError, TypeError) as error:
            bad.append(f"setting {setting['dimension']}: {type(error).__name__}: {error}")
    for step in answer["steps"]:
        rows = [steps[i]["row"] for i in step["from"]]
        try:
            below = [steps[i]["height"] for i in step["from"][:step["given"]]]
            need(not below or step["height"] == 1 + max(below), "one higher than its premises")
            if "rule" in step:
                replay_rule(step, rows, rules, everything)
            elif "computed" in step:
                COMPUTED[step["computed"]](step["row"], rows)
            else:
                need(not rows and step["height"] == 0, "a fact rests on nothing")
            good += 1
        except (Mistake, KeyError, IndexError, ValueError, AttributeError, TypeError) as error:
            name = step.get("rule") or step.get("computed") or "fact"
            bad.append(f"step {step['id']} ({name}): {type(error).__name__}: {error}")
    return good, bad


KINDS = {}
NOMINALS = {}
PLACES = {}
SETTLED = {}
SETTINGS = []
OWNERS = {}  # relation: its owner's column, for lists that may be called incomplete


def main():
    rules = {}
    for path in sys.argv[2:]:
        with open(path, encoding="utf-8") as file:
            document = yaml.safe_load(file)
        for rule in document.get("rules", []):
            rules[rule["rule"]] = rule
    passed = failed = 0
    with open(sys.argv[1], encoding="utf-8") as file:
        for line in file:
            answer = json.loads(line)
            good, bad = replay(answer, rules)
            passed += good
            failed += len(bad)
            for words in bad[:5]:
                print(f"{answer['question']['unit']} {answer['question']['changes']}: {words}")
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 0 else 1


if __name__ == "__main__":
    sys.exit(main())
