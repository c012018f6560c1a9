"""Chromium without a window, driven over a pipe by the Chrome DevTools protocol.

The protocol is the browser's own (https://chromedevtools.github.io/devtools-protocol/):
JSON messages, each ended by a zero byte, over the file descriptors 3 and 4 of
the browser. So no port is opened and nothing else is needed.
"""

import base64
import contextlib
import json
import os
import shutil
import signal
import subprocess
import time
from select import select

#: Path of the browser, if it is installed.
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

#: Sizes of paper in inches: ISO 216 (210 x 297 mm) and ANSI/ASME Y14.1 (M).
A4 = (8.27, 11.69)
LETTER = (8.5, 11.0)

#: Seconds in which an answer must come; only reached when the browser hangs.
_PATIENCE = 20

_FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-dev-shm-usage", "--hide-scrollbars", "--force-device-scale-factor=1",
    "--remote-debugging-pipe",
)  # fmt: skip


class BrowserError(Exception):
    """The browser refused a command, raised an exception or did not answer."""


class Browser:
    """One page of a browser, which ends with the ``with`` block."""

    def __init__(self, profile):
        self._command_end, self._to_browser = os.pipe()
        self._from_browser, self._answer_end = os.pipe()
        self._buffer, self._number = b"", 0
        self.events = []
        # the shell moves the two ends to the numbers that the browser expects
        line = f'exec "$@" 3<&{self._command_end} 4>&{self._answer_end} </dev/null'
        browser = (CHROMIUM, *_FLAGS, f"--user-data-dir={profile}", "about:blank")
        self._process = subprocess.Popen(
            ("bash", "-c", line, "bash", *browser),
            pass_fds=(self._command_end, self._answer_end),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        os.close(self._command_end)
        os.close(self._answer_end)
        self._session = None

    def __enter__(self):
        (page,) = [t for t in self._targets() if t["type"] == "page"]
        attached = self.call("Target.attachToTarget", targetId=page["targetId"], flatten=True)
        self._session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")
        return self

    def __exit__(self, *_):
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()
        os.close(self._to_browser)
        os.close(self._from_browser)

    def _targets(self):
        while True:
            targets = self.call("Target.getTargets")["targetInfos"]
            if any(target["type"] == "page" for target in targets):
                return targets
            time.sleep(0.02)

    def call(self, method, **params):
        """Send one command and wait for its answer, collecting events meanwhile."""
        self._number += 1
        message = {"id": self._number, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._to_browser, json.dumps(message).encode() + b"\0")
        while (answer := self._message()).get("id") != self._number:
            self.events.append(answer)
        if "error" in answer:
            raise BrowserError(method, answer["error"])
        return answer["result"]

    def _message(self):
        while b"\0" not in self._buffer:
            ready, _, _ = select([self._from_browser], [], [], _PATIENCE)
            data = os.read(self._from_browser, 1 << 20) if ready else b""
            if not data:
                raise BrowserError("no answer")
            self._buffer += data
        message, self._buffer = self._buffer.split(b"\0", 1)
        return json.loads(message)

    def wait_for(self, method):
        """Wait for an event of this name."""
        while not any(event.get("method") == method for event in self.events):
            self.events.append(self._message())

    def seen(self, *methods):
        """Parameters of the events of these names since the page was opened."""
        return [e["params"] for e in self.events if e.get("method") in methods]

    def open(self, path, width=1280, height=900, *, mobile=False, scripts=True):
        """Show a file in a window of this size; its scripts may be switched off."""
        size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile}
        self.call("Emulation.setDeviceMetricsOverride", **size)
        self.call("Emulation.setScriptExecutionDisabled", value=not scripts)
        self.events.clear()
        self.call("Page.navigate", url=path.as_uri())
        self.wait_for("Page.loadEventFired")
        self.call("Emulation.setScriptExecutionDisabled", value=False)
        self.rest()

    def rest(self):
        """Wait until the page has been laid out and painted."""
        self.run("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")

    def run(self, script):
        """Value of an expression of JavaScript on the page."""
        answer = self.call(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True
        )
        if "exceptionDetails" in answer:
            raise BrowserError(script, answer["exceptionDetails"])
        return answer["result"].get("value")

    def picture(self, **clip):
        """The window, or a part of it in pixels of the page, as PNG."""
        part = {"clip": {**clip, "scale": 1}, "captureBeyondViewport": True} if clip else {}
        return base64.b64decode(self.call("Page.captureScreenshot", format="png", **part)["data"])

    def middle(self, selector):
        """Middle of the first element that a selector finds, scrolled into the window."""
        return self.run(
            f"""(() => {{ const element = document.querySelector({json.dumps(selector)});
            element.scrollIntoView({{ block: "center", behavior: "instant" }});
            const box = element.getBoundingClientRect();
            return [box.x + box.width / 2, box.y + box.height / 2] }})()"""
        )

    def mouse(self, kind, x, y, **more):
        """One mouse event: ``Moved``, ``Pressed``, ``Released`` or ``Wheel``."""
        self.call("Input.dispatchMouseEvent", type=f"mouse{kind}", x=x, y=y, **more)
        self.rest()

    def click(self, selector):
        """Click the first element that a selector finds."""
        x, y = self.middle(selector)
        for kind in ("Pressed", "Released"):
            self.mouse(kind, x, y, button="left", clickCount=1)

    def key(self, name, code=0, text=""):
        """Press and release a key."""
        more = {"key": name, "windowsVirtualKeyCode": code, "text": text}
        self.call("Input.dispatchKeyEvent", type="keyDown", **more)
        self.call("Input.dispatchKeyEvent", type="keyUp", key=name)
        self.rest()

    def touch(self, kind, *points):
        """One touch event: ``Start``, ``Move`` or ``End``."""
        at = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
        self.call("Input.dispatchTouchEvent", type=f"touch{kind}", touchPoints=at)
        self.rest()

    def pdf(self, paper=A4):
        """The page printed on paper of this width and height in inches."""
        width, height = paper
        answer = self.call(
            "Page.printToPDF", paperWidth=width, paperHeight=height, preferCSSPageSize=True
        )
        return base64.b64decode(answer["data"])
