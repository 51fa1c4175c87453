#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The page for the counter as a client meets it: serve.py WHYFIT ROOT [few].

With `few` the questions that take long are left out, for builds that are slow.

Addresses, forms of answers, headers, what is wrong with a request, and how it stops."""
import html
import json
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.parse

from html_check import Page, whole_page_faults
from server import Server, address, demo

WHYFIT, ROOT = sys.argv[1:3]
FEW = sys.argv[3:] == ["few"]
LONG = ("/upgrade", "/measure", "sweep")
DEMO = demo(ROOT, "mower", "pump", "listings")
LATE = {"cover": "kestrel-cover-late"}
BOTH = {"cover": "kestrel-cover-late", "shaft": "kestrel-shaft-late"}
HEAD = "kestrel-head-early"
REPLICA = {"shaft": "kestrel-shaft-replica"}

failed = passed = 0


def check(good, words):
    global failed, passed
    passed += bool(good)
    failed += not good
    if not good:
        print("FAILED", words)


def command_line(*words):
    return subprocess.run([WHYFIT, *words, *DEMO], capture_output=True, timeout=300, check=False).stdout


def places(put):
    return [f"{place}={part}" for place, part in put.items()]


# ---- what there is at the addresses

def check_pages(server):
    pages = {
        "/": "Which machine",
        address("/", find="early"): "kestrel-head-early",
        address("/unit", HEAD): "kestrel-cover-early",
        address("/unit", HEAD, LATE): "kestrel-cover-late",
        address("/show", word="kestrel-cover-late"): "part kestrel-cover-late",
        address("/swap", HEAD, LATE): "does not fit",
        address("/swap", HEAD, BOTH): "fits with work",
        address("/swap", HEAD): "fits",
        address("/swap", HEAD, LATE, **{"sweep.shaft.hub-spline.from": "18..30 mm/2"}): "in 2 steps",
        address("/leaks", "otter-frame-early", {"seal": "none"}): "leaks",
        address("/upgrade", HEAD, LATE, most="1", changes="2"): "change cover, shaft",
        address("/upgrade", HEAD, toward="kestrel-head-late", tries="9"): "differences can be had",
        address("/measure", "kestrel-head-late", REPLICA): "until 1 dimension",
        address("/sheet", HEAD, BOTH): "Have at hand",
        address("/identify", of="shaft"): "look next",
        address("/identify", of="shaft", **{"seen.hub-spline.teeth": "31"}): "left",
        address("/identify", of="units"): "left",
        address("/compare", "kestrel-cover-early", toward="kestrel-cover-late"): "7 differences",
        address("/compare", HEAD, toward="kestrel-head-late"): "Checks, each asked of its own unit",
        "/show?word=shaft": "What to measure of any shaft",
        "/show?word=kestrel-cover-late": "It sits in kestrel-head-late",
        "/measure?unit=shaft": "measuring sheet of a shaft",
        "/listing": "Paste what a seller writes",
        "/compare": "What differs between two?",
        "/compare?unit=kestrel-cover-early": "kestrel-cover-early",
        address("/why", HEAD, LATE, of="o-ring-needs-a-land: outcome=fails"): "1 row of",
        address("/why-not", "kestrel-head-late", REPLICA, of="o-ring-needs-a-land: outcome=fails"): "not there",
    }
    for path, words in pages.items():
        if FEW and any(word in path for word in LONG):
            continue
        status, headers, body = server.ask(path)
        check(status == 200, f"{path}: {status}")
        check(headers["Content-Type"] == "text/html; charset=utf-8", f"{path}: {headers['Content-Type']}")
        page, faults = whole_page_faults(body.decode())
        check(not faults, f"{path}: {faults[:4]}")
        check(words.lower() in page.text().lower() or f'value="{words}"' in body.decode(),
              f"{path} does not say {words}")
        check_links(server, page)


seen = set()


def check_links(server, page):
    """Every link and form of a page leads somewhere of ours."""
    for link in page.links:
        if link.startswith("/") and link not in seen and len(seen) < (4 if FEW else 20):
            seen.add(link)
            status, _, _ = server.ask(link)
            check(status in (200, 400, 422), f"{link}: {status}")
            # a form's address without its fields, and a search without a goal, are at fault
            check(status == 200 or "?" not in link or link.startswith("/upgrade"), f"{link}: {status}")


def check_json(server):
    """The bytes of the command line."""
    questions = [
        (address("/swap", HEAD, LATE), ["swap", HEAD, *places(LATE)]),
        (address("/swap", HEAD, {"bearing": "another"}), ["swap", HEAD, "bearing=another"]),
        (address("/leaks", "otter-frame-early", {"seal": "none"}), ["leaks", "otter-frame-early", "seal=none"]),
        (address("/measure", "kestrel-head-late", REPLICA, gauges="caliper"),
         ["measure", "kestrel-head-late", *places(REPLICA), "--gauges", "caliper"]),
        (address("/identify", of="shaft", **{"seen.hub-spline.teeth": "31", "hint.year": "1998"}),
         ["identify", "shaft", "--seen", "hub-spline.teeth=31", "--hint", "year=1998"]),
        (address("/sheet", HEAD, BOTH), ["sheet", HEAD, *places(BOTH)]),
        (address("/upgrade", HEAD, LATE, have="kestrel-shaft-late", tries="20"),
         ["upgrade", HEAD, "--want", *places(LATE), "--have", "kestrel-shaft-late", "--tries", "20"]),
        ("/show?word=kestrel-cover-late", ["show", "kestrel-cover-late"]),
        ("/measure?unit=shaft", ["measure", "--kind", "shaft"]),
        (address("/compare", "kestrel-cover-early", toward="kestrel-cover-late"),
         ["compare", "kestrel-cover-early", "kestrel-cover-late"]),
        (address("/why", HEAD, LATE, of="gap"), ["why", HEAD, *places(LATE), "--of", "gap"]),
        (address("/swap", "kestrel-head-late", REPLICA, {"shaft.ring-land.to": "27 mm"}),
         ["swap", "kestrel-head-late", *places(REPLICA), "--given", "shaft.ring-land.to=27 mm"]),
        (address("/swap", "kestrel-head-late", REPLICA, name="shaft.ring-land.to", value="27 mm"),
         ["swap", "kestrel-head-late", *places(REPLICA), "--given", "shaft.ring-land.to=27 mm"]),
    ]
    for path, words in questions[:1] if FEW else questions:
        wanted = command_line(*words, "--format", "json")
        for how in ({"path": path + "&format=json"}, {"path": path, "headers": {"Accept": "application/json"}}):
            status, headers, body = server.ask(**how)
            check(status == 200 and headers["Content-Type"] == "application/json", f"{path}: {status}")
            check(body == wanted, f"{path}: not the bytes of {words}")
    status, _, body = server.ask(questions[0][0] + "&format=text")
    check(body == command_line(*questions[0][1]), "text is as on the command line")
    status, headers, body = server.ask(questions[0][0] + "&format=report")
    check(body == command_line(*questions[0][1], "--format", "html"), "a report is as on the command line")
    check("attachment" in headers["Content-Disposition"], "a report is kept")
    check(server.ask("/", headers={"Accept": "application/json"})[2] == command_line("show", "units", "--format", "json"),
          "the units as JSON")


def check_post(server):
    kind = {"Content-Type": "application/json"}
    question = json.dumps({"command": "swap", "unit": HEAD, "changes": LATE})
    status, _, body = server.ask("/ask", "POST", kind, question)
    check(status == 200 and body == command_line("swap", HEAD, *places(LATE), "--format", "json"), f"POST: {status}")
    wrong = [
        (415, {"Content-Type": "text/plain"}, question),
        (415, {}, question),
        (415, kind | {"Content-Encoding": "gzip"}, question),
        (400, kind, ""),
        (422, kind, "{"),
        (422, kind, "[]"),
        (422, kind, '{"unit": 3}'),
        (422, kind, '{"unit": "no-such-unit"}'),
        (422, kind, b"\xff\xfe"),
        (422, kind, "[" * 60000),
        (413, kind, " " * 70000),
    ]
    for code, headers, sent in wrong:
        status, _, body = server.ask("/ask", "POST", headers, sent)
        check(status == code, f"POST {str(sent)[:40]}: {status}, not {code}")
        check(b"error" in body, f"POST {str(sent)[:40]} says {body[:80]}")
    status, headers, _ = server.ask("/ask")
    check(status == 405 and headers["Allow"] == "POST", f"GET /ask: {status}")


LISTING = """Kestrel output cover HK-2120, late pattern with vent.
Fits Kestrel 120 2004-2012. Sensor hole 18.2 mm <script>alert(1)</script> & "x" 'y'
\u00c4hnlich wie neu \u2013 \u00a345"""
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
PLAIN = {"Content-Type": "text/plain; charset=utf-8"}


def form_of(words):
    return urllib.parse.urlencode({"words": words})


def listed(words, *more):
    return subprocess.run([WHYFIT, "listing", "-", *more, *DEMO], input=words.encode(), capture_output=True,
                          timeout=300, check=False).stdout


def check_listing(server):
    """Pasted as a form or as text: the page, and the bytes of the command line."""
    status, headers, body = server.ask("/listing", "POST", FORM, form_of(LISTING))
    check(status == 200 and headers["Content-Type"] == "text/html; charset=utf-8", f"a listing: {status}")
    page, faults = whole_page_faults(body.decode())
    check(not faults, f"a listing: {faults[:4]}")
    check(b"<script" not in body, "a listing brings no script")
    data = json.loads(listed(LISTING, "--format", "json"))
    check(len(data["claims"]) > 6 and data["verdict"] == "wrong", f"a listing has claims: {data}")
    written = LISTING.encode()
    for number, claim in enumerate(data["claims"], 1):
        span = written[claim["start"]:claim["end"]].decode()
        marked = f'id="said-{number}">{html.escape(span, quote=True).replace("&#x27;", "&#39;")}<a'
        check(marked in body.decode(), f"{claim['span']} is marked in the text")
        check(f"{number} {span}" in page.text() and claim["judgement"] in page.text(), f"and told of: {claim}")
        check(" ".join(claim.get("why", "").split()) in page.text(), f"with its reason: {claim}")
    for name in ("because", "ask", "fits", "verdict"):
        check(" ".join(data[name].split()) in page.text(), f"{name}: {data[name]}")
    check(any("/show?word=kestrel-cover-late" == link for link in page.links), "and leads on")
    for link in page.links:
        check(not link.startswith("/") or server.ask(link)[0] == 200, f"a listing leads to {link}")
    as_sent = [("/listing?format=json", FORM, form_of(LISTING.replace("\n", "\r\n")), ["--format", "json"]),
               ("/listing?format=text", FORM, form_of(LISTING), []),
               ("/listing", PLAIN | {"Accept": "application/json"}, LISTING.encode(), ["--format", "json"]),
               ("/listing?format=report", PLAIN, LISTING.encode(), ["--format", "html"])]
    for path, headers, sent, words in as_sent:
        status, got, body = server.ask(path, "POST", headers, sent)
        check(status == 200 and body == listed(LISTING, *words), f"POST {path}: not the bytes of {words}")
    check("attachment" in got["Content-Disposition"], "a report of a listing is kept")


def check_hostile_listings(server):
    form, text = "/listing", "/listing?format=text"
    for code, path, headers, sent in (
            (415, form, {}, "words=cover"), (415, form, {"Content-Type": "multipart/form-data; boundary=x"}, "--x"),
            (415, form, {"Content-Type": "application/json"}, "{}"), (415, form, FORM | {"Content-Encoding": "gzip"}, "words=a"),
            (415, form, {"Content-Type": "text/html"}, "cover"), (400, form, FORM, ""), (400, form, FORM, "words="),
            (400, form, FORM, "words=%0D%0A+%09"), (400, form, FORM, "words=a&words=b"), (400, form, FORM, "unit=a"),
            (400, form, FORM, "words=a&x=b"), (400, form, FORM, "words"), (400, form, FORM, "words=%zz"),
            (400, form, FORM, "words=%ff"), (400, form, FORM, "words=%c0%af"), (400, form, FORM, "words=%ed%a0%80"),
            (400, form, FORM, "words=a%00b"), (400, form, FORM, b"words=a\x00b"), (400, form, FORM, "words=%1b%5b31m"),
            (400, form, FORM, b"words=\xff\xfe"), (400, form, FORM, "&" * 60000), (400, form, FORM, "words=a" + "&b=c" * 15000),
            (413, form, FORM, "words=" + "a" * 16385), (413, form, FORM, "words=" + "%C3%A4" * 8193),
            (413, form, FORM, "words=" + "a" * 70000), (400, text, PLAIN, b"cover \xe4"), (400, text, PLAIN, b"\x00"),
            (400, text, PLAIN, b""), (400, text, PLAIN, b" \n\t"), (413, text, PLAIN, b"a" * 16385),
            (400, text, PLAIN, b"cover \xf0\x9f"), (400, "/listing?format=xml", PLAIN, b"a"),
            (403, form, FORM | {"Sec-Fetch-Site": "cross-site"}, "words=cover"),
            (403, form, FORM | {"Sec-Fetch-Site": "same-site"}, "words=cover"),
            (405, "/swap", FORM, "words=cover"), (415, "/ask", PLAIN, b"{}")):
        status, _, body = server.ask(path, "POST", headers, sent)
        # what is wrong with the body is found before anybody asks whether the address takes any
        check(status == code or (path == "/swap" and status == 415), f"POST {path} {str(sent)[:40]}: {status}, not {code}")
        check(len(body) > 30, f"POST {path} {str(sent)[:40]}: no sentence")
        if path == form:
            page, faults = whole_page_faults(body.decode())
            check(not faults and b"<script" not in body, f"POST {str(sent)[:40]}: {faults[:3]}")
    for sent in ("words=" + "a" * 16384, "words=" + "2004-2012+" * 1600, "words=" + "fits+Kestrel+120+" * 900,
                 "words=" + "%C3%A4" * 8192, "words=" + "<" * 16384, "words=" + "%0D%0A" * 5000 + "cover",
                 "words=" + "HK-2120+cover+18.2+mm+x+3/4+" * 500):
        begun = time.monotonic()
        status, _, body = server.ask(form, "POST", FORM, sent)
        page, faults = whole_page_faults(body.decode())
        check(status == 200 and not faults, f"a long listing {sent[:30]}: {status} {faults[:2]}")
        check(time.monotonic() - begun < 60, f"a long listing {sent[:30]} takes {time.monotonic() - begun:.1f} s")
    check(server.ask(form, "POST", FORM | {"Sec-Fetch-Site": "same-origin"}, "words=cover")[0] == 200, "our own page may")
    status, headers, _ = server.ask("/listing", "PUT")
    check(status == 405, f"PUT /listing: {status}")


# ---- headers

def check_headers(server):
    for path in ("/", "/style.css", "/nothing", address("/swap", HEAD, LATE), "/swap?x", "/ask"):
        _, headers, _ = server.ask(path)
        policy = headers["Content-Security-Policy"]
        check("default-src 'none'" in policy and "unsafe" not in policy, f"{path}: {policy}")
        check(headers["X-Content-Type-Options"] == "nosniff", f"{path}: nosniff")
        check(headers["Referrer-Policy"] == "no-referrer", f"{path}: referrer")
        check(headers["Cache-Control"] == "no-store", f"{path}: cache")
        check(headers["Server"] is None, f"{path}: {headers['Server']}")
    get = server.ask(address("/swap", HEAD, LATE))
    head = server.ask(address("/swap", HEAD, LATE), "HEAD")
    check(head[2] == b"" and head[1]["Content-Length"] == get[1]["Content-Length"], "HEAD is GET without its body")
    status, headers, body = server.ask("/style.css")
    check(status == 200 and headers["Content-Type"].startswith("text/css") and b"@media print" in body, "style")


# ---- what is wrong with a request

def code_of(reply):
    return int(reply[9:12]) if reply.startswith(b"HTTP/1.1 ") else 0


def check_faults(server):
    for path, code in (
            ("/nothing", 404), ("/swap/", 404), ("/../etc/passwd", 400), ("/..%2f..%2fetc/passwd", 400),
            ("/.git/config", 400), ("//etc/passwd", 400), ("/style.css/../../x", 400), ("/%2e%2e/", 400),
            ("/swap", 400), ("/swap?unit=%zz", 400), ("/swap?unit=%", 400), ("/swap?unit=%e4", 400),
            ("/swap?unit=%c0%af", 400), ("/swap?unit=%ed%a0%80", 400), ("/swap?unit=a%00b", 400),
            ("/swap?unit=a%0ab", 400), ("/swap?unit", 400), ("/swap?unit=a&unit=b", 400),
            ("/swap?unit=kestrel-head-early&frobnicate=1", 400), ("/swap?unit=kestrel-head-early&format=xml", 400),
            ("/swap?unit=kestrel-head-early&allow=fire", 400), ("/swap?unit=kestrel-head-early&most=-1", 400),
            ("/swap?unit=kestrel-head-early&most=9999999999999999999999", 400),
            ("/swap?unit=kestrel-head-early&name=x&value=", 400),
            ("/leaks?unit=kestrel-head-early&sweep.a.b=1..2", 400),
            ("/swap?unit=no-such-unit", 422), ("/swap?unit=kestrel-head-early&put.no-place=x", 422),
            ("/swap?unit=kestrel-head-early&put.cover=no-such-part", 422),
            ("/swap?unit=kestrel-head-early&given.shaft=x", 422),
            ("/swap?unit=kestrel-head-early&given.a.b.c.d=1%20mm", 422),
            ("/compare?unit=kestrel-cover-early&toward=no-such-part", 422),
            ("/compare?unit=kestrel-cover-early&toward=kestrel-head-late", 422),
            ("/compare?unit=%3Cb%3E&toward=%22%3E%3Cscript%3E", 422), ("/compare?unit=a&toward=b&toward=c", 400),
            ("/compare?unit=kestrel-cover-early&toward=kestrel-cover-late&put.cover=x", 422),
            ("/why?unit=kestrel-head-early", 422), ("/why?unit=kestrel-head-early&of=:::", 422),
            ("/identify", 422), ("/identify?of=no-such-kind", 422), ("/identify?of=shaft&seen.x=", 200),
            ("/identify?of=shaft&seen.no-such.field=3", 422),
            ("/unit", 400), ("/unit?unit=no-such-unit", 404), ("/show", 400), ("/show?word=no-such-word", 422),
            ("/swap?unit=" + "a" * 7000, 422), ("/swap?unit=" + "a" * 9000, 414),
            ("/swap?" + "&".join(["put.a=b"] * 65), 400), ("/swap?" + "&".join(["have=b"] * 200), 400),
            ("/swap?unit=<script>alert(1)</script>", 422)):
        status, headers, body = server.ask(path.replace("<", "%3C").replace(">", "%3E"))
        check(status == code, f"{path[:60]}: {status}, not {code}")
        page, faults = whole_page_faults(body.decode())
        check(not faults, f"{path[:60]}: {faults[:3]}")
        check(b"<script" not in body, f"{path[:60]}: a script")
        check(len(page.text()) > 30, f"{path[:60]}: no sentence")
    status, headers, body = server.ask("/swap?unit=no-such-unit&format=json")
    check(status == 422 and "error" in json.loads(body), "a fault as JSON")
    status, headers, body = server.ask('/swap?unit=a&"=1&format=json')
    check(status == 400 and "error" in json.loads(body), f"a quote in a fault: {status} {body[:90]}")
    near = server.ask("/swap?unit=kestrel-head-earl")[2].decode()
    check("kestrel-head-early" in Page(near).text(), "the nearest word")
    for method in ("PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "FOO"):
        status, headers, _ = server.ask("/", method)
        check(status == 405 and headers["Allow"], f"{method}: {status}")
    status, _, _ = server.ask("/", "GET", {"Content-Length": "3"}, b"abc")
    check(status == 400, f"GET with a body: {status}")


def check_hosts(server):
    port = server.port
    for host, code in ((f"127.0.0.1:{port}", 200), (f"localhost:{port}", 200), (f"LOCALHOST:{port}", 200),
                       (f"[::1]:{port}", 200), (f"counter.example:{port}", 200), ("127.0.0.1", 421),
                       (f"evil.example:{port}", 421), ("127.0.0.1:1", 421), (f"127.0.0.1.evil.example:{port}", 421),
                       ("", 421), ("127.0.0.1:99999", 421), (f"user@127.0.0.1:{port}", 421), ("[::1", 421)):
        reply = server.raw(f"GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n".encode())
        check(code_of(reply) == code, f"Host {host}: {reply[:30]}")
    for sent in ("GET / HTTP/1.1\r\nConnection: close\r\n\r\n",
                 "GET / HTTP/1.0\r\n\r\n",
                 f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nHost: evil.example\r\nConnection: close\r\n\r\n"):
        reply = server.raw(sent.encode())
        check(code_of(reply) == 400, f"{sent!r}: {reply[:30]}")


def check_wire(server):
    """Bytes that no client of good manners sends: an answer of 4xx or a closed connection, and it lives on."""
    host = f"Host: 127.0.0.1:{server.port}\r\n"
    hostile = {
        "a huge header": f"GET / HTTP/1.1\r\n{host}X: {'a' * 100000}\r\n\r\n".encode(),
        "many headers": f"GET / HTTP/1.1\r\n{host}".encode() + b"X: y\r\n" * 20000 + b"\r\n",
        "a huge address": f"GET /{'a' * 100000} HTTP/1.1\r\n{host}\r\n".encode(),
        "no version": b"GET /\r\n\r\n",
        "another protocol": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        "zero bytes": b"\x00" * 1000,
        "a line feed in the address": f"GET /\n HTTP/1.1\r\n{host}\r\n".encode(),
        "raw bytes in the address": f"GET /swap?unit=\xff\xfe HTTP/1.1\r\n{host}\r\n".encode("latin-1"),
        "two lengths": f"POST /ask HTTP/1.1\r\n{host}Content-Type: application/json\r\nContent-Length: 2\r\n"
                       f"Content-Length: 40\r\n\r\n{{}}GET /evil HTTP/1.1\r\n\r\n".encode(),
        "length and chunks": f"POST /ask HTTP/1.1\r\n{host}Content-Type: application/json\r\nContent-Length: 2\r\n"
                             "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n".encode(),
        "a bad length": f"POST /ask HTTP/1.1\r\n{host}Content-Type: application/json\r\nContent-Length: -2\r\n\r\n".encode(),
        "a huge length": f"POST /ask HTTP/1.1\r\n{host}Content-Type: application/json\r\n"
                         "Content-Length: 99999999999999999999\r\n\r\n".encode(),
        "a bad chunk": f"POST /ask HTTP/1.1\r\n{host}Content-Type: application/json\r\n"
                       "Transfer-Encoding: chunked\r\n\r\nzz\r\n".encode(),
        "half a body": f"POST /ask HTTP/1.1\r\n{host}Content-Type: application/json\r\nContent-Length: 50\r\n\r\n{{".encode(),
        "half a request": f"GET / HTTP/1.1\r\n{host}".encode(),
    }
    for name, sent in hostile.items():
        reply = server.raw(sent, close=True)
        code = code_of(reply)
        check(code == 0 or 400 <= code < 500 or code in (501, 505), f"{name}: {reply[:60]}")
        check(b"/evil" not in reply, f"{name}: a second request was read out of the first")
        check(server.ask("/style.css")[0] == 200, f"{name}: it lives on")


def check_pipelining(server):
    host = f"Host: 127.0.0.1:{server.port}\r\n"
    one = f"GET /style.css HTTP/1.1\r\n{host}\r\n"
    last = f"GET /nothing HTTP/1.1\r\n{host}Connection: close\r\n\r\n"
    reply = server.raw((one + one + last).encode())
    check(reply.count(b"HTTP/1.1 200") == 2 and reply.count(b"HTTP/1.1 404") == 1, "three in a row are answered in order")
    check(reply.rindex(b"HTTP/1.1 404") > reply.rindex(b"HTTP/1.1 200"), "in order")


def check_slow(server):
    """A request that comes byte by byte, and one that never ends, hold nobody up."""
    slow = socket.create_connection(("127.0.0.1", server.port), timeout=60)
    never = [socket.create_connection(("127.0.0.1", server.port), timeout=60) for _ in range(20)]
    for wire in never:
        wire.sendall(b"GET / HTTP/1.1\r\nHo")
    sent = f"GET /style.css HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nConnection: close\r\n\r\n".encode()
    for at in range(0, len(sent), 8):
        slow.sendall(sent[at:at + 8])
        time.sleep(0.02)
    begun = time.monotonic()
    check(server.ask("/style.css")[0] == 200 and time.monotonic() - begun < 5, "others are served meanwhile")
    check(slow.recv(100).startswith(b"HTTP/1.1 200"), "slow but whole")
    slow.close()
    for wire in never:
        wire.close()


def check_many():
    """More at once than there are threads and places in the queue: each is answered, or told to come back."""
    server = Server(WHYFIT, *DEMO, "--threads", "2", "--seconds", "600")
    codes = []
    lock = threading.Lock()

    def one():
        code = server.ask(address("/swap", HEAD, LATE, format="json"))[0]
        with lock:
            codes.append(code)

    many = 12 if FEW else 48
    threads = [threading.Thread(target=one) for _ in range(many)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    check(len(codes) == many and set(codes) <= {200, 503} and codes.count(200) >= many // 2, f"{sorted(codes)}")
    check(server.stop()[0] == 0, "it stops after a rush")


def check_limits():
    """A question that takes too long is given up."""
    server = Server(WHYFIT, *DEMO, "--seconds", "1", "--threads", "1")
    path = address("/swap", HEAD, LATE, **{"sweep.shaft.hub-spline.from": "18..30 mm/1000", "format": "json"})
    begun = time.monotonic()
    status, headers, body = server.ask(path)
    check(status == 503 and headers["Retry-After"], f"too long: {status} {body[:100]}")
    check(time.monotonic() - begun < 30, "given up in time")
    check(server.ask("/style.css")[0] == 200, "it lives on")
    check(server.stop()[0] == 0, "it stops")


# ---- starting and stopping

def check_stop():
    for which in (signal.SIGTERM, signal.SIGINT):
        server = Server(WHYFIT, *DEMO, "--threads", "1", "--seconds", "600")
        got = []
        path = address("/swap", HEAD, LATE, **{"format": "json"} if FEW else {"sweep.shaft.hub-spline.from": "18..30 mm/6", "format": "json"})
        asking = threading.Thread(target=lambda s=server, p=path: got.append(s.ask(p)))
        asking.start()
        idle = socket.create_connection(("127.0.0.1", server.port))
        time.sleep(0.3)
        status, errors = server.stop(which)
        asking.join()
        idle.close()
        check(status == 0 and errors == "", f"{which}: exit {status} {errors}")
        check(got and got[0][0] == 200 and json.loads(got[0][2]), f"{which}: what was asked is answered")


def check_start():
    cases = [
        (["serve", "word"], 2, "takes no words"),
        (["serve", "--listen", "nowhere"], 5, "no address"),
        (["serve", "--listen", "127.0.0.1:99999"], 5, "no address"),
        (["serve", "--listen", "127.0.0.1:x"], 5, "no address"),
        (["serve", "--listen", "192.0.2.1:0"], 5, "listen there"),
        (["serve", "--seconds", "0"], 2, "seconds"),
        (["serve", "--format", "html"], 2, "no report"),
    ]
    for words, code, said in cases:
        answer = subprocess.run([WHYFIT, *words], capture_output=True, text=True, timeout=60, check=False)
        check(answer.returncode == code and said in answer.stderr, f"{words}: {answer.returncode} {answer.stderr}")
    open_to_all = subprocess.Popen([WHYFIT, "serve", "--listen", "0.0.0.0:0"], stdout=subprocess.PIPE,
                                   stderr=subprocess.PIPE, text=True)
    line = open_to_all.stdout.readline()
    open_to_all.send_signal(signal.SIGTERM)
    _, errors = open_to_all.communicate(timeout=60)
    check(line.startswith("http://0.0.0.0:") and "warning" in errors, f"open to all: {line} {errors}")


def main():
    server = Server(WHYFIT, *DEMO, "--name", "counter.example", "--threads", "2", "--seconds", "600")
    try:
        for part in (check_pages, check_json, check_post, check_listing, check_hostile_listings, check_headers, check_faults, check_hosts, check_wire,
                     check_pipelining, check_slow):
            part(server)
    finally:
        status, errors = server.stop()
    check(status == 0 and errors == "", f"exit {status}: {errors[:500]}")
    for part in (check_many, check_limits, check_stop, check_start):
        part()
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > (300 if FEW else 400) else 1


sys.exit(main())
