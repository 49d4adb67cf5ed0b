"""The shapes of the answers, as ``glost schema ANSWER`` has them in full.

Amounts are moles in a unity formula, wt % in ``weight_percent``, per cent of the base in
``parts``. An answer may hold further keys.
"""

from __future__ import annotations

from typing import Any, Optional, TypedDict

Amounts = dict[str, float]
"""Names of oxides or materials with their amounts."""


class Expansion(TypedDict):
    """The thermal expansion that a model predicts."""

    model: str
    value: float
    plus_minus: float
    unit: str
    range_c: list[float]
    inside_domain: bool


class Unity(TypedDict):
    """The answer of ``unity``."""

    glaze: str
    unity: Amounts
    mole_percent: Amounts
    weight_percent: Amounts
    loss_on_ignition: float
    silica_to_alumina: Optional[float]
    alkali_share: Optional[float]
    bands: dict[str, Amounts]
    expansion: list[Expansion]
    assumptions: list[str]


class _FindingIn(TypedDict, total=False):
    file: str
    row: Optional[int]
    glaze: str
    new: bool


class Finding(_FindingIn):
    """What one rule says; in a screening also where the glaze stands."""

    script: str
    level: str
    subject: str
    value: Optional[float]
    low: Optional[float]
    high: Optional[float]
    message: str
    source: str
    whose: Optional[str]
    hash: Optional[str]
    set: dict[str, Any]


class Check(TypedDict):
    """The answer of ``check``."""

    findings: list[Finding]
    worst: str


class Weighed(TypedDict):
    """A recipe at the step of the scales."""

    parts: Amounts
    additions: Amounts
    unity: Amounts
    distance: float


class Proposal(TypedDict):
    """A recipe that is proposed, with what it would change."""

    parts: Amounts
    additions: Amounts
    weighed: Weighed
    unity: Amounts
    difference: Amounts
    distance: float
    reads: str
    cannot_match: list[Any]
    newcomers: list[str]
    findings: list[Finding]
    assumptions: list[str]


class OneForOne(TypedDict):
    """A missing material replaced weight for weight."""

    parts: Amounts
    unity: Amounts
    difference: Amounts
    distance: float


class Swap(TypedDict):
    """The answer of ``swap``."""

    out: list[str]
    proposals: list[Proposal]
    one_for_one: list[OneForOne]


class Adjustment(TypedDict):
    """The answer of ``adjust``."""

    possible: bool
    certified: bool
    proposal: Optional[Proposal]
    objective: Optional[float]
    binding: list[dict[str, Any]]
    clash: list[str]
    nearest: Optional[dict[str, Any]]


class Bounds(TypedDict):
    """A line of a clay's window, 1e-6/K: median, 5 % and 95 %."""

    median: float
    low: float
    high: float


class Window(TypedDict):
    """Between which expansions a glaze neither crazes nor shivers on a clay."""

    craze_threshold: Bounds
    shiver_floor: Bounds


class Fit(TypedDict):
    """The answer of ``fit``."""

    glaze: str
    expansion: Optional[dict[str, Any]]
    clay: dict[str, Any]
    stress_mpa: Optional[dict[str, Any]]
    window: Window
    p_craze: float
    p_shiver: float
    zone_craze: str
    zone_shiver: str
    evidence: list[dict[str, Any]]
    next_tests: list[dict[str, Any]]
    assumptions: list[str]
