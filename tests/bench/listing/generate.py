#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Listings of invented sellers, the same for the same seed: generate.py ROWS [SEED] > listings.txt, one a line.

Four in ten claim nothing; the others claim what sellers do of the demo's machines, right, wrong and unknown."""
import random
import sys

SILENT = ["lovely clean item, see pictures", "collection only from the yard, cash on pick up", "please look at my other items",
          "clearing out the old workshop, job lot", "sold as seen, no returns", "great bit of kit, hate to see it go",
          "any questions just ask, fast dispatch", "from a smoke free home", "moving house so everything must go",
          "payment by transfer, buyer collects", "garden bench with cushions", "vintage tin sign", "box of sundries"]
PARTS = [("HK-2110", "output cover"), ("HK-2120", "output cover"), ("HK-2125", "cover"), ("HK-3110", "output shaft"),
         ("HK-3120", "shaft"), ("HK-3410", "shield"), ("HK-3420", "seal ring"), ("HK-3500", "hub"), ("HK-5016", "speed sensor"),
         ("BO-410-01", "back plate"), ("BO-410-07", "back plate"), ("BO-210-11", "pump shaft"), ("LP7711", "wheel spindle"),
         ("LP5072", "grease seal"), ("LP6401", "dust cap")]
MODELS = ["Kestrel 120", "Kestrel 150", "Kestrel 180", "Otter 40", "Otter 60", "Packhorse 8", "Packhorse 12"]
FEATURES = ["late pattern", "early type", "vented", "no vent", "oil bath type", "with o-ring", "keyed"]
SIZES = ["spline {} mm", "bore {} mm", "{} mm wide", "{} mm long", "OD {} mm", "{} mm PCD"]


def claim(pick):
    number, kind = pick.choice(PARTS)
    out = []
    if pick.random() < 0.6:
        out.append(number if pick.random() < 0.8 else number.lower().replace("-", " "))
    out.append(kind)
    if pick.random() < 0.5:
        out.append(pick.choice(FEATURES))
    if pick.random() < 0.6:
        out.append(f"fits {pick.choice(MODELS)}")
    if pick.random() < 0.5:
        first = pick.randrange(1996, 2019)
        out.append(f"{first}-{first + pick.randrange(0, 9)}" if pick.random() < 0.7 else f"from {first}")
    if pick.random() < 0.4:
        out.append(pick.choice(SIZES).format(pick.choice(["35", "39.5", "8", "11", "28", "72", "128", "210", "16"])))
    if pick.random() < 0.3:
        out.append(f"{pick.choice([4, 6, 8, 24, 31])} {pick.choice(['bolts', 'teeth', 'splines'])}")
    if pick.random() < 0.4:
        out.append(pick.choice(["used", "new", "NOS", "good condition"]))
    return ", ".join(out)


def main():
    pick = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 8)
    for _ in range(int(sys.argv[1])):
        words = [pick.choice(SILENT) for _ in range(pick.randrange(1, 4))]
        if pick.random() >= 0.4:
            words.insert(pick.randrange(len(words) + 1), claim(pick))
        print(". ".join(words))


if __name__ == "__main__":
    main()
