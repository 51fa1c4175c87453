#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Reports in HTML of every question: report.py WHYFIT ROOT SCRATCH [few].

With `few` every third is asked, for builds that are slow.

Each is well formed and of one piece, and says what the JSON of the same question says; text that looks
like markup comes out as text."""
import json
import os
import re
import subprocess
import sys

from html_check import contrast, whole_page_faults

WHYFIT, ROOT, SCRATCH = sys.argv[1:4]
MOWER = ["--with", os.path.join(ROOT, "demo/mower")]
LATE = ["kestrel-head-early", "cover=kestrel-cover-late"]
BOTH = LATE + ["shaft=kestrel-shaft-late"]
REPLICA = ["kestrel-head-late", "shaft=kestrel-shaft-replica"]
ROW = ["--of", "o-ring-needs-a-land: outcome=fails"]
PUMP = ["otter-frame-early", "seal=none", "--with", os.path.join(ROOT, "demo/pump")]

# The question, and which texts of its JSON a reader must find in the report.
QUESTIONS = [
    (["swap", *LATE, *MOWER], ["because", "not_looked_at"]),
    (["swap", *BOTH, *MOWER], ["because", "assumed"]),
    (["swap", *REPLICA, *MOWER], ["because"]),
    (["swap", "kestrel-head-early", "bearing=kestrel-hub", *MOWER], []),
    (["swap", *LATE, "--sweep", "shaft.hub-spline.from=18..30 mm/3", *MOWER], []),
    (["leaks", *PUMP], ["because"]),
    (["measure", *REPLICA, *MOWER], ["because"]),
    (["identify", "shaft", "--seen", "hub-spline.teeth=31", "--hint", "year=1998", *MOWER], []),
    (["identify", "shaft", "--seen", "hub-spline.teeth=3", *MOWER], []),
    (["identify", "units", *MOWER], []),
    (["compare", "kestrel-cover-early", "kestrel-cover-late", *MOWER], []),
    (["compare", "kestrel-head-early", "kestrel-head-late", *MOWER], []),
    (["compare", "kestrel-cover-early", "kestrel-cover-early", *MOWER], []),
    (["sheet", *BOTH, *MOWER], ["because"]),
    (["sheet", *LATE, *MOWER], ["because"]),
    (["upgrade", "kestrel-head-early", "--want", "cover=kestrel-cover-late", *MOWER], []),
    (["upgrade", "kestrel-head-early", "--toward", "kestrel-head-late", *MOWER], []),
    (["why", *LATE, *ROW, *MOWER], []),
    (["why", "kestrel-head-late", *ROW, *MOWER], []),
    (["why-not", *REPLICA, *ROW, "--depth", "3", *MOWER], []),
    (["why-not", *LATE, *ROW, *MOWER], []),
]

failed = passed = 0


def check(good, words):
    global failed, passed
    passed += bool(good)
    failed += not good
    if not good:
        print("FAILED", words)


def run(arguments):
    return subprocess.run([WHYFIT, *arguments], capture_output=True, text=True, timeout=120, check=False)


def ask(arguments):
    """The page, and the answer as data; both with the same exit status."""
    page = run([*arguments, "--format", "html"])
    data = run([*arguments, "--format", "json"])
    check(page.returncode == data.returncode, f"{arguments}: exit {page.returncode}, {data.returncode}")
    return page.stdout, json.loads(data.stdout)


def check_numbers(page, data, title):
    """Every check that counts is in the table, with its outcome and margin's unit."""
    text = page.text()
    for finding in data.get("findings", []):
        if finding["counts"] and finding["rule"] and finding["outcome"] == "fails":
            check(finding["rule"] in text, f"{title}: {finding['rule']}")
            check(" ".join(finding["sentence"].split()) in text, f"{title}: {finding['sentence']}")
    for step in data.get("steps", []) if data["question"]["command"] in ("swap", "why") else []:
        check(f"step-{step['id']}" in page.ids or "sweep" in data, f"{title}: step {step['id']}")


def check_comparison(page, data, title):
    """Every difference with its numbers, every seat with its verdict."""
    text = page.text()
    told = 0
    for place in data["places"]:
        for feature in place["features"]:
            for value in feature["values"]:
                if value["difference"] in ("moved", "resized"):
                    by = value["by"]["nominal"] if isinstance(value["by"], dict) else value["by"]
                    check(f"{feature['relation']} {feature['feature']}" in text, f"{title}: {feature['feature']}")
                    check(f"{abs(by):.4g}" in text, f"{title}: {feature['feature']}.{value['field']} by {by}")
                    told += 1
    check((told > 0) == (data["first"] != data["second"]), f"{title}: {told} told")
    check(f"{data['differences']} difference" in text or data["differences"] == 0, f"{title}: how many")
    for seat in data.get("seats", []):
        check(f"In {seat['unit']}" in text and seat["verdict"] in text, f"{title}: {seat['unit']}")


def check_questions():
    for arguments, lists in QUESTIONS[::3] if sys.argv[4:] == ["few"] else QUESTIONS:
        title = " ".join(a for a in arguments if "/" not in a)
        markup, data = ask(arguments)
        page, faults = whole_page_faults(markup)
        check(not faults, f"{title}: {faults[:5]}")
        text = page.text().lower()
        for name in lists:
            check(data.get(name), f"{title}: the JSON has no {name}")
            for line in data.get(name) or []:
                check(" ".join(line.split()).lower() in text, f"{title}: {name}: {line}")
        if data.get("caution"):
            check(" ".join(data["caution"].split()).lower() in text, f"{title}: the caution")
        check(data["knowledge"]["digest"] in text, f"{title}: the digest")
        for candidate in data.get("left", []):
            check(candidate["name"] in text, f"{title}: {candidate}")
        if "verdict" in data and data["verdict"] and "sweep" not in data:
            words = data["verdict"] if arguments[0] not in ("upgrade", "leaks", "why", "why-not") else ""
            check(words in text, f"{title}: {words}")
        check_numbers(page, data, title)
        if arguments[0] == "upgrade":
            sets = sum(len(s["sets"]) + len(s.get("not_known", [])) for s in data["searches"]) + bool(data.get("whole"))
            check(sets > 0 and markup.count("<svg") == sets, f"{title}: {markup.count('<svg')} drawings of {sets} sets")
        if arguments[0] == "compare":
            check_comparison(page, data, title)


def check_escaping():
    """What the facts call things is text, whatever it looks like."""
    spoiled = os.path.join(SCRATCH, "spoiled")
    os.makedirs(spoiled, exist_ok=True)
    with open(os.path.join(ROOT, "demo/mower/cases-and-covers.yaml"), encoding="utf-8") as file:
        original = file.read()
    hostile = "</td><script>alert(1)</script> & \\\"x\\\" 'y'"
    check("source: " in original, "the demo states sources")
    for name in sorted(os.listdir(os.path.join(ROOT, "demo/mower"))):
        with open(os.path.join(ROOT, "demo/mower", name), encoding="utf-8") as file:
            text = file.read()
        with open(os.path.join(spoiled, name), "w", encoding="utf-8") as file:
            file.write(text)
    rule = os.path.join(spoiled, "hostile.yaml")
    with open(rule, "w", encoding="utf-8") as file:
        file.write("rule: looks-like-markup\nsays: nothing\n"
                   f"source: \"{hostile}\"\n"
                   "given:\n  - band: {unit: $unit, seal: $seal, on: $piece, type: o-ring, side: $side, "
                   "from: $a, to: $b}\n"
                   "let: {spare: \"covered($unit, $piece, $side, $a, $b)\"}\n"
                   "check: {margin: $spare, weight: stops}\n"
                   f"because: \"{hostile} of {{seal}}\"\n")
    answer = run(["swap", *LATE, "--with", spoiled, "--format", "html"])
    check(answer.returncode == 1, f"hostile facts: exit {answer.returncode} {answer.stderr[:300]}")
    page, faults = whole_page_faults(answer.stdout)
    check(not faults, f"hostile facts: {faults[:5]}")
    check("</td><script>alert(1)</script> & \"x\" 'y' of spacer" in page.text(), "hostile text is shown as it is")
    check("<script" not in answer.stdout, "no script comes through")


def check_listing():
    """Every claim is marked where it stands, and told of; markup in a listing is text."""
    path = os.path.join(SCRATCH, "listing.txt")
    with open(path, "w", encoding="utf-8") as file:
        file.write("Cover HK-2120 for Kestrel 120, 2004-2012 <b onclick='x()'>&amp; \"vented\"</b>\nwas \u00a345")
    markup, data = ask(["listing", path, *MOWER, "--with", os.path.join(ROOT, "demo/listings")])
    page, faults = whole_page_faults(markup)
    check(not faults, f"a listing: {faults[:5]}")
    check(data["verdict"] == "wrong" and len(data["claims"]) > 4, f"a listing: {data}")
    check("<b " not in markup and "<b onclick='x()'>&amp;" in page.text(), "markup in a listing is text")
    for number, claim in enumerate(data["claims"], 1):
        check(f"said-{number}" in page.ids and f"claim-{number}" in page.ids, f"a listing marks {claim['span']}")
        check(claim["judgement"] in page.text() and claim["span"] in page.text(), f"a listing tells of {claim}")
    check(data["fits"] in page.text() and data["ask"] in page.text(), "a listing: what it fits, what to ask for")
    rows = run(["listing", path, "--rows", "lines", "--format", "html", *MOWER])
    check(rows.returncode == 2 and "one listing" in rows.stderr, f"rows have no report: {rows.stderr}")


def check_show():
    """A part as a page: its picture and what is recorded; a kind's sheet with all its blanks."""
    for word in ("kestrel-shaft-late", "kinds", "kestrel-head-early", "HK-2120"):
        page_of, data = run(["show", word, "--format", "html", *MOWER]), run(["show", word, "--format", "json", *MOWER])
        page, faults = whole_page_faults(page_of.stdout)
        check(page_of.returncode == 0 and not faults, f"show {word}: {page_of.stderr} {faults[:4]}")
        for line in json.loads(data.stdout)["lines"]:
            check(" ".join(line["what"].split()) in page.text(), f"show {word}: {line['what']}")
        check(("<svg" in page_of.stdout) == (word in ("kestrel-shaft-late", "HK-2120")), f"show {word}: a picture")
    answer = run(["show", "no-such-word", "--format", "html", *MOWER])
    check(answer.returncode == 2 and answer.stdout == "", "a word that means nothing is no page")
    markup, data = ask(["measure", "--kind", "shaft", *MOWER])
    page, faults = whole_page_faults(markup)
    check(not faults and data["blanks"], f"a sheet of a kind: {faults[:4]}")
    check(markup.count('class="blank"') == len(data["blanks"]) + 2, f"a blank for each of {len(data['blanks'])}")


def check_colours():
    markup, _ = ask(["swap", *LATE, *MOWER])
    colours = dict(re.findall(r"--([\w-]+):(#[0-9a-f]{6})", markup))
    pairs = [(a, "paper") for a in ("ink", "quiet", "link")]
    pairs += [(t, t + "-ground") for t in ("good", "work", "bad", "open")]
    pairs += [("quiet", t + "-ground") for t in ("good", "work", "bad", "open")]
    pairs += [("ink", t + "-ground") for t in ("good", "work", "bad", "open")]
    for ink, ground in pairs:
        ratio = contrast(colours[ink], colours[ground])
        check(ratio >= 4.5, f"{ink} on {ground}: {ratio:.2f}")


def check_refusals():
    for words in (["reckon", "1 mm"], ["lint"], ["fit", "40 H7"]):
        answer = run([*words, "--format", "html"])
        check(answer.returncode == 2 and "no report in HTML" in answer.stderr, f"{words}: {answer.stderr}")
    answer = run(["swap", "no-such-unit", "--format", "html", *MOWER])
    check(answer.returncode == 2 and answer.stdout == "" and "no-such-unit" in answer.stderr,
          "a fault is no report")


check_questions()
check_escaping()
check_listing()
check_show()
check_colours()
check_refusals()
print(f"{passed} passed, {failed} failed")
sys.exit(0 if failed == 0 and passed > 100 else 1)
