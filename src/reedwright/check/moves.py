"""Hard moves of a tune at each of its tempos, and from which tempo on they are hard.

Conventions: tempos in counted beats a minute, times from the performance room (swung). What is hard
at the full tempo and fine at a slower one is advice: practise it there first. What is hard at the
slowest too is a warning. Thresholds: `data/moves.toml`, all from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.check.hands import Move, MoveKind, hard_moves, stance
from reedwright.check.limits import MoveLimits, limits
from reedwright.performance.tempos import Tempos
from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.gathering import Hit, finding_at, gathered
from reedwright.tune.place import Score
from reedwright.tune.tokens import format_sound

_MENDS = {
    MoveKind.JUMP: "come to it by holes between, or leave a rest before it",
    MoveKind.TURNS: "take two notes in one breath here and there",
    MoveKind.CHANGES: "let some notes stay on their hole",
    MoveKind.BEND_LEAP: "come to it from a hole beside it, or leave a rest before it",
    MoveKind.BEND_RUN: "put a plain note between the bends",
}


@dataclass(frozen=True, slots=True)
class HardMove:
    """A move with the tempos at which it is hard, from slow to full."""

    move: Move
    tempos_bpm: tuple[Fraction, ...]


def move_findings(
    score: Score,
    bounds: MoveLimits | None = None,
    played: Tempos | None = None,
) -> tuple[Finding, ...]:
    """What is hard about getting from note to note. Linear in the events, for each tempo.

    `played`: the performances of this score, where a caller has them already.
    """
    return gathered(_hit(score, hard) for hard in all_hard_moves(score, bounds or limits(), played))


def all_hard_moves(
    score: Score, bounds: MoveLimits, played: Tempos | None = None
) -> list[HardMove]:
    """Every hard move at the full tempo, in the order of the tune. A slower tempo is looked at
    only when the next faster one has any."""
    played = played or Tempos(score)
    bounds = bounds.of_slide_harp() if score.tune.harp.tuning.button else bounds
    stances = [stance(event.sound) for event in score.events]
    at_full: dict[tuple[MoveKind, int], Move] = {}
    tempos: dict[tuple[MoveKind, int], list[Fraction]] = {}
    for tempo_bpm in reversed(score.tune.tempos_bpm):
        moves = list(hard_moves(stances, _onsets_s(played, tempo_bpm), bounds))
        full = tempo_bpm == score.tune.full_tempo_bpm
        for move in moves:
            key = (move.kind, move.index)
            if full:
                at_full[key], tempos[key] = move, [tempo_bpm]
            elif key in tempos:
                tempos[key].insert(0, tempo_bpm)
        if not moves:
            break
    hard = [HardMove(move, tuple(tempos[key])) for key, move in at_full.items()]
    return sorted(hard, key=lambda found: found.move.index)


def _onsets_s(played: Tempos, tempo_bpm: Fraction) -> list[float]:
    """When each event sounds."""
    performance, stretch = played.at(tempo_bpm)
    return [timed.score_s * stretch for timed in performance.events]


def _hit(score: Score, hard: HardMove) -> Hit:
    move, events = hard.move, score.events
    event = events[move.index]
    always = hard.tempos_bpm[0] == score.tune.tempos_bpm[0]
    severity = Severity.WARNING if always else Severity.ADVICE
    all_bpm = score.tune.tempos_bpm
    several = len(hard.tempos_bpm) > 1
    full = f" at {_bpm(all_bpm[-1])}" * several  # the tempo of the number before it
    found = f"{_what(score, move)}{full}: {_when(all_bpm, hard.tempos_bpm)}"
    mend = _MENDS[move.kind]
    slow = [tempo for tempo in all_bpm if tempo not in hard.tempos_bpm]
    if slow:
        mend = f"practise it at {_bpm(max(slow))} first, or {mend}"
    return Hit(_kind(move, events), finding_at(event, severity, "moves", found, mend))


def _kind(move: Move, events: tuple[Event, ...]) -> object:
    """Moves of one kind: the same two sounds, or the same sort of busy stretch."""
    if move.kind in (MoveKind.JUMP, MoveKind.BEND_LEAP):
        return move.kind, events[move.index - 1].sound.reeds, events[move.index].sound.reeds
    return move.kind


def _what(score: Score, move: Move) -> str:
    signed = score.tune.signed
    here = format_sound(score.events[move.index].sound, signed)
    match move.kind:
        case MoveKind.JUMP | MoveKind.BEND_LEAP:
            before = format_sound(score.events[move.index - 1].sound, signed)
            leap = f"{move.holes} holes from {before} to {here}"
            bend = ", with a bend to set," * (move.kind is MoveKind.BEND_LEAP)
            return f"{leap}{bend} in {move.measure:.2f} s"
        case MoveKind.TURNS:
            return f"from {here} on the breath turns {move.measure:.1f} times a second"
        case MoveKind.CHANGES:
            return f"from {here} on the hole changes {move.measure:.1f} times a second"
        case MoveKind.BEND_RUN:
            return f"{move.count} bent notes in a row from {here}, {move.measure:.2f} s apart"


def _when(all_bpm: tuple[Fraction, ...], hard_bpm: tuple[Fraction, ...]) -> str:
    fine = [tempo for tempo in all_bpm if tempo not in hard_bpm]
    if not fine:
        return f"hard at {_bpm(all_bpm[0])}" + " already" * (len(all_bpm) > 1)
    return f"hard at {' and '.join(_bpm(tempo) for tempo in hard_bpm)}, fine at {_bpm(max(fine))}"


def _bpm(tempo_bpm: Fraction) -> str:
    return f"{float(tempo_bpm):g}"
