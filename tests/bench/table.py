# SPDX-License-Identifier: MIT
"""What came out, as lines and as the README."""
import datetime
import json
import os

from workloads import WORKLOADS

HERE = os.path.dirname(os.path.abspath(__file__))

# A compiled logic engine that Debian lacks was measured on another machine with workloads of the same shapes
# (other seeds). Its ratios against the fastest Debian peer of that run: as it is by default, and by its best
# container for dense relations on one thread; then with heights of proofs kept, as ours always are.
RECORDED = {
    ("closure", "random-1000x5000"): (3.4, 16.5, 1.8), ("closure", "random-2000x20000"): (3.1, 17.3, 1.6),
    ("generation", "tree-2000"): (4.7, 26.9, 3.0), ("generation", "random-1000x2500"): (3.3, 17.6, 1.8),
    ("joins", "5000"): (3.4, 16.0, 2.7), ("joins", "10000"): (2.0, 19.3, 1.5),
    ("parts-list", "100000"): (3.2, None, 2.8), ("swap", "10000"): (2.6, None, 2.3),
    ("swap", "100000"): (1.6, None, 1.6), ("swap", "1000000"): (1.6, None, 1.2)}


# What ours says of its store, in bytes by what they are for, and how many rows it holds.
BYTES = ("held", "heads", "cells", "values", "keys", "indexes")


def seconds(value):
    return "" if value is None else f"{value:.4f}" if value < 0.01 else f"{value:.3f}" if value < 10 else f"{value:.1f}"


def line(work, size, made):
    head = f"{work.name} {size}, {made['engine']}: "
    if "skipped" in made:
        return head + f"skipped: {made['skipped']}"
    split = f" (load {made['load']:.3f}, evaluate {made['evaluate']:.3f})" if "load" in made else ""
    return head + (f"{seconds(made['processor'])} s of processor, least {seconds(made['least'])}{split},"
                   f" {made['memory']:.0f} MB, {made['rows']} rows {made.get('sha256', '')[:12]}")


def ours_and_fastest(result):
    """Ours from a prepared base where that was measured: the peers start from what they prepared there."""
    mine = {one["engine"]: one for one in result["engines"] if "sha256" in one}
    ours = mine.get("whyfit, prepared base", mine.get("whyfit"))
    peers = [one for one in result["engines"] if "sha256" in one and not one["engine"].startswith("whyfit")]
    return ours, min(peers, key=lambda one: one["processor"], default=None)


def ratio(value):
    return "" if value is None else f"{value:.2f}" if value < 10 else f"{value:.1f}"


def recorded(result):
    said = RECORDED.get((result["workload"], result["size"]))
    if said is None:
        return ""
    return " / ".join("–" if one is None else f"{one:.1f}" for one in said)


def summary(results):
    """One line a workload: how many times as long as ours the fastest peer took."""
    out = ["| workload | rows | ours: s (load + evaluate) | MB | fastest Debian peer | its s | peer ÷ ours |"
           " as recorded, another machine |", "|---|---|---|---|---|---|---|---|"]
    for result in results:
        ours, peer = ours_and_fastest(result)
        if ours is None:
            continue
        out.append(f"| {result['workload']} {result['size']} | {ours['rows']} | {seconds(ours['processor'])}"
                   f" ({seconds(ours['load'])} + {seconds(ours['evaluate'])}) | {ours['memory']:.0f} |"
                   f" {peer['engine'] if peer else 'none'} | {seconds(peer['processor']) if peer else ''} |"
                   f" {ratio(peer['processor'] / ours['processor']) if peer else ''} | {recorded(result)} |")
    return "\n".join(out)


def bytes_of_rows(results):
    """One line a workload: what a row takes, and of the peak how much is not the store's."""
    out = ["| workload | rows held | head with height | key cells | values | de-duplication | indexes | together |"
           " peak ÷ leanest peer's |", "|---|---|---|---|---|---|---|---|---|"]
    for result in results:
        ours = next((one for one in result["engines"] if one["engine"] == "whyfit" and one.get("held")), None)
        if ours is None:
            continue
        parts = [ours[one] / ours["held"] for one in BYTES[1:]]
        peers = [one["memory"] for one in result["engines"]
                 if "sha256" in one and not one["engine"].startswith("whyfit")]
        out.append(f"| {result['workload']} {result['size']} | {ours['held']} | " +
                   " | ".join(f"{one:.1f}" for one in parts) + f" | {sum(parts):.1f} |"
                   f" {ratio(ours['memory'] / min(peers)) if peers else ''} |")
    return "\n".join(out)


def is_same(result, made):
    ours, _ = ours_and_fastest(result)
    if "sha256" not in made:
        return "answers nothing"
    if "tolerances" in made["engine"]:
        return "has doubts of its own"
    return "yes" if ours and made["sha256"] == ours["sha256"] else "NO"


def details(result):
    ours, _ = ours_and_fastest(result)
    out = ["| engine | processor s, median (least) | load | evaluate | clock s | MB | ÷ ours | same rows | runs |",
           "|---|---|---|---|---|---|---|---|---|"]
    for made in result["engines"]:
        if "skipped" in made:
            out.append(f"| {made['engine']} | skipped: {made['skipped']} | | | | | | | |")
            continue
        out.append(f"| {made['engine']} | {seconds(made['processor'])} ({seconds(made['least'])}) |"
                   f" {seconds(made.get('load'))} | {seconds(made.get('evaluate'))} | {seconds(made['clock'])} |"
                   f" {made['memory']:.0f} | {ratio(made['processor'] / ours['processor']) if ours else ''} |"
                   f" {is_same(result, made)} | {made['runs']} |")
    return "\n".join(out)


def further(path):
    """What further.py kept, or nothing."""
    if not os.path.exists(path):
        return []
    with open(path, encoding="utf-8") as kept:
        said = json.load(kept)
    out = ["| what | ms | beside it, ms | ratio, median | runs by turns |", "|---|---|---|---|---|"]
    out += [f"| {name} | {one['ms']} | {one['beside_ms']} | {one['ratio']} | {one['rounds']} |"
            for name, one in said["in turn"].items()]
    trees = said["trees"]
    return ["## What has no peer\n\nSeconds of the clock: only a quiet machine gives good ones.\n\n" + "\n".join(out),
            f"{trees['trees']} trees of reasons of random programs, each asked alone, {trees['steps_a_tree']} steps a tree:"
            f" {trees['tree_us']} us a tree, {trees['tree_ratio']} of one evaluation of its program;"
            f" {trees['why_nots']} why-nots: {trees['why_not_us']} us, {trees['why_not_ratio']} of one evaluation."]


def clock():
    """GHz as the system says them now, or nothing."""
    try:
        with open("/proc/cpuinfo", encoding="utf-8") as lines:
            mhz = next(float(one.split(":")[1]) for one in lines if one.startswith("cpu MHz"))
    except (OSError, StopIteration, ValueError):
        return ""
    return f" of {mhz / 1000:.1f} GHz"


def write_readme(results, missing, kept):
    """`kept`: what further.py wrote."""
    with open(f"{HERE}/README.head.md", encoding="utf-8") as head:
        parts = [head.read().rstrip()]
    loads = [result[at] for result in results for at in ("load_before", "load_after")]
    parts.append(f"## Figures of {datetime.date.today().isoformat()}\n\n{os.cpu_count()} cores{clock()},"
                 f" shared with other work: the load average was between {min(loads):.1f} and {max(loads):.1f} while this"
                 " ran. Seconds are of processor time unless it says clock.")
    parts.append(summary(results))
    if missing:
        parts.append("Not measured that day: " + ", ".join(missing) + ".")
    parts += further(kept)
    parts.append("## Bytes a row\n\nAs the store itself counts them, facts and conclusions together; the quantities"
                 " that values point to, names and the texts of the files are not in it.")
    parts.append(bytes_of_rows(results))
    for work in WORKLOADS:
        mine = [result for result in results if result["workload"] == work.name]
        parts += [f"## {work.name}\n\n{work.says}"] if mine else []
        parts += [f"### {work.name} {result['size']}\n\n{details(result)}" for result in mine]
    with open(f"{HERE}/README.md", "w", encoding="utf-8") as out:
        out.write("\n\n".join(parts) + "\n")
