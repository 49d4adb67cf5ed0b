"""Runs glost, prints its pages with Chromium, reads the PDF back.

Lengths are in mm, sizes of type in points.
"""

import html
import json
import os
import re
import shutil
import subprocess
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pdfplumber

ROOT = Path(__file__).resolve().parents[2]
GLOST = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "debug" / "glost"
MM = 25.4 / 72
PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


def run(folder, arguments, code):
    ran = subprocess.run(
        [GLOST, *arguments, "--format", "json"], cwd=folder, capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    assert ran.returncode == code, ran.stdout + ran.stderr
    return json.loads(ran.stdout)


def glost(folder, *arguments):
    """Runs glost in a folder and gives its JSON."""
    return run(folder, arguments, 0)


def glost_error(folder, *arguments):
    """The error of a call that must be refused."""
    return run(folder, arguments, 2)["error"]


def chromium_pdf(page, paper=None, face=None):
    """Prints a page; `paper` stands for what is in the printer, `face` for the
    only face that the reader's machine has."""
    source = page.read_text(encoding="utf-8")
    if paper:
        source = source.replace("@page {", f"@page {{ size: {paper};", 1)
    if face:
        source = re.sub(r'font-family="[^"]*"', f'font-family="{face}"', source)
    name = f"{page.stem}-{paper or 'own'}{'-other' if face else ''}"
    copy = page.with_name(name + page.suffix)
    copy.write_text(source, encoding="utf-8")
    out = page.with_name(name + ".pdf")
    print_with_chromium(copy, out)
    return out


def print_with_chromium(page, out):
    browser = shutil.which(os.environ.get("CHROMIUM", "chromium"))
    assert browser, "no Chromium: tests/browser/install gets it"
    call = [
        browser,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        f"--user-data-dir={page.with_name('profile')}",
        "--no-pdf-header-footer",
        f"--print-to-pdf={out}",
        page.as_uri(),
    ]
    said = ""
    # A browser on a busy machine may not come up the first time.
    for _ in range(2):
        try:
            said = subprocess.run(call, capture_output=True, text=True, timeout=180).stderr
        except subprocess.TimeoutExpired as slow:
            said = str(slow)
        if out.exists():
            return
    raise AssertionError(f"Chromium printed nothing: {said}")


@dataclass(frozen=True)
class Word:
    text: str
    x0: float
    top: float
    x1: float
    bottom: float
    size: float


@dataclass
class Page:
    width: float
    height: float
    words: list
    boxes: list
    image: object

    def text(self):
        return " ".join(word.text for word in self.words)

    def find(self, text):
        """The words of a text that stand beside each other."""
        wanted = text.split()
        for at in range(len(self.words) - len(wanted) + 1):
            run = self.words[at : at + len(wanted)]
            if [word.text for word in run] == wanted:
                return run
        raise AssertionError(f"{text!r} is not on the page: {self.text()}")


def read_pdf(path, dots_per_inch=None):
    pages = []
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            words = [
                Word(
                    word["text"],
                    word["x0"] * MM,
                    word["top"] * MM,
                    word["x1"] * MM,
                    word["bottom"] * MM,
                    word["size"],
                )
                for word in page.extract_words(
                    x_tolerance_ratio=0.15, use_text_flow=True, keep_blank_chars=False, extra_attrs=["size"]
                )
            ]
            boxes = [
                (rect["x0"] * MM, rect["top"] * MM, rect["x1"] * MM, rect["bottom"] * MM)
                for rect in page.rects
                if rect["stroke"]
            ]
            image = page.to_image(resolution=dots_per_inch).original if dots_per_inch else None
            pages.append(Page(float(page.width) * MM, float(page.height) * MM, words, boxes, image))
    return pages


def printed(page, paper=None, face=None, dots_per_inch=None):
    return read_pdf(chromium_pdf(page, paper, face), dots_per_inch)


def words_written(page):
    """Every word of a page's source, with how often."""
    texts = re.findall(r"<text [^>]*>([^<]*)</text>", page.read_text(encoding="utf-8"))
    return Counter(word for text in texts for word in html.unescape(text).split())


def words_printed(pages):
    return Counter(word.text for page in pages for word in page.words)


def assert_nothing_cut(source, pages, margin=0.5):
    """All that was written is there, inside the paper, and nothing lies on anything."""
    assert words_printed(pages) == words_written(source)
    for page in pages:
        for word in page.words:
            assert margin <= word.x0 and word.x1 <= page.width - margin, word
            assert margin <= word.top and word.bottom <= page.height - margin, word
        for at, one in enumerate(page.words):
            for other in page.words[at + 1 :]:
                across = min(one.x1, other.x1) - max(one.x0, other.x0)
                down = min(one.bottom, other.bottom) - max(one.top, other.top)
                assert across <= 0.3 or down <= 0.35 * min(one.size, other.size) * MM, (one, other)
