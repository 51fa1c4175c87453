#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Listings a second, and what PCRE2, grep and ripgrep take for the same patterns: bench.py PROGRAM FLOOR ROOT [ROWS] [--quick].

Processor seconds of one thread, all in one run, so that ratios hold on a busy machine; medians of five. The program as a
whole by the clock. Quick: 20,000 rows, medians of three."""
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time


def timed(command, **how):
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.monotonic()
    # a pipe: grep stops at its first match where its output goes nowhere
    subprocess.run(command, check=False, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, **how)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, time.monotonic() - began)


def memory_of(command):
    """Peak memory in MB, by a small program that forks it."""
    code = ("import resource,subprocess,sys;subprocess.run(sys.argv[1:],stdout=subprocess.DEVNULL,stderr=subprocess.DEVNULL);"
            "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)")
    return int(subprocess.run([sys.executable, "-c", code, *command], capture_output=True, check=True).stdout) / 1024


def scan(tool, patterns, plain):
    return sum(timed([*tool, pattern, plain], env=dict(os.environ, LC_ALL="C"))[0] for pattern in patterns)


def median_figures(command, times):
    """Of a program that prints a name and a number a line."""
    runs = []
    for _ in range(times):
        lines = subprocess.run(command, capture_output=True, check=True).stdout.decode().splitlines()
        runs.append({name: float(value) for name, value in (line.split() for line in lines)})
    return {name: statistics.median(run[name] for run in runs) for name in runs[0]}


def main():
    words = [word for word in sys.argv[1:] if word != "--quick"]
    is_quick = len(words) < len(sys.argv) - 1
    program, floor, root = (os.path.abspath(one) for one in words[:3])
    rows = int(words[3]) if len(words) > 3 else 20000 if is_quick else 1000000
    times = 3 if is_quick else 5
    with tempfile.TemporaryDirectory() as scratch:
        path, part, few, written, plain = (os.path.join(scratch, name)
                                           for name in ("listings", "part", "few", "patterns", "plain"))
        scanned = min(rows, 100000)
        for name, count in ((path, rows), (part, scanned), (few, min(rows, 10000))):
            with open(name, "wb") as file:
                subprocess.run([sys.executable, os.path.join(root, "tests/bench/listing/generate.py"), str(count)],
                               stdout=file, check=True)
        figures = median_figures([floor, part, written, plain], times)
        with open(written, encoding="utf-8") as file:
            patterns = file.read().splitlines()
        base = figures["combined_scan_s"] + figures["per_pattern_s"]
        megabytes = figures["bytes"] / 1e6
        print(f"{scanned} listings, {megabytes:.1f} MB, {figures['patterns']:.0f} patterns; "
              f"{100 * figures['reading_silent'] / scanned:.0f} % claim nothing")
        print("| one thread, processor time | s | MB/s | listings/s | against the floor |")
        print("| --- | --- | --- | --- | --- |")
        lines = [("combined scan, PCRE2 machine code", figures["combined_scan_s"]),
                 ("floor: that, and each pattern over what matched", base),
                 ("reading claims (folding, values, spans)", figures["reading_s"]),
                 ("reading and judging, what is asked of swaps remembered", figures["judging_s"]),
                 ("reading and judging, nothing remembered yet", figures["first_judging_s"])]
        for name, tool in (("grep -P", ["grep", "-cP"]), ("rg -P", ["rg", "-cP"])):
            if shutil.which(tool[0]):
                lines.append((f"{name}, {len(patterns)} alternations, matching lines only",
                              statistics.median(scan(tool, patterns, plain) for _ in range(times))))
        for name, seconds in lines:
            print(f"| {name} | {seconds:.3f} | {megabytes / seconds:.1f} | {scanned / seconds:.0f} | {seconds / base:.2f} |")
        print(f"\nclaims: {figures['judging_claims']:.0f}, {figures['judging_claims'] / figures['reading_s']:.0f} a second read, "
              f"{figures['judging_claims'] / figures['judging_s']:.0f} a second judged; "
              f"{100 * figures['distinct_claims'] / figures['judging_claims']:.1f} % are distinct")
        slow = figures["forgetting_rows"] / figures["forgetting_s"]
        print(f"parts on models: {figures['pairs_asked']:.0f} asked, {figures['pairs_found']:.0f} not remembered yet "
              f"({100 * (1 - figures['pairs_found'] / figures['pairs_asked']):.3f} % were), {figures['swaps_tried']:.0f} swaps "
              f"tried; without remembering {slow:.0f} listings a second, with it "
              f"{scanned / figures['judging_s'] / slow:.0f} times as many")
        base_command = [program, "listing", "--rows", "lines", "--knowledge", root, "--with", os.path.join(root, "demo")]
        for threads in (1, 2):
            command = [*base_command, path, "--threads", str(threads), "--out", os.path.join(scratch, "out")]
            start = statistics.median(timed([*base_command, "/dev/null"])[1] for _ in range(3))
            runs = [timed(command) for _ in range(times if rows <= scanned else 1)]
            spent = statistics.median(run[0] for run in runs)
            seconds = statistics.median(run[1] for run in runs)
            print(f"the program with JSON, {threads} threads: {rows / max(seconds - start, 1e-3):.0f} listings a second by the "
                  f"clock, {rows / spent:.0f} a second of processor time (start of {start:.2f} s left out of the first)")
        print(f"peak memory: {memory_of([*base_command, few]):.0f} MB for {min(rows, 10000)} rows, "
              f"{memory_of([*base_command, path]):.0f} MB for {rows}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
