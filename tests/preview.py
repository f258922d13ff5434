"""The command ``serve`` in a process of its own, watched as a person does: its terminal and its pages."""

import os
import signal
import socket
import subprocess
import threading
import time
import urllib.request

SLOWEST_S = 1500
"""For one step on a loaded machine that solves the whole arm."""


_hear_interrupts = None if os.name == "nt" else lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)
"""A shell's background job ignores Ctrl+C, and so would what it starts: the suite may run in one."""


class Preview:
    """The command ``serve``, with what it has written so far."""

    def __init__(self, command, *, cwd, environment):
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.process = subprocess.Popen(
            [*command, "--port", str(self.port)], cwd=cwd, env={**environment, "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, preexec_fn=_hear_interrupts,
        )  # fmt: skip
        self.said = ""
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self):
        for line in self.process.stdout:
            self.said += line

    def wait_for(self, text):
        self.until(lambda: text in self.said, f"{text!r} in: {self.said}")

    def wait_for_page(self, *, has, lacks):
        def found():
            page = self.page()
            return all(one in page for one in has) and not any(one in page for one in lacks)

        self.until(found, f"{has} without {lacks} on the page; said: {self.said}")

    def page(self, name="index.html"):
        with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/{name}") as answer:
            return answer.read().decode()

    def until(self, met, what):
        end = time.monotonic() + SLOWEST_S
        while not met():
            assert self.process.poll() is None, f"the preview ended: {self.said}"
            assert time.monotonic() < end, f"not within {SLOWEST_S} s: {what}"
            time.sleep(0.2)

    def end(self):
        self.process.send_signal(signal.SIGINT)
        assert 0 == self.process.wait(120)
