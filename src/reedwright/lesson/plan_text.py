"""A plan and its take list in words: Markdown for the script, and plain text.

Conventions: lengths as they are spoken, to the second. Markdown escapes what came from the tune
(see `script.escaped`); plain text has one line a take.
"""

from __future__ import annotations

from collections.abc import Iterator

from reedwright.lesson.phrases import Phrases, phrases
from reedwright.lesson.plan import Plan, Shorter
from reedwright.lesson.planlines import tempo_text
from reedwright.lesson.script import escaped
from reedwright.lesson.takes import Take


def plan_markdown(plan: Plan, said: Phrases | None = None) -> str:
    """The plan with its takes as a section of the script, from its second heading down."""
    said = said or phrases()
    if not plan.steps:
        return f"## {said.say('plan', 'heading')}\n\n{said.say('plan', 'empty')}\n"
    parts = [f"## {said.say('plan', 'heading')}"]
    for number, step in enumerate(plan.steps, 1):
        title = said.say("take", "step", title=step.title, tempo=tempo_text(step.tempo_bpm))
        lines = [f"{number}. {escaped(title)} ({said.time(step.length_s)})"]
        inner = [*_takes(step.takes, said)]
        if step.paths:
            inner.append(said.say("plan", "use", paths=", ".join(step.paths)))
        indent = " " * len(f"{number}. ")  # what CommonMark takes as inside the step
        lines += [f"{indent}- {escaped(line)}" for line in inner]
        parts.append("\n".join(lines))
    parts.append("\n".join(escaped(line) for line in _total(plan, said)))
    cuts = [f"- {escaped(line)}" for line in _cuts(plan, said)]
    parts += ["\n".join(cuts)] if cuts else []
    parts += [escaped(line) for line in _after(plan, said)]
    return "\n\n".join(parts) + "\n"


def plan_text(plan: Plan, said: Phrases | None = None) -> str:
    """The same as plain text."""
    said = said or phrases()
    if not plan.steps:
        return said.say("plan", "empty") + "\n"
    lines: list[str] = []
    for number, step in enumerate(plan.steps, 1):
        title = said.say("take", "step", title=step.title, tempo=tempo_text(step.tempo_bpm))
        lines.append(f"{number}. {title} ({said.time(step.length_s)})")
        lines += [f"   {line}" for line in _takes(step.takes, said)]
    lines += ["", *_total(plan, said), *(f"  {line}" for line in _cuts(plan, said))]
    lines += _after(plan, said)
    return "\n".join(lines) + "\n"


def _takes(takes: tuple[Take, ...], said: Phrases) -> Iterator[str]:
    for take in takes:
        parts = [said.say("take", "talk", time=said.time(take.talk_s))] if take.words else []
        rounds, play = said.rounds(take.rounds), said.time(take.rounds * take.play_s)
        if take.guessed:
            play = said.say("take", "about", time=play)
        parts.append(said.say("take", "play", rounds=rounds, time=play))
        if take.turn_s:
            parts.append(said.say("take", "turn", time=said.time(take.rounds * take.turn_s)))
        named = "" if len(takes) == 1 else f"{take.title}: "
        yield named + ", ".join(parts)


def _total(plan: Plan, said: Phrases) -> Iterator[str]:
    yield said.say("plan", "total", time=said.time(plan.length_s))
    if plan.wished_s is None:
        return
    wished, over_s = said.time(plan.wished_s), plan.length_s - plan.wished_s
    if over_s <= 0:
        yield said.say("plan", "fits", wished=wished)
        return
    yield said.say("plan", "over", over=said.time(over_s), wished=wished)
    if plan.cuts:
        yield said.say("plan", "cut")


def _cuts(plan: Plan, said: Phrases) -> Iterator[str]:
    for cut in plan.cuts:
        yield _cut(cut, said)


def _cut(cut: Shorter, said: Phrases) -> str:
    take = said.say("take", "step", title=cut.take.title, tempo=tempo_text(cut.take.tempo_bpm))
    if not cut.rounds:
        return said.say("plan", "drop", take=take, time=said.time(cut.saves_s))
    rounds, before = said.rounds(cut.rounds), said.rounds(cut.take.rounds)
    time = said.time(cut.saves_s)
    return said.say("plan", "fewer", rounds=rounds, before=before, take=take, time=time)


def _after(plan: Plan, said: Phrases) -> Iterator[str]:
    """What is left once all cuts are made, and which times are guesses."""
    yield from _left(plan, said)
    if any(take.guessed for take in plan.takes):
        yield said.say("take", "guess")


def _left(plan: Plan, said: Phrases) -> Iterator[str]:
    if plan.wished_s is None or plan.length_s <= plan.wished_s:
        return
    over_s = plan.shortened_s - plan.wished_s
    if not plan.cuts:
        yield said.say("plan", "nothing")
    elif over_s > 0:
        time, over = said.time(plan.shortened_s), said.time(over_s)
        yield said.say("plan", "still", time=time, over=over)
    else:
        yield said.say("plan", "enough", time=said.time(plan.shortened_s))
