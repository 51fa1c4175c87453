#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The page for the counter in a browser, as a person uses it: browser.py WHYFIT ROOT SCRATCH.

Ends with 77, skipped, where there is no chromium with its driver. WHYFIT_BROWSER=long prints on both papers
too, and asks the accessibility rules of axe-core from npm, fetched into SCRATCH; without npm or network that
part says that it is skipped. WHYFIT_SHOTS=FOLDER keeps a picture of every page."""
import base64
import os
import shutil
import subprocess
import sys

from server import Server, address, demo
from webdriver import Browser, Driver, find_programs

WHYFIT, ROOT, SCRATCH = sys.argv[1:4]
HEAD = "kestrel-head-early"
LATE = {"cover": "kestrel-cover-late"}
BOTH = LATE | {"shaft": "kestrel-shaft-late"}
REPLICA = {"shaft": "kestrel-shaft-replica"}
ROW = "o-ring-needs-a-land: outcome=fails"
AXE = "axe-core@4.10.3"
PAGES = {
    "home": "/",
    "unit": address("/unit", HEAD),
    "swap": address("/swap", HEAD, LATE),
    "work": address("/swap", HEAD, BOTH),
    "leaks": address("/leaks", "otter-frame-early", {"seal": "none"}),
    "upgrade": address("/upgrade", HEAD, LATE, changes="2"),
    "measure": address("/measure", "kestrel-head-late", REPLICA),
    "sheet": address("/sheet", HEAD, BOTH),
    "sweep": address("/swap", HEAD, LATE, **{"sweep.shaft.hub-spline.from": "18..30 mm/3"}),
    "why": address("/why", HEAD, LATE, of=ROW),
    "why-not": address("/why-not", "kestrel-head-late", REPLICA, of=ROW, depth="4"),
    "identify": address("/identify", of="shaft"),
    "compare": address("/compare", "kestrel-cover-early", toward="kestrel-cover-late"),
    "listing": "/listing",
    "kind": "/show?word=shaft",
    "kind-sheet": "/measure?unit=shaft",
    "compare-units": address("/compare", HEAD, toward="kestrel-head-late"),
    "show": address("/show", word="kestrel-cover-late"),
    "fault": address("/swap", HEAD, {"cover": "no-such-cover"}),
    "nothing": "/nothing",
}

failed = passed = 0


def check(good, words):
    global failed, passed
    passed += bool(good)
    failed += not good
    if not good:
        print("FAILED", words)


def check_swap(browser, base):
    browser.go(base)
    browser.type("#find", "early")
    browser.click_words("button", "Find")
    browser.click_words("a", HEAD)
    check(browser.reaches("main", "now kestrel-cover-early"), "the unit says what is in it")
    browser.type("#place-cover", "kestrel-cover-late")
    browser.click_words("button", "Does it go in?")
    check(browser.reaches("h1", "does not fit"), f"swap: {browser.url()}")
    check("end-float is -2.75 mm" in browser.text(".verdict"), "the reason stands beside the verdict")
    browser.click(".chain > summary")
    check(browser.reaches(".chain", "by rule"), "the chain opens")
    browser.click_words("a", "What must change together?")
    check(browser.reaches("h1", "change cover, shaft"), f"upgrade: {browser.url()}")
    browser.click_words("a", "Set 1, How to put together: cover, shaft, spacer" if "spacer" in browser.text("nav#next")
                        else "Set 1, How to put together: cover, shaft")
    check(browser.reaches("h1", "fits with work"), f"a set put together: {browser.url()}")
    browser.run("history.back()")
    check(browser.reaches("h1", "change cover"), "and back")
    browser.click_words("a", "Change the question")
    check(browser.reaches("h1", HEAD), "back to the unit")
    check(browser.run("return document.getElementById('place-cover').value") == "kestrel-cover-late",
          "the question is kept")
    browser.type("#place-shaft", "kestrel-shaft-late")
    browser.click_words("button", "How to put it together")
    check(browser.reaches("h1", "fits with work"), f"sheet: {browser.url()}")
    check("Have at hand" in browser.text(), "the sheet says what to have at hand")


def check_measure(browser, base):
    browser.go(base + address("/measure", "kestrel-head-late", REPLICA)[1:])
    check(browser.reaches("h1", "until 1 dimension is measured"), f"measure: {browser.url()}")
    browser.click_words("a", "Type in what was read")
    browser.type("#reading-0", "27 mm")
    browser.click_words("button", "Ask again with these")
    check(browser.reaches("h1", "no measurement would change that"), f"measured: {browser.url()}")
    check("given.shaft.ring-land.to=27" in browser.url(), "the reading stands in the address")
    browser.click_words("a", "Does it go in?")
    check(browser.reaches("h1", "fits with work"), f"with the reading: {browser.url()}")


def check_identify(browser, base):
    """One look after another, until nothing more tells them apart."""
    browser.go(base)
    browser.type("#of", "shaft")
    browser.click_words("button", "Find out")
    check(browser.reaches("h1", "left"), f"identify: {browser.url()}")
    for _ in range(4):
        tag = browser.run("const e = document.getElementById('look-0'); return e && e.tagName")
        if tag is None:
            break
        before = browser.url()
        if tag == "SELECT":
            browser.run("const e = document.getElementById('look-0'); e.selectedIndex = 1")
        else:
            browser.type("#look-0", "?")
        browser.click_words("button", "Go on")
        check(browser.leaves(before) and "seen." in browser.url(), f"a look leads on: {browser.url()}")
    check(browser.reaches("h1", "left"), f"identified: {browser.url()}")
    browser.go(base + address("/identify", of="bearing-cover", **{"seen.sensor.bore": "18.2 mm"})[1:])
    check(browser.reaches("h1", "left"), f"few are left: {browser.url()}")
    check("What is kestrel-cover-late-counter?" in browser.text("nav#next"), f"and lead on: {browser.text()[-300:]}")


def check_compare(browser, base):
    """Two parts picked; from there into the machine, and from a swap back to what differs."""
    browser.go(base)
    browser.type("#first", "kestrel-cover-early")
    browser.type("#second", "kestrel-cover-lat")
    browser.click_words("button", "What differs?")
    check(browser.reaches("pre", "kestrel-cover-late"), f"the nearest part: {browser.url()}")
    browser.type("#second", "e")  # behind what stands there still
    browser.click_words("button", "What differs?")
    check(browser.reaches("h1", "7 differences"), f"compare: {browser.url()}")
    check("2 mm out, from 14 mm to 16 mm" in browser.text(), "with numbers")
    browser.click_words("a", "Does kestrel-cover-late go into kestrel-head-early?")
    check(browser.reaches("h1", "does not fit"), f"into the machine: {browser.url()}")
    browser.click_words("a", "What differs in cover?")
    check(browser.reaches("h1", "7 differences"), f"and back: {browser.url()}")
    browser.go(base + PAGES["compare-units"][1:])
    browser.click_words("a", "What differs in shaft?")
    check(browser.reaches("h1", "differences") and "kestrel-shaft" in browser.url(), f"a place: {browser.url()}")


LISTING = "Output cover HK-2120, late pattern,\nfits Kestrel 120 2004-2012"


def check_listing(browser, base):
    """A listing pasted on the first page; its claims marked; mended, and asked again."""
    browser.go(base)
    browser.run("document.getElementById('words').value = arguments[0]", LISTING)
    browser.click_words("button", "Is it right?")
    check(browser.reaches("h1", "wrong"), f"a listing: {browser.url()}")
    marks = browser.run("return [...document.querySelectorAll('.said mark')].map(m => m.firstChild.data + '|' + m.className)")
    check("HK-2120|good" in marks and "2004-2012|bad" in marks, f"its claims are marked: {marks}")
    lines = browser.run("const r = document.createRange(), out = [];"
                        "for (const m of document.querySelectorAll('.said mark')) out.push(m.getBoundingClientRect().top);"
                        "return out.length > 1 && out[out.length - 1] > out[0] + 10")
    check(lines, "on the lines they were pasted in")
    browser.click(".said mark.bad a")
    check("#claim-" in browser.url(), f"a mark leads to its claim: {browser.url()}")
    check("ask for" in browser.text(".verdict").lower(), "what to ask the seller for")
    check(browser.run("return document.getElementById('words').value") == LISTING, "what was pasted is still there")
    browser.run("const t = document.getElementById('words'); t.value = t.value.replace('2004-2012', '2013-2020')")
    browser.click_words("button", "Is it right?")
    check(browser.reaches("h1", "ok"), f"a mended listing: {browser.url()}")
    keep_shot(browser, "listing-ok")
    browser.click_words("a", "What is kestrel-cover-late?")
    check(browser.reaches("h1", "kestrel-cover-late"), f"and leads on: {browser.url()}")
    browser.go(base + "listing")
    browser.run("document.getElementById('words').removeAttribute('maxlength');"
                "document.getElementById('words').value = 'cover '.repeat(4000)")
    browser.click_words("button", "Is it right?")
    check(browser.reaches("h1", "too long"), f"a listing that is too long: {browser.text()[:90]}")


def check_faults(browser, base):
    browser.go(base + address("/unit", HEAD)[1:])
    browser.type("#place-cover", "kestrel-cover-lat")
    browser.click_words("button", "Does it go in?")
    check(browser.reaches("h1", "at fault"), f"fault: {browser.url()}")
    check("kestrel-cover-late" in browser.text("pre"), "the nearest word is said")
    browser.click_words("a", "Change the question")
    check(browser.reaches("h1", HEAD), "back to the unit")
    check(browser.run("return document.getElementById('place-cover').value") == "kestrel-cover-lat",
          "what was typed is still there")
    browser.go(base + "nothing")
    check(browser.reaches("h1", "nothing at this address"), "an address that is none")
    browser.go(base + address("/why", HEAD, of="frobnicate")[1:])
    check(browser.reaches("pre", "frobnicate"), "a row that is none")


def focus(browser):
    return browser.run("const e = document.activeElement;"
                       "return (e.id || e.textContent.trim().split('\\n')[0] || e.tagName)")


def tab_to(browser, wanted, most=60):
    for _ in range(most):
        browser.press("Tab")
        if focus(browser) == wanted:
            return True
    return False


def check_keyboard(browser, base):
    """From the first page to an answer and its chain, without a pointer."""
    browser.go(base)
    browser.press("Tab")
    check(focus(browser) == "To the content", f"the first stop skips the head: {focus(browser)}")
    visible = browser.run("const b = document.activeElement.getBoundingClientRect(); return b.left >= 0")
    check(visible, "and is seen")
    browser.press("Enter")
    check(tab_to(browser, "find"), "the field is reached")
    outline = browser.run("return getComputedStyle(document.activeElement).outlineStyle")
    check(outline == "solid", f"focus is seen: {outline}")
    browser.write("late")
    before = browser.url()
    browser.press("Enter")
    check(browser.leaves(before) and browser.reaches("ul.units", "late") and "early" not in browser.text("ul.units"), "units are found")
    check(tab_to(browser, "kestrel-head-late"), "the unit is reached")
    browser.press("Enter")
    check(browser.reaches("h1", "kestrel-head-late"), "its page comes")
    check(tab_to(browser, "place-shaft"), "the place is reached")
    browser.write("kestrel-shaft-replica")
    browser.press("Enter")
    check(browser.reaches("h1", "not known"), f"asked: {browser.url()}")
    check(tab_to(browser, "What to measure", 200), "the next question is reached")
    browser.press("Enter")
    check(browser.reaches("h1", "until 1 dimension"), f"what to measure: {browser.url()}")
    check(tab_to(browser, "reading-0", 200), "the reading is reached")
    browser.write("27 mm")
    browser.press("Enter")
    check(browser.reaches("h1", "no measurement would change that"), f"measured: {browser.url()}")
    summary = browser.run("return document.querySelector('.chain > summary').textContent.trim()")
    check(tab_to(browser, summary, 200), "the chain is reached")
    browser.press("Enter")
    check(browser.run("return document.querySelector('.chain').open"), "and opens")


def check_width(browser, base, width):
    for name, path in PAGES.items():
        browser.go(base + path[1:])
        browser.run("for (const d of document.querySelectorAll('details')) d.open = true")
        wide = browser.run("return document.documentElement.scrollWidth")
        check(wide <= width, f"{name}: {wide} wide at {width}")
        small = browser.run(
            "return [...document.querySelectorAll('button,input:not([type=hidden]),summary')]"
            ".filter(e => e.getBoundingClientRect().height < 24 && e.type != 'checkbox').length")
        check(small == 0, f"{name}: {small} targets below 24 pixels (WCAG 2.2, 2.5.8)")
        keep_shot(browser, f"{name}-{width}")


def keep_shot(browser, name):
    folder = os.environ.get("WHYFIT_SHOTS")
    if folder:
        with open(os.path.join(folder, name + ".png"), "wb") as file:
            file.write(base64.b64decode(browser.screenshot()))


def check_paper(browser, base):
    """On A4 and Letter: the whole report, without what only a screen needs."""
    for name in ("swap", "sheet"):
        browser.go(base + PAGES[name][1:])
        for paper, size in (("a4", (21.0, 29.7)), ("letter", (21.59, 27.94))):
            pdf = base64.b64decode(browser.print(*size))
            check(pdf.startswith(b"%PDF") and len(pdf) > 10000, f"{name} on {paper}")
            if os.environ.get("WHYFIT_SHOTS"):
                with open(os.path.join(os.environ["WHYFIT_SHOTS"], f"{name}-{paper}.pdf"), "wb") as file:
                    file.write(pdf)


def check_requests(browser, base):
    """A page fetches its style sheet and nothing else, and the browser has nothing to complain of."""
    browser.go(base + PAGES["swap"][1:])
    fetched = browser.run("return performance.getEntriesByType('resource').map(e => e.name)")
    check(fetched == [base + "style.css"], f"fetched: {fetched}")
    check(browser.run("return document.scripts.length") == 0, "no scripts")
    check(browser.run("return getComputedStyle(document.querySelector('.verdict')).borderLeftStyle") == "solid",
          "the style sheet is taken")


def fetch_axe():
    """The text of axe-core; None where it cannot be had."""
    script = os.path.join(SCRATCH, "npm/node_modules/axe-core/axe.min.js")
    if not os.path.exists(script) and shutil.which("npm"):
        os.makedirs(os.path.join(SCRATCH, "npm"), exist_ok=True)
        try:
            subprocess.run(["npm", "install", "--prefix", os.path.join(SCRATCH, "npm"), "--no-save",
                            "--ignore-scripts", "--no-audit", "--no-fund", AXE],
                           capture_output=True, timeout=90, check=False)
        except subprocess.TimeoutExpired:
            pass
    if not os.path.exists(script):
        return None
    with open(script, encoding="utf-8") as file:
        return file.read()


def check_accessibility(browser, base):
    axe = fetch_axe()
    if axe is None:
        print("accessibility rules: skipped, axe-core cannot be had from npm")
        return
    for name, path in PAGES.items():
        browser.go(base + path[1:])
        browser.run(axe)
        found = browser.run_async(
            "const done = arguments[arguments.length - 1];"
            "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})"
            ".then(r => done(r.violations.map(v => v.id + ': ' + v.nodes.slice(0, 2).map(n => n.html).join(' | '))),"
            " e => done([String(e)]))")
        check(not found, f"{name}: {found}")


def main():
    programs = find_programs()
    if programs is None:
        print("skipped: chromium and its driver are not here (Debian: chromium chromium-driver)")
        return 77
    server = Server(WHYFIT, *demo(ROOT, "mower", "pump", "listings"), "--threads", "2", "--seconds", "600")
    driver = Driver(programs[0])
    try:
        wide = Browser(driver, programs[1])
        parts = [check_swap, check_measure, check_identify, check_compare, check_listing, check_faults, check_keyboard, check_requests]
        if os.environ.get("WHYFIT_BROWSER") == "long":
            parts += [check_paper, check_accessibility]
        for part in parts:
            part(wide, server.address)
        if os.environ.get("WHYFIT_SHOTS"):
            check_width(wide, server.address, 1280)
        wide.close()
        narrow = Browser(driver, programs[1], 360, 780)
        check_width(narrow, server.address, 360)
        narrow.close()
    finally:
        driver.stop()
        status, errors = server.stop()
    check(status == 0 and errors == "", f"exit {status} {errors}")
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 50 else 1


sys.exit(main())
