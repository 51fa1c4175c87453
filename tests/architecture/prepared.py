#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A prepared base answers as its text does, or says why not: prepared.py PROGRAM ROOT FOLDER [FLIPS].

Questions of every kind are asked of the text and of the base: status and bytes must be the same. Then the base is
spoiled in every way a file can be, and its sources are changed under it: each question must be answered as before, or
be refused with a reason (only where the damage is met half-way). Nothing may crash, and no verdict may differ.
"""
import json
import os
import random
import shutil
import subprocess
import sys

FRONT = slice(40, 48)  # where the head says how long the front is; see image_file.h
PAGE = 4096


class Check:
    def __init__(self, program, root, folder):
        self.program, self.folder = program, folder
        self.base = os.path.join(folder, "mower.prepared")
        self.mower = os.path.join(folder, "mower")
        self.knowledge = os.path.join(folder, "knowledge")
        self.passed, self.failed = 0, 0
        shutil.rmtree(folder, ignore_errors=True)
        os.makedirs(self.knowledge)
        for part in ("rules", "facts"):
            shutil.copytree(os.path.join(root, part), os.path.join(self.knowledge, part))
        shutil.copytree(os.path.join(root, "demo/mower"), self.mower)
        self.environment = {**os.environ, "WHYFIT_KNOWLEDGE": self.knowledge}

    def run(self, *words, program=None, stdin="", cwd=None):
        done = subprocess.run([program or self.program, *words], input=stdin, capture_output=True, check=False,
                              text=True, env=self.environment, cwd=cwd or self.folder)
        return done.returncode, done.stdout, done.stderr

    def expect(self, holds, words):
        self.passed += bool(holds)
        self.failed += not holds
        if not holds:
            print(f"FAILED {words}")

    def prepare(self, base=None, program=None):
        done = self.run("prepare", "--with", "mower", "--out", base or self.base, program=program)
        self.expect(done == (0, "", ""), f"a base is prepared: {done}")


def read(path):
    with open(path, "rb") as file:
        return file.read()


def write(path, content):
    with open(path, "wb") as file:
        file.write(content)


def questions(root, has_time):
    asked = []
    with open(os.path.join(root, "demo/questions.jsonl"), encoding="utf-8") as file:
        for line in file:
            one = json.loads(line)
            words = [f"{place}={part}" for place, part in one.get("changes", {}).items()]
            for name, value in one.get("given", {}).items():
                words += ["--given", f"{name}={value}"]
            asked.append(["swap", one["unit"], *words])
    asked += [["leaks", "kestrel-head-early", "seal=none"], ["lint"], ["show", "shaft"], ["show", "kestrel-cover-late"],
              ["fit", "40 H7/k6"], ["reckon", "greatest(40 k6) - 40 mm"], ["show", "nobody"], ["swap", "nobody"],
              ["reckon", "covered(1 mm)"], ["swap", "kestrel-head-early", "cover=kestrel-cover-lat"],
              ["why", "kestrel-head-early", "cover=kestrel-cover-late", "--of", "o-ring-needs-a-land: outcome=fails"],
              ["why-not", "kestrel-head-late", "--of", "o-ring-needs-a-land: outcome=fails"]]
    first = asked[0]
    if not has_time:
        asked = asked[:2] + asked[13:]
    return asked + [[*first, "--chain"], [*first, "--format", "json"], ["lint", "--format", "json"],
                    ["swap", "nobody", "--format", "json"]]


def same_answers(check, root, has_time):
    """Text and base, each kind of question; some questions at once; another folder."""
    for words in questions(root, has_time):
        check.expect(check.run(*words, "--with", "mower") == check.run(*words, "--prepared", check.base),
                     f"the same from text and from the base: {words}")
    with open(os.path.join(root, "demo/questions.jsonl"), encoding="utf-8") as file:
        batch = ["swap", "--batch", "-", "--threads", "4"]
        lines = file.read()
    check.expect(check.run(*batch, "--with", "mower", stdin=lines) ==
                 check.run(*batch, "--prepared", check.base, stdin=lines), "a batch from the base")
    formulas = "1 mm + 1 in\n40 k6\n"
    check.expect(check.run("reckon", "-", "--with", "mower", stdin=formulas) ==
                 check.run("reckon", "-", "--prepared", check.base, stdin=formulas), "lines from the base")
    words = ["show", "kestrel-cover-late", "--prepared", check.base]
    check.expect(check.run(*words) == check.run(*words, cwd="/"), "the same from another folder")
    check.expect(check.run(*words) == check.run(*words, "--with", "mower"), "with the folder it was prepared from")


def same_bytes(check):
    """Two processes have other addresses: what is the same in both points at none of them."""
    again = check.base + ".again"
    check.prepare(again)
    one, two = read(check.base), read(again)
    at = int.from_bytes(one[FRONT], "little")  # front_size
    check.expect(len(one) == len(two) and one[at:] == two[at:], "prepared twice, the blocks are the same")
    os.remove(again)


WORDS = ["swap", "kestrel-head-early", "cover=kestrel-cover-late"]


class Spoiler:
    def __init__(self, check):
        self.check = check
        self.wanted = check.run(*WORDS, "--with", "mower")
        self.spoiled = os.path.join(check.folder, "spoiled.prepared")
        self.noted = self.refused = self.untouched = 0

    def ask(self, words, *more):
        """Asks the spoiled file; the answer must be the right one or none."""
        status, said, errors = self.check.run(*WORDS, "--prepared", self.spoiled, *more)
        is_right = (status, said) == self.wanted[:2]
        if is_right and errors == "":
            self.untouched += 1
        elif is_right and errors.count("\n") == 1 and "is not used, the text is read: " in errors:
            self.noted += 1
        elif status == 5 and said == "" and "[prepared-damaged]" in errors:
            self.refused += 1
            status, said, errors = self.check.run(*WORDS, "--prepared", self.spoiled, "--format", "json")
            code = json.loads(said)["error"][0]["code"]
            self.check.expect((status, code, errors) == (5, "prepared-damaged", ""), f"{words}, as JSON: {said}")
        else:
            self.check.expect(False, f"{words}: {status} {errors}")
            return
        self.check.expect(True, words)


def flips(check, count):
    """Single bits all over the file, more of them where it begins; the front has none to spare."""
    spoiler = Spoiler(check)
    content = read(check.base)
    dice = random.Random(20260101)
    front = int.from_bytes(content[FRONT], "little")
    places = [dice.randrange(front) for _ in range(count // 5)] + \
        [dice.randrange(len(content)) for _ in range(count - count // 5)]
    for place in places:
        bit = 1 << dice.randrange(8)
        write(spoiler.spoiled, content[:place] + bytes([content[place] ^ bit]) + content[place + 1:])
        before = spoiler.untouched
        spoiler.ask(f"bit {bit} of byte {place} flipped", "--with", "mower")
        check.expect(place >= front or spoiler.untouched == before, f"byte {place} of the front goes unseen")
    return spoiler, content


def all_blocks(check, spoiler, content):
    """Damage in every block there is: whichever is touched first is met."""
    front = int.from_bytes(content[FRONT], "little")
    spoilt = bytearray(content)
    for at in range(front, len(spoilt), PAGE // 2):
        spoilt[at] ^= 1
    write(spoiler.spoiled, spoilt)
    before = spoiler.untouched
    spoiler.ask("every block is damaged", "--with", "mower")
    check.expect(spoiler.untouched == before, "damage everywhere is met")
    status, said, errors = check.run("swap", "--batch", "-", "--prepared", spoiler.spoiled,
                                     stdin='{"unit": "kestrel-head-early"}\n')
    check.expect(status == 0 and '"verdict"' in said and "is not used" in errors, "a batch looks at all of it first")


def sizes(check, spoiler, content, count):
    dice = random.Random(7)
    cuts = [0, 1, 15, 16, 100, PAGE, len(content) - 1, len(content) - PAGE] + \
        [dice.randrange(len(content)) for _ in range(4)]
    for cut in cuts if count >= 40 else cuts[2:9:3]:
        write(spoiler.spoiled, content[:cut])
        before = spoiler.untouched
        spoiler.ask(f"cut to {cut} bytes", "--with", "mower")
        check.expect(spoiler.untouched == before, f"a cut to {cut} bytes goes unseen")
    for more in (b"\0", b"x" * PAGE, content):
        write(spoiler.spoiled, content + more)
        before = spoiler.untouched
        spoiler.ask(f"{len(more)} bytes more", "--with", "mower")
        check.expect(spoiler.untouched == before, "a file that has grown goes unseen")


def no_base(check, content):
    """What is no base of this program, and nothing says what to read instead: refused, with what to do."""
    path = os.path.join(check.folder, "other.prepared")
    other = bytearray(content)
    other[16] ^= 2  # the format's number
    for made, wanted in ((b"", "it is no prepared base"), (b"unit: nothing\n", "it is no prepared base"),
                         (bytes(other), "another format"), (content[:-1], "damaged")):
        write(path, made)
        status, said, errors = check.run(*WORDS, "--prepared", path)
        check.expect(status == 2 and said == "" and wanted in errors and "whyfit prepare" in errors, wanted)
        status, said, errors = check.run(*WORDS, "--prepared", path, "--format", "json")
        check.expect(status == 2 and json.loads(said)["error"] and errors == "", f"as JSON: {wanted}")
    for name in ("nowhere.prepared", "mower"):
        status, _, errors = check.run(*WORDS, "--prepared", name)
        check.expect(status == 2 and "it cannot be read" in errors, f"{name} cannot be read")


def other_program(check):
    """The same program under another identity."""
    found = subprocess.run(["readelf", "-n", check.program], capture_output=True, text=True, check=False).stdout
    identity = next((line.split()[-1] for line in found.splitlines() if "Build ID" in line), None)
    if identity is None:
        return
    program = read(check.program)
    at = program.find(bytes.fromhex(identity))
    twin = os.path.join(check.folder, "twin")
    write(twin, program[:at] + bytes([program[at] ^ 1]) + program[at + 1:])
    os.chmod(twin, 0o755)
    status, said, errors = check.run(*WORDS, "--prepared", check.base, program=twin)
    wanted = check.run(*WORDS, "--with", "mower")
    check.expect((status, said) == wanted[:2] and "another build" in errors or "another program" in errors,
                 f"another build does not use it: {errors}")


def stale(check):
    """Sources that change, come and go; each is undone, and the base is good again (the content says so)."""
    heads = os.path.join(check.mower, "heads.yaml")
    content = read(heads)
    about = os.stat(heads)

    def noted(words, wanted):
        text = check.run(*WORDS, "--with", "mower")
        status, said, errors = check.run(*WORDS, "--prepared", check.base)
        check.expect((status, said) == text[:2] and wanted in errors, f"{words}: {status} {errors}")

    def good(words):
        check.expect(check.run(*WORDS, "--prepared", check.base) == check.run(*WORDS, "--with", "mower"), words)

    write(heads, content + b"# more\n")
    noted("a longer source", "heads.yaml has changed since")
    write(heads, content.replace(b"invented", b"INVENTED", 1))
    os.utime(heads, ns=(about.st_atime_ns, about.st_mtime_ns))
    noted("a source of the same size and time", "heads.yaml has changed since")
    write(heads, content)
    good("a source as it was")
    added = os.path.join(check.mower, "added.yaml")
    write(added, b"part: added\nkind: shaft\ntitle: Added\nsource: invented\n")
    noted("a source was added", "added.yaml was added since")
    os.remove(added)
    good("what was added is gone")
    os.rename(heads, heads + ".kept")
    check.expect(check.run(*WORDS, "--prepared", check.base) == check.run(*WORDS, "--with", "mower"),
                 "a source is gone: what the text says then, for it is at fault")
    os.rename(heads + ".kept", heads)
    good("a source is back")
    rules = os.path.join(check.knowledge, "rules")
    os.rename(rules, rules + ".kept")
    status, said, _ = check.run(*WORDS, "--prepared", check.base)
    check.expect(status == 2 and said == "", "a folder is gone")
    os.rename(rules + ".kept", rules)
    good("a folder is back")
    status, said, errors = check.run(*WORDS, "--prepared", check.base, "--with", "mower/")
    check.expect((status, said)[0] == 1 and "it was prepared from" in errors, "of other folders than asked for")


def writing(check):
    """What is there stays where a new base cannot be written, and no half of one is left."""
    precious = os.path.join(check.folder, "precious")
    write(precious, b"not a base\n")
    status, _, errors = check.run("prepare", "--with", "mower", "--out", precious)
    check.expect(status == 2 and "[prepared-unwritable]" in errors and read(precious) == b"not a base\n",
                 "a file that is no base is not written over")
    status, _, errors = check.run("prepare", "--with", "mower", "--out", "nowhere/base")
    check.expect(status == 2 and "[prepared-unwritable]" in errors, "a folder that is not there")
    kept = read(check.base)
    write(os.path.join(check.mower, "wrong.yaml"), b"part: wrong\n")
    check.expect(check.run("prepare", "--with", "mower", "--out", check.base)[0] == 2, "wrong sources are refused")
    os.remove(os.path.join(check.mower, "wrong.yaml"))
    check.expect(read(check.base) == kept, "and the old base stays")
    check.prepare()
    left = [name for name in os.listdir(check.folder) if ".part" in name]
    check.expect(not left, f"left behind: {left}")


def main():
    program, root, folder = (os.path.abspath(one) for one in sys.argv[1:4])
    count = int(sys.argv[4]) if len(sys.argv) > 4 else int(os.environ.get("WHYFIT_FLIPS", "40"))
    check = Check(program, root, folder)
    check.prepare()
    same_answers(check, root, count >= 40)
    same_bytes(check)
    spoiler, content = flips(check, count)
    all_blocks(check, spoiler, content)
    sizes(check, spoiler, content, count)
    check.expect(count < 40 or (spoiler.noted > 0 and (spoiler.untouched > 0) == (spoiler.refused > 0)),
                 "flips are met at the start, half-way or not at all (at the start, where all is read at once)")
    no_base(check, content)
    other_program(check)
    stale(check)
    writing(check)
    shutil.rmtree(folder)
    print(f"flips and cuts: {spoiler.noted} noted, {spoiler.refused} refused half-way, {spoiler.untouched} not touched")
    print(f"{check.passed} passed, {check.failed} failed")
    return 0 if check.failed == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
