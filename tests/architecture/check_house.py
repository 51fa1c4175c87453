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
                yield owner == "command" or header in ("page.h", "whyfit.h", "whyfit_listing.h"), f"{path} includes {header}"
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
        for header, only in (("yaml.h", ("yaml_reader.c",)), ("pcre2.h", ("pattern.c", "scanner.c"))):
            yield f"<{header}>" not in content or name in only, f"{path} includes {header}"


def literals(path):
    """The string literals of a C file; comments and code say nothing."""
    code = re.sub(r"/\*.*?\*/", "", read(path), flags=re.S)
    return re.findall(r'"((?:[^"\\\n]|\\.)*)"', code)


def shown_codes(root):
    """The codes that a session prints, or that a table of a C test expects word for word."""
    shown = set()
    folder = os.path.join(root, "tests/golden")
    for name in os.listdir(folder):
        if name.endswith(".session"):
            for line in read(os.path.join(folder, name)).splitlines():
                if not line.startswith(("$", "#")):
                    shown.update(re.findall(r"\[([\w-]+)\]$|\"code\":\"([\w-]+)\"", line))
    shown = {word for pair in shown for word in pair if word}
    for folder in ("tests/limits", "tests/unit"):
        for name in sorted(os.listdir(os.path.join(root, folder))):
            if name.endswith(".c"):
                for text in literals(os.path.join(root, folder, name)):
                    shown.update(re.findall(r"(?:^|[ \d]|\\n)([a-z0-9]+(?:-[a-z0-9]+)+)(?=$|:| \d)",
                                            text))
    return shown


def check_codes(root):
    """Every diagnostic is reported somewhere, and provoked by some test that shows its code."""
    listed = re.findall(r"^CODE\((\w+), \"([\w-]+)\"",
                        read(os.path.join(root, "engine/source/diagnostic_codes.def")), re.M)
    code = "".join(read(p) for p in sources(root))
    shown = shown_codes(root)
    for identifier, word in listed:
        yield len(re.findall(rf"\b{identifier}\b", code)) >= 1, f"{word} is never reported"
        yield word in shown, f"{word} is provoked by no test"
    folder = os.path.join(root, "tests/golden")
    sessions = "".join(read(os.path.join(folder, f)) for f in os.listdir(folder)
                       if f.endswith(".session"))
    for name in sorted(os.listdir(os.path.join(folder, "faults"))):
        yield f"faults/{name}" in sessions, f"tests/golden/faults/{name} is in no session"


def check_needs(root):
    """What the engine writes of the vocabulary, and reads to lay units, it also demands."""
    listed = read(os.path.join(root, "engine/knowledge/needed_relations.def"))
    entries = re.findall(r"^NEEDS\((.*?)\)\n", listed, re.S | re.M)
    relations, columns = set(), set()
    for entry in entries:
        words = re.findall(r'"([^"]*)"', entry)
        relations.add(words[0])
        columns.update(word.split(":")[0] for word in " ".join(words[1:]).split())
    written = re.compile(r'(?:draft_open\(&?draft, layer|RELATION\(\w+), "([\w-]+)"')
    named = re.compile(r'(?:draft_(?:value|word|flag)|computed_(?:value|word)|column_\w+)'
                       r'\(\s*[^"();]*(?:\([^()]*\))?[^"();]*"([\w-]+)"')
    for path in sources(root):
        if os.path.basename(os.path.dirname(path)) in ("assembly", "knowledge"):
            code = re.sub(r"/\*.*?\*/", "", read(path), flags=re.S)
            for relation in written.findall(code):
                yield relation in relations, f"{path} writes {relation}: not in needed_relations.def"
            for column in named.findall(code):
                yield column in columns, f"{path} uses column {column}: not in needed_relations.def"


def check_rules(root):
    folder = os.path.join(root, "rules")
    cases = ""
    for base, _, names in os.walk(os.path.join(root, "tests/cases")):
        cases += "".join(read(os.path.join(base, n)) for n in names if n.endswith("cases.yaml"))
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
    for check in (check_layers, check_manners, check_codes, check_needs, check_rules, check_top):
        for good, words in check(root):
            passed += good
            failed += not good
            if not good:
                print(f"FAILED {words}")
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 100 else 1


if __name__ == "__main__":
    sys.exit(main())
