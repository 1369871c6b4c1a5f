"""A real window on a virtual screen, driven by real key events of the X server."""

import os
import subprocess
import sys
from pathlib import Path


class Screen:
    """An X server of our own, ended with the ``with`` block.

    ``managed`` runs a window manager in it; a bench may be shown without one.
    """

    def __init__(self, size="1366x768", *, managed=True):
        self._size, self._managed = size, managed
        self._children = []

    def __enter__(self):
        reading, writing = os.pipe()
        self._children.append(
            subprocess.Popen(
                [
                    "Xvfb",
                    "-displayfd",
                    str(writing),
                    "-screen",
                    "0",
                    f"{self._size}x24",
                ],
                pass_fds=(writing,),
                stderr=subprocess.DEVNULL,
            )
        )
        os.close(writing)
        with os.fdopen(reading) as told:
            self.env = {**os.environ, "DISPLAY": f":{told.readline().strip()}"}
        self.env.pop("QT_QPA_PLATFORM", None)
        if self._managed:
            self._children.append(
                subprocess.Popen(["openbox"], env=self.env, stderr=subprocess.DEVNULL)
            )
        return self

    def __exit__(self, *_caught):
        for child in reversed(self._children):
            child.terminate()
            child.wait(timeout=120)

    def start(self, *words, config: Path):
        """Start the program and return it once its window is in front."""
        env = {
            **self.env,
            "HOME": str(config),
            "XDG_CONFIG_HOME": str(config),
            "XDG_DATA_HOME": str(config),
        }
        program = subprocess.Popen(
            [sys.executable, "-m", "benchassist", *words],
            env=env,
            stderr=subprocess.PIPE,
            text=True,
        )
        self._children.append(program)
        self.do("search", "--sync", "--onlyvisible", "--name", "Bench Assist")
        if self._managed:
            self.do(
                "search",
                "--onlyvisible",
                "--name",
                "Bench Assist",
                "windowactivate",
                "--sync",
            )
        return program

    def do(self, *words):
        """Run one xdotool command."""
        done = subprocess.run(
            ["xdotool", *words],
            env=self.env,
            check=True,
            capture_output=True,
            text=True,
            timeout=300,
        )
        return done.stdout
