"""Both judgements of a tune at once: against the hard limits and against the comfortable ones.

Conventions: the same functions judge both, only the limits differ. Failing the hard limits means
that nobody with these lungs can play it as written; failing the comfortable ones means effort.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reedwright.breath.ledger import Failure, Ledger, Segment, fewest_breaths, keep_ledger
from reedwright.breath.lungs import Limits, Lungs
from reedwright.breath.margin import Margin, margin
from reedwright.breath.mend import Mend, mend
from reedwright.breath.plan import Plan, easiest_plan


@dataclass(frozen=True, slots=True)
class Verdict:
    """One pair of limits: what is possible, how much room is left, what would help if anything
    must (`mend`), and the fewest places that need a breath (`breaths`; empty when feasible)."""

    ledger: Ledger
    margin: Margin | None
    mend: Mend | None
    breaths: tuple[Failure, ...]

    @property
    def feasible(self) -> bool:
        return self.ledger.feasible


@dataclass(frozen=True, slots=True)
class Judgement:
    """`plan` keeps as near to the comfortable limits as the tune allows; None if not even the
    hard ones can be kept."""

    hard: Verdict
    comfortable: Verdict
    plan: Plan | None


def judge(segments: Sequence[Segment], lungs: Lungs) -> Judgement:
    """Everything the breath room knows about a tune, in time linear in its segments."""
    return Judgement(
        verdict(segments, lungs, lungs.hard),
        verdict(segments, lungs, lungs.comfortable),
        easiest_plan(segments, lungs),
    )


def verdict(segments: Sequence[Segment], lungs: Lungs, limits: Limits) -> Verdict:
    """The judgement against one pair of limits."""
    ledger = keep_ledger(segments, lungs, limits)
    return Verdict(
        ledger,
        margin(segments, lungs, limits),
        mend(segments, lungs, ledger),
        () if ledger.feasible else fewest_breaths(segments, lungs, limits),
    )
