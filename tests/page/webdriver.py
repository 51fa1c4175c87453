# SPDX-License-Identifier: MIT
"""A browser without a screen, driven by the W3C WebDriver protocol; ends only what it started."""
import http.client
import json
import re
import shutil
import subprocess
import tempfile
import time

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # W3C WebDriver, section 12.1
KEYS = {"Tab": "\uE004", "Enter": "\uE007", "Shift": "\uE008", "Space": " ", "Down": "\uE015"}
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync"]


def find_programs():
    """The driver and the browser; None where one is missing."""
    driver = shutil.which("chromedriver")
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    return (driver, browser) if driver and browser else None


class Driver:
    def __init__(self, program):
        self.process = subprocess.Popen([program, "--port=0"], stdout=subprocess.PIPE,
                                        stderr=subprocess.DEVNULL, text=True)
        self.sessions = []
        self.port = None
        while self.port is None:
            line = self.process.stdout.readline()
            if not line:
                raise RuntimeError("the driver did not start")
            found = re.search(r"successfully on port (\d+)", line)
            self.port = int(found.group(1)) if found else None

    def call(self, method, path, body=None):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=180)
        connection.request(method, path, None if body is None else json.dumps(body),
                           {"Content-Type": "application/json"})
        value = json.loads(connection.getresponse().read())["value"]
        connection.close()
        if isinstance(value, dict) and "error" in value:
            raise RuntimeError(f"{path}: {value['error']}: {value['message'][:300]}")
        return value

    def stop(self):
        """Ends the browsers too, also those that a failure left."""
        for session in list(self.sessions):
            try:
                self.call("DELETE", session)
            except (RuntimeError, OSError):
                pass
        self.process.terminate()
        self.process.wait(timeout=30)


class Browser:
    """One window with a new profile."""

    def __init__(self, driver, program, width=1280, height=900):
        self.driver = driver
        self.profile = tempfile.mkdtemp(prefix="whyfit-profile-")
        options = {"binary": program, "args": [*FLAGS, f"--user-data-dir={self.profile}"]}
        if width < 500:  # a window is not made so small; a telephone is
            options["mobileEmulation"] = {"deviceMetrics": {"width": width, "height": height, "pixelRatio": 2.0}}
        else:
            options["args"].append(f"--window-size={width},{height}")
        session = driver.call("POST", "/session", {"capabilities": {"alwaysMatch": {
            "browserName": "chrome", "timeouts": {"script": 300000},
            "goog:chromeOptions": options}}})
        self.path = f"/session/{session['sessionId']}"
        driver.sessions.append(self.path)

    def close(self):
        self.driver.call("DELETE", self.path)
        self.driver.sessions.remove(self.path)
        shutil.rmtree(self.profile, ignore_errors=True)

    def go(self, url):
        self.driver.call("POST", self.path + "/url", {"url": url})

    def url(self):
        return self.driver.call("GET", self.path + "/url")

    def find(self, selector):
        return self.driver.call("POST", self.path + "/element",
                                {"using": "css selector", "value": selector})[ELEMENT]

    def patiently(self, action, patience=60):
        """Does it as soon as it can be done: the page may still be on its way."""
        end = time.monotonic() + patience
        while True:
            try:
                return action()
            except RuntimeError:
                if time.monotonic() > end:
                    raise
                time.sleep(0.1)

    def click(self, selector):
        self.patiently(lambda: self.driver.call(
            "POST", f"{self.path}/element/{self.find(selector)}/click", {}))

    def click_words(self, tag, words):
        path = f"//{tag}[normalize-space()=\"{words}\"]"
        self.patiently(lambda: self.driver.call("POST", "{}/element/{}/click".format(
            self.path, self.driver.call("POST", self.path + "/element",
                                        {"using": "xpath", "value": path})[ELEMENT]), {}))

    def type(self, selector, words):
        self.patiently(lambda: self.driver.call(
            "POST", f"{self.path}/element/{self.find(selector)}/value", {"text": words}))

    def text(self, selector="main", patience=60):
        """What an element says."""
        return self.patiently(lambda: self.driver.call(
            "GET", f"{self.path}/element/{self.find(selector)}/text"), patience)

    def run(self, script, *arguments):
        return self.driver.call("POST", self.path + "/execute/sync", {"script": script, "args": list(arguments)})

    def run_async(self, script, *arguments):
        return self.driver.call("POST", self.path + "/execute/async", {"script": script, "args": list(arguments)})

    def press(self, *keys):
        actions = []
        for key in keys:
            value = KEYS.get(key, key)
            actions += [{"type": "keyDown", "value": value}, {"type": "keyUp", "value": value}]
        self.driver.call("POST", self.path + "/actions",
                         {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def write(self, words):
        self.press(*words)

    def reaches(self, selector, words, patience=60):
        """Whether an element comes to say these words: what a key sets off takes its time."""
        end = time.monotonic() + patience
        while time.monotonic() < end:
            try:
                if words.lower() in self.text(selector, 0).lower():
                    return True
            except RuntimeError:
                pass  # the page is on its way
            time.sleep(0.1)
        return False

    def leaves(self, url, patience=60):
        """Whether another page comes."""
        end = time.monotonic() + patience
        while self.url() == url and time.monotonic() < end:
            time.sleep(0.1)
        return self.url() != url and self.reaches("main", "")

    def screenshot(self):
        return self.driver.call("GET", self.path + "/screenshot")

    def print(self, width, height):
        """A PDF on paper of so many centimetres, base64."""
        return self.driver.call("POST", self.path + "/print", {
            "page": {"width": width, "height": height}, "background": True})
