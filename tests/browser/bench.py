"""A bench that is open for one test, and browsers that reach nothing else."""

import json
import os
import shutil
import subprocess
from contextlib import contextmanager
from pathlib import Path

from printing import GLOST, ROOT

TODAY = "2026-11-24"
PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 800}
# No name is resolved: the cable is out.
ALONE = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE 127.0.0.2"


class Bench:
    """`glost open` over a studio of its own."""

    def __init__(self, folder, empty=False, options=()):
        self.folder = folder
        self.studio = folder / "studio"
        self.options = options
        if empty:
            self.studio.mkdir()
        else:
            shutil.copytree(ROOT / "crates" / "studio" / "example", self.studio)
        self.open()

    def environment(self, today=TODAY):
        return dict(os.environ, XDG_STATE_HOME=str(self.folder / "state"), GLOST_TODAY=today)

    def open(self, today=TODAY):
        self.process = subprocess.Popen(
            [GLOST, "open", "--no-browser", "--format", "json", "--until-stdin", *self.options],
            cwd=self.studio,
            env=self.environment(today),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        told = json.loads(self.process.stdout.readline())
        self.address, self.way_in = told["address"].rstrip("/"), told["open"]

    def close(self):
        self.process.stdin.close()
        assert self.process.wait(timeout=20) == 0

    def glost(self, *arguments, today=TODAY):
        ran = subprocess.run(
            [GLOST, *arguments, "--format", "json"],
            cwd=self.studio,
            env=self.environment(today),
            capture_output=True,
            text=True,
            stdin=subprocess.DEVNULL,
        )
        assert ran.returncode in (0, 1), ran.stdout + ran.stderr
        return json.loads(ran.stdout)

    def lines(self, book):
        path = Path(self.studio / book)
        return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()] if path.exists() else []


@contextmanager
def visiting(playwright, way_in, viewport, **more):
    """A browser that has come in; whatever it asks elsewhere, or complains of, fails."""
    browser = playwright.chromium.launch(
        executable_path=shutil.which(os.environ.get("CHROMIUM", "chromium")), args=["--no-sandbox", ALONE]
    )
    context = browser.new_context(viewport=viewport, **more)
    page = context.new_page()
    own = way_in.split("/?")[0] + "/"
    elsewhere, complaints = [], []
    page.on("request", lambda asked: None if asked.url.startswith((own, "data:")) else elsewhere.append(asked.url))
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(way_in)
    page.wait_for_url(own)
    yield page
    browser.close()
    assert not elsewhere, elsewhere
    assert not complaints, complaints
