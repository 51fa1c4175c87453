#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""What the house promises of its own text: check_house.py ROOT."""
import os
import re
import sys


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def sources(root):
    for folder, _, names in os.walk(os.path.join(root, "engine")):
        for name in sorted(names):
            if name.endswith((".c", ".h")):
                yield os.path.join(folder, name)


def check_layers(root):
    """Each included header of ours lies in a module that the including module may use."""
    lists = read(os.path.join(root, "engine/CMakeLists.txt"))
    uses = {}
    for name, body in re.findall(r"whyfit_module\((\w+)(.*?)\)\n", lists, re.S):
        found = re.search(r"USES(.*?)SOURCES", body, re.S)
        uses[name] = set(found.group(1).split()) if found else set()
    home = {os.path.basename(p): os.path.basename(os.path.dirname(p)) for p in sources(root)}
    for path in sources(root):
        module = os.path.basename(os.path.dirname(path))
        for header in re.findall(r'#include "([\w.]+)"', read(path)):
            owner = home.get(header)
            if module == "command":
                yield (header in ("command.h", "whyfit.h")), f"{path} includes {header}"
            elif owner:
                allowed = owner == module or owner in uses[module]
                yield allowed, f"{path} ({module}) includes {header} of {owner}"


def check_manners(root):
    banned = re.compile(r"\b(printf|fprintf|puts|exit|abort|setlocale|getenv|strtod|atof)\(")
    for path in sources(root):
        content = read(path)
        lines = content.count("\n")
        name = os.path.basename(path)
        yield lines <= 700, f"{path} has {lines} lines"
        yield content.startswith("/* SPDX-License-Identifier: MIT */"), f"{path} has no SPDX line"
        if "/command/" not in path and name != "number_text.c":
            hit = banned.search(content)
            yield hit is None, f"{path} calls {hit.group(1) if hit else ''}"
        for header, only in (("yaml.h", "yaml_reader.c"), ("pcre2.h", "pattern.c")):
            yield f"<{header}>" not in content or name == only, f"{path} includes {header}"


def check_codes(root):
    """Every diagnostic is reported somewhere, and shown in some session."""
    listed = re.findall(r"CODE\((\w+), \"([\w-]+)\"",
                        read(os.path.join(root, "engine/source/diagnostic_codes.def")))
    code = "".join(read(p) for p in sources(root))
    folder = os.path.join(root, "tests/golden")
    shown = "".join(read(os.path.join(folder, f)) for f in os.listdir(folder)
                    if f.endswith(".session"))
    shown += read(os.path.join(root, "tests/limits/limits.c"))
    shown += "".join(read(os.path.join(root, "tests/unit", f))
                     for f in os.listdir(os.path.join(root, "tests/unit")))
    for identifier, word in listed:
        yield len(re.findall(rf"\b{identifier}\b", code)) >= 1, f"{word} is never reported"
        yield word in shown, f"{word} is shown in no test"


def check_rules(root):
    folder = os.path.join(root, "rules")
    cases = ""
    for base, _, names in os.walk(os.path.join(root, "tests/cases")):
        cases += "".join(read(os.path.join(base, n)) for n in names if n == "cases.yaml")
    lint = read(os.path.join(root, "tests/golden/lint.session"))
    for name in sorted(os.listdir(folder)):
        for block in re.split(r"\n\s*-? *rule: ", read(os.path.join(folder, name)))[1:]:
            rule = block.split("\n")[0].strip()
            yield "source:" in block, f"{name}: {rule} has no source"
            if "check:" in block:
                shown = lint if re.search(r"answers: lint$", block, re.M) else cases
                yield f"{rule}]" in shown or f"rule: {rule}" in shown, \
                    f"{name}: {rule} is in no worked case"


def check_top(root):
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "CMakeLists.txt", "engine", "rules",
               "facts", "include", "tests", "demo", "build"}
    for name in os.listdir(root):
        yield name.startswith(".") or name in allowed, f"{name} does not belong at the top"


def main():
    root = sys.argv[1]
    passed = failed = 0
    for check in (check_layers, check_manners, check_codes, check_rules, check_top):
        for good, words in check(root):
            passed += good
            failed += not good
            if not good:
                print(f"FAILED {words}")
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 100 else 1


if __name__ == "__main__":
    sys.exit(main())
