# SPDX-License-Identifier: MIT
"""Starts `whyfit serve` on a free port of this machine, and asks it; ends only what it started."""
import http.client
import os
import signal
import socket
import subprocess
import urllib.parse


class Server:
    def __init__(self, whyfit, *arguments):
        self.process = subprocess.Popen(
            [whyfit, "serve", "--listen", "127.0.0.1:0", *arguments],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.address = self.process.stdout.readline().strip()
        if not self.address:
            raise RuntimeError(self.process.stderr.read())
        self.port = urllib.parse.urlsplit(self.address).port

    def ask(self, path, method="GET", headers=None, body=None):
        """Status, headers and bytes of one request on a connection of its own."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        try:
            connection.request(method, path, body=body, headers=headers or {})
            reply = connection.getresponse()
            return reply.status, reply.headers, reply.read()
        finally:
            connection.close()

    def raw(self, sent, wait=30, close=False):
        """What comes back for bytes as they are, up to the end of the connection."""
        got = b""
        with socket.create_connection(("127.0.0.1", self.port), timeout=wait) as wire:
            try:
                wire.sendall(sent)
                if close:
                    wire.shutdown(socket.SHUT_WR)
            except OSError:
                pass  # it was closed meanwhile; what it said may still be there
            try:
                while chunk := wire.recv(65536):
                    got += chunk
            except ConnectionError:
                pass
        return got

    def stop(self, which=signal.SIGTERM):
        """Its exit status, and what it said on standard error."""
        self.process.send_signal(which)
        try:
            _, errors = self.process.communicate(timeout=60)
        except subprocess.TimeoutExpired:
            self.process.kill()
            return None, ""
        return self.process.returncode, errors


def address(path, unit=None, put=None, given=None, **more):
    """/swap?unit=…&put.cover=…"""
    pairs = [("unit", unit)] if unit else []
    pairs += [(f"put.{name}", value) for name, value in (put or {}).items()]
    pairs += [(f"given.{name}", value) for name, value in (given or {}).items()]
    pairs += list(more.items())
    return path + ("?" + urllib.parse.urlencode(pairs) if pairs else "")


def demo(root, *machines):
    return [word for machine in machines
            for word in ("--with", os.path.join(root, "demo", machine))]
