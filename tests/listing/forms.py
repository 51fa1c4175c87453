#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Rows of CSV, of JSON and of lines give the same answers; what cannot be read is rejected with a reason; under a program
that spreads lines over processes the answers are those of one: forms.py PROGRAM ROOT."""
import csv
import io
import json
import os
import shutil
import subprocess
import sys
import tempfile


def options(root):
    out = []
    for folder in ("counter", "mower", "pump", "tractor", "trailer", "listings"):
        out += ["--with", os.path.join(root, "demo", folder)]
    return out


def expect(is_so, what):
    if not is_so:
        sys.exit(f"not so: {what}")


def run(command, data=None):
    return subprocess.run(command, input=data, capture_output=True, check=False)


def without_names(output):
    rows = [json.loads(line) for line in output.decode().splitlines()]
    for row in rows:
        row.pop("row", None)
        row.pop("id", None)
    return rows


def main():
    program, root = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    base = [program, "listing", "-", *options(root)]
    texts = subprocess.run([sys.executable, os.path.join(root, "tests/bench/listing/generate.py"), "400", "11"],
                           capture_output=True, check=True).stdout.decode().splitlines()
    lines = run([*base, "--rows", "lines"], "\n".join(texts).encode())
    expect(lines.returncode == 0, lines.stderr.decode())
    wanted = without_names(lines.stdout)

    table = io.StringIO()
    writer = csv.writer(table)
    writer.writerow(["sku", "Title", "colour"])
    for i, text in enumerate(texts):
        writer.writerow([f"a{i}", text, 'a "red" one,\nreally'])
    rows = run([*base, "--rows", "csv"], table.getvalue().encode())
    expect(without_names(rows.stdout) == wanted, "CSV gives the answers of lines")
    expect(b"columns: Title" in rows.stderr, "guessed columns are said")
    expect(json.loads(rows.stdout.splitlines()[3])["id"] == "a3", "a row has its name")

    table = "\ufeffArtikelnummer;Titel;Farbe\r\n" + "".join(f'A{i};"{text}";rot, "hell"\r\n' for i, text in enumerate(texts))
    rows = run([*base, "--rows", "csv"], table.encode())
    expect(without_names(rows.stdout) == wanted and b"columns: Titel " in rows.stderr, "semicolons give the answers of lines")
    odd = run([*base, "--rows", "csv"], b'sku\ttitle\r\n1\tHK-3110 shaft, spline 1 3/8" long\r\n2\tHK-2110 cover\r\n3\tf\xfcr HK-2110\r\n')
    expect(odd.stdout.count(b"\n") == 2 and b'"1 3/8\\""' in odd.stdout and b"not UTF-8" in odd.stderr,
           "a quote inside a cell is its own, and what is no UTF-8 is said")

    objects = "\n".join(json.dumps({"sku": f"a{i}", "title": text, "n": 3}) for i, text in enumerate(texts))
    rows = run([*base, "--rows", "json"], objects.encode())
    expect(without_names(rows.stdout) == wanted, "JSON gives the answers of lines")

    answers = list(csv.reader(io.StringIO(run([*base, "--rows", "lines", "--csv"], "\n".join(texts).encode()).stdout.decode())))
    claims = sum(max(1, len(row["claims"])) for row in wanted)
    expect(len(answers) == claims + 1 and all(len(row) == len(answers[0]) for row in answers), "CSV has a row a claim")

    bad = run([*base, "--rows", "json"], b'{"title": "HK-2110 cover"}\n{"title": \n[1]\n{"name": 3}\n{"title": "cover"}\n')
    expect(bad.returncode == 2 and bad.stdout.count(b"\n") == 2 and bad.stderr.count(b'"reason"') == 3, bad.stderr.decode())
    bad = run([*base, "--rows", "csv"], b'id,title\n1,HK-2110 cover\n2,"a" b\n3\n4,cover\n')
    expect(bad.returncode == 2 and bad.stdout.count(b"\n") == 2 and bad.stderr.count(b'"reason"') == 2, bad.stderr.decode())
    long = run([*base, "--rows", "lines"], b"HK-2110 cover\n" + b"x" * 3_000_000 + b"\n" + b"y" * 70_000 + b"\ncover\n")
    expect(long.returncode == 2 and long.stdout.count(b"\n") == 2 and long.stderr.count(b"longer than") == 2,
           long.stderr.decode())

    if shutil.which("parallel") is None:
        print("GNU parallel was not found: the map step is left out")
        return 0
    with tempfile.TemporaryDirectory() as scratch:
        path = os.path.join(scratch, "listings.txt")
        with open(path, "w", encoding="utf-8") as file:
            file.write("\n".join(texts) + "\n")
        environment = dict(os.environ, HOME=scratch, PARALLEL_HOME=scratch, WHYFIT=program, BLOCK="12k")
        spread = subprocess.run([os.path.join(root, "demo/listings/map-step"), path], capture_output=True, check=False,
                                env=environment)
    expect(without_names(spread.stdout) == wanted, f"a map step gives the answers of one process: {spread.stderr.decode()}")
    print("lines, CSV and JSON agree, also under parallel")
    return 0


if __name__ == "__main__":
    sys.exit(main())
