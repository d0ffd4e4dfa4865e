"""The plan of a lesson: steps in the teacher's order, the takes they need, and how long it lasts.

Conventions: seconds. Where the teacher has written no order, that of `plan.toml` holds: hear it,
learn it by piece, put the pieces together, with the band slow, with the band at tempo. A piece gets
a round for every so much practice effort that is left in it, so what repeats gets less time. Only
recordings of the tune's own harp are used; the slow tempo is the slowest of theirs, without any
that of the ladder. What a line of the teacher's names and the tune lacks is a finding, never an
error: the plan goes on without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from reedwright.lesson.heard import Heard
from reedwright.lesson.planlines import EACH, TUNE, Doing, PlanLine, PlanText, Speed
from reedwright.lesson.planning import Planning, Step, Talk
from reedwright.lesson.plantable import PlanTable
from reedwright.lesson.recorded import Recorded
from reedwright.lesson.shorten import rounds_kept
from reedwright.lesson.study import LickStudy, Study
from reedwright.lesson.takes import Take
from reedwright.tune.findings import Finding
from reedwright.tune.reading import nearest
from reedwright.tune.values import slug

_NO_PLAN = PlanText()


@dataclass(frozen=True, slots=True)
class Shorter:
    """One thing to cut: a take keeps `rounds` of its rounds (0: it goes) and saves `saves_s`."""

    take: Take
    rounds: int
    saves_s: float


@dataclass(frozen=True, slots=True)
class Plan:
    """A lesson in order. `cuts`: what to cut to come to `wished_s` (None: no length is wished
    for); `findings` are about lines of the teacher's plan and about recordings."""

    steps: tuple[Step, ...]
    wished_s: float | None
    cuts: tuple[Shorter, ...]
    findings: tuple[Finding, ...]

    @property
    def takes(self) -> tuple[Take, ...]:
        return tuple(take for step in self.steps for take in step.takes)

    @property
    def length_s(self) -> float:
        return sum(step.length_s for step in self.steps)

    @property
    def shortened_s(self) -> float:
        """How long it is once all cuts are made."""
        return self.length_s - sum(cut.saves_s for cut in self.cuts)


def lesson_plan(
    study: Study,
    plan: PlanText = _NO_PLAN,
    heard: Iterable[Heard] = (),
    talk: Talk | None = None,
    *,
    wished_s: float | None = None,
) -> Plan:
    """The plan of a tune. Linear in pieces and lines, but for the exact choice of what to cut.

    `wished_s`: in place of the length in the plan. Errors: SettingError for faults in a teacher's
    own table.
    """
    talk, recorded = talk or Talk(), Recorded(study, heard)
    planning = Planning(study, recorded, talk)
    lines = plan.steps or _default(talk.table, recorded)
    steps = tuple(_named_once(_steps(study, lines, planning)))
    wished_s = plan.wished_s if wished_s is None else wished_s
    takes = tuple(take for step in steps for take in step.takes)
    cuts = () if wished_s is None else tuple(_cuts(takes, wished_s, talk.table["cut"]["fade"]))
    return Plan(steps, wished_s, cuts, tuple(planning.findings))


def _default(table: PlanTable, recorded: Recorded) -> tuple[PlanLine, ...]:
    """Our own order; where there is one tempo only, nothing is played slow with the band."""
    one = recorded.slow_bpm == recorded.full_bpm
    return tuple(
        line
        for line in table.order.steps
        if not (one and line.doing is Doing.BAND and line.speed is Speed.SLOW)
    )


def _steps(study: Study, lines: Sequence[PlanLine], planning: Planning) -> Iterator[Step]:
    licks = {lick.line.slug: lick for lick in study.licks}
    for together, block in groupby(lines, key=lambda line: line.what == EACH):
        each = tuple(block)
        pairs: Iterable[tuple[PlanLine, LickStudy | None]]
        if together:
            pairs = ((line, lick) for lick in study.licks for line in each)
        else:
            pairs = ((line, licks.get(slug(line.what))) for line in each)
        for line, lick in pairs:
            if lick is None and line.what != TUNE:
                _left_aside(study, line, planning)
                continue
            step = planning.step(line, None if line.what == TUNE else lick)
            if step is not None:
                yield step


def _left_aside(study: Study, line: PlanLine, planning: Planning) -> None:
    """Say why a line has no lick."""
    known = study.score.tune.licks
    if slug(line.what) in known:
        planning.warn(line, "nothing of this lick sounds", "place it, or drop the line")
        return
    close = nearest(line.what, [full.lick.name for full in known.values()])
    mend = f"did you mean {close}?" if close else "name a lick of the tune, or drop the line"
    planning.warn(line, "the tune has no such lick, and the line is left aside", mend)


def _named_once(steps: Iterable[Step]) -> Iterator[Step]:
    """The steps with ids of their takes that are told apart where a teacher repeats a line."""
    seen: dict[str, int] = {}
    for step in steps:
        takes: list[Take] = []
        for take in step.takes:
            seen[take.id] = times = seen.get(take.id, 0) + 1
            takes.append(take if times == 1 else replace(take, id=f"{take.id}#{times}"))
        yield replace(step, takes=tuple(takes))


def _cuts(takes: Sequence[Take], wished_s: float, fade: float) -> Iterator[Shorter]:
    for take, rounds in zip(takes, rounds_kept(takes, wished_s, fade), strict=True):
        if rounds < take.rounds:
            yield Shorter(take, rounds, take.length_s - take.lasting_s(rounds))
