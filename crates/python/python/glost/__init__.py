"""Glost: a glaze chemistry engine for pottery and tile studios.

    >>> import glost
    >>> glost.unity({"parts": {"potash feldspar": 42, "silica": 28, "whiting": 20, "kaolin": 10}})

Every function takes a question as a dict, with the names of the command's long options
(``_`` stands for ``-``) and of what has no option, repeated ones as lists, and gives the
answer that ``glost COMMAND --format json`` prints, as a dict. Where a glaze is named, its
recipe may stand instead, with the keys of a glaze file: ``parts``, ``additions``, ``cone``...
A question that has ``parts`` is such a recipe itself.

The functions ask the studio that the process stands in; :class:`Studio` asks any other.
What is told beside an answer comes as warnings of the category :class:`Aside`.
"""

from __future__ import annotations

import csv
import io
import json
import os
import warnings
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Optional, Union, cast

from . import _glost
from .answers import Adjustment, Check, Finding, Fit, Swap, Unity

__version__: str = _glost.__version__
__all__ = [
    "Adjustment",
    "Aside",
    "Check",
    "Error",
    "Finding",
    "Fit",
    "Question",
    "Studio",
    "Swap",
    "Unity",
    "adjust",
    "ask",
    "check",
    "fit",
    "screen",
    "swap",
    "unity",
]

Question = Mapping[str, Any]
"""A question: names of options with text, numbers, booleans, recipes, or lists of them."""
Table = Union[str, "os.PathLike[str]", Iterable[Mapping[str, Any]]]
"""A file of comma-separated values, or rows: a glaze each, a key a material or column."""


class Aside(UserWarning):
    """Something told beside an answer."""


class Error(Exception):
    """What is wrong with a question, a file or a script, and how to mend it."""

    code: str
    """Which kind of fault, one word."""
    message: str
    """What is wrong."""
    file: Optional[str]
    """Where: the file."""
    line: Optional[int]
    """Where: the line, from 1."""
    column: Optional[int]
    """Where: the column, from 1."""
    help: Optional[str]
    """What to do about it."""
    exit_code: int
    """What the command would end with: 2 wrong input, 3 a script broke its bounds, 4 our fault."""
    others: list[Error]
    """What else is wrong."""

    def __init__(self, told: Mapping[str, Any], exit_code: int) -> None:
        super().__init__(str(told["text"]).rstrip())
        self.code = told["code"]
        self.message = told["message"]
        self.file = told.get("file")
        self.line = told.get("line")
        self.column = told.get("column")
        self.help = told.get("help")
        self.exit_code = exit_code
        self.others = []


def _raised(failed: RuntimeError) -> Exception:
    try:
        told = json.loads(str(failed))
        errors = [Error(error, told["exit_code"]) for error in told["errors"]]
    except (ValueError, KeyError, TypeError):
        return failed
    if not errors:
        return failed
    errors[0].others = errors[1:]
    return errors[0]


def _tell(lines: Iterable[str]) -> None:
    for line in lines:
        warnings.warn(line, Aside, stacklevel=4)


def _text(question: Union[str, Question]) -> str:
    if isinstance(question, str):
        question = {"glaze": question}
    try:
        return json.dumps(question, allow_nan=False, default=_plain)
    except (TypeError, ValueError) as why:
        message = f"the question can't be written down: {why}"
        text = f"error: {message}"
        raise Error({"code": "bad-value", "message": message, "text": text}, 2) from None


def _plain(value: Any) -> Any:
    """Numbers of other libraries, paths, mappings that are no dict."""
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, os.PathLike):
        return os.fspath(value)
    if hasattr(value, "item"):
        return value.item()
    if isinstance(value, Iterable):
        return list(value)
    raise TypeError(f"a question holds text, numbers, booleans, dicts and lists, not {type(value).__name__}")


def _csv(rows: Iterable[Mapping[str, Any]]) -> str:
    rows = list(rows)
    headings: dict[str, None] = {}
    for row in rows:
        headings.update(dict.fromkeys(row))
    if "glaze" not in headings:
        headings = {"glaze": None, **headings}
        rows = [{"glaze": f"row {number}", **row} for number, row in enumerate(rows, 1)]
    text = io.StringIO()
    writer = csv.DictWriter(text, list(headings), restval="")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


class Studio:
    """A studio as it was when it was opened; :meth:`reload` reads it anew.

    ``folder`` is the studio's, ``None`` the nearest one from where the process stands
    upward; with none the shipped materials serve and names are those of the example.
    ``materials`` are further files of materials, on top.
    """

    def __init__(
        self,
        folder: Union[str, os.PathLike[str], None] = None,
        *,
        materials: Iterable[Union[str, os.PathLike[str]]] = (),
    ) -> None:
        try:
            self._studio = _glost.Studio(
                None if folder is None else os.fspath(folder), [os.fspath(file) for file in materials]
            )
        except RuntimeError as failed:
            raise _raised(failed) from None

    def reload(self) -> None:
        """Reads settings, materials, glazes and books anew."""
        try:
            self._studio.reload()
        except RuntimeError as failed:
            raise _raised(failed) from None

    def ask(self, command: str, question: Union[str, Question]) -> dict[str, Any]:
        """The answer of a command that changes nothing: ``glost._glost.COMMANDS`` lists them."""
        try:
            answer, aside = self._studio.ask(command, _text(question))
        except RuntimeError as failed:
            raise _raised(failed) from None
        _tell(aside)
        return cast("dict[str, Any]", json.loads(answer))

    def unity(self, question: Union[str, Question]) -> Unity:
        """What a glaze is once fired: unity formula, loss on ignition, expansion."""
        return cast(Unity, self.ask("unity", question))

    def check(self, question: Union[str, Question]) -> Check:
        """What the checks and limits say of a glaze."""
        return cast(Check, self.ask("check", question))

    def swap(self, question: Question) -> Swap:
        """What to weigh when the materials under ``out`` are gone."""
        return cast(Swap, self.ask("swap", question))

    def adjust(self, question: Question) -> Adjustment:
        """The least change of a glaze that meets ``aims``."""
        return cast(Adjustment, self.ask("adjust", question))

    def fit(self, question: Question) -> Fit:
        """What pieces and numbers say of a glaze on ``clay``."""
        return cast(Fit, self.ask("fit", question))

    def screen(self, table: Table, question: Optional[Question] = None) -> list[Finding]:
        """The findings of checks over a table of glazes, in its order.

        ``question`` has the options of ``glost check --over``: ``use``, ``script``,
        ``clay``, ``part``, ``threads``. Rows that can't be read are told as warnings.
        """
        asked = dict(question or {})
        text: Optional[str] = None
        if isinstance(table, (str, os.PathLike)):
            asked["over"] = os.fspath(table)
        else:
            asked["over"] = "-"
            text = _csv(table)
        try:
            lines, complaints, aside = self._studio.screen(text, _text(asked))
        except RuntimeError as failed:
            raise _raised(failed) from None
        _tell(aside)
        _tell(complaints)
        return list(_findings(lines))


def _findings(lines: str) -> Iterator[Finding]:
    for line in lines.splitlines():
        finding = json.loads(line)
        if "error" not in finding:
            yield cast(Finding, finding)


_open: dict[str, Studio] = {}


def _here() -> Studio:
    here = os.getcwd()
    if here not in _open:
        _open.clear()
        _open[here] = Studio()
    return _open[here]


def ask(command: str, question: Union[str, Question]) -> dict[str, Any]:
    """As :meth:`Studio.ask`, in the studio that the process stands in."""
    return _here().ask(command, question)


def unity(question: Union[str, Question]) -> Unity:
    """As :meth:`Studio.unity`, in the studio that the process stands in."""
    return _here().unity(question)


def check(question: Union[str, Question]) -> Check:
    """As :meth:`Studio.check`, in the studio that the process stands in."""
    return _here().check(question)


def swap(question: Question) -> Swap:
    """As :meth:`Studio.swap`, in the studio that the process stands in."""
    return _here().swap(question)


def adjust(question: Question) -> Adjustment:
    """As :meth:`Studio.adjust`, in the studio that the process stands in."""
    return _here().adjust(question)


def fit(question: Question) -> Fit:
    """As :meth:`Studio.fit`, in the studio that the process stands in."""
    return _here().fit(question)


def screen(table: Table, question: Optional[Question] = None) -> list[Finding]:
    """As :meth:`Studio.screen`, in the studio that the process stands in."""
    return _here().screen(table, question)
