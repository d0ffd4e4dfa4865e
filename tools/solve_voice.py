"""``python tools/solve_voice.py``: solve the holes of the voice, write voice/data/holes.toml.

A kind of hole is the interval from its closing to its opening reed in semitones, played as it is,
bent, or overbent; the model has no other unit of frequency, so one kind serves every key. For each
kind: try sets of values of reeds and mouth; keep the set that starts at most depths of bend and
breaths, the loudest of equals; find the mouth's resonance for each depth; measure the spectra; note
where the model cannot be trusted. Takes some minutes. The sets tried are from memory, around
a first experiment (stiffness 0.27, chamber 7.5, mouth 6 for a draw bend of hole 4).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from multiprocessing import Pool
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from reedwright.voice.chamber import RATE_HZ, STEPS, Line, run_hole

OUT = Path(__file__).resolve().parent.parent / "src/reedwright/voice/data/holes.toml"
PRESSURES = (0.5, 0.75, 1.0, 1.3)  # at which spectra are measured
TRIED = (0.4, 0.5, 0.65, 0.8, 1.0, 1.15, 1.3)  # at which a note has to start
MIDDLE = (0.8, 1.0, 1.15)  # at which it has to in every register
HERTZ = 400.0  # where it is solved; registers differ by the steps of the clock only
REGISTERS_HZ = (100.0, 200.0, 400.0, 800.0, 1600.0, 2400.0, 3200.0, 4800.0)
STEP_CENTS, INSIDE_CENTS = 25, 20  # between depths; above the lower reed
HARMONICS = 64
NOWHERE = 9.0  # least pressure of a depth at which the model is not to be trusted
MOUTHS = np.concatenate([np.linspace(0.3, 0.7, 9), np.linspace(0.715, 1.165, 31), [1.2, 1.3]])
OVER_MOUTHS = np.linspace(0.6, 1.4, 49)  # over the opening reed
QUALITY, LEAK, PUMP = 90.0, 0.16, 0.148  # of reeds, gap at the closed slot, moved air; from memory


@dataclass(frozen=True)
class Trial:
    """One set of values; `interval` 0: no other reed."""

    interval: int
    over: bool
    stiffness: float
    chamber: float
    mouth_q: float
    gap_o: float
    open_mouth: float  # its resonance for a natural note, over the closing reed

    @property
    def hole(self) -> Line:
        ratio = 2 ** (self.interval / 12)
        losses = (1 / QUALITY, ratio / QUALITY)
        other = (ratio, self.gap_o, 1.0 if self.interval else 0.0)
        rest = (LEAK, self.chamber, self.mouth_q, PUMP, float(self.over))
        return np.array([self.stiffness, *losses, *other, *rest])

    @property
    def depths(self) -> Line:
        """Cents from the closing reed that the kind must give."""
        if self.over:
            return 100.0 * (self.interval + 1) + np.array([-40.0, -20.0, 0.0])
        if self.interval >= 0:
            return np.zeros(1)
        lowest = 100 * self.interval + INSIDE_CENTS
        return np.append(np.arange(0, lowest, -STEP_CENTS), lowest).astype(float)


@dataclass(frozen=True)
class Solution:
    """How the reeds are tuned, and for each depth the mouth and how the pitch follows it."""

    tuning_cents: float
    mouths: Line
    slopes: Line


@dataclass(frozen=True)
class Run:
    """What came of a run: medians and spread of the last 80 ms, the flow, the reeds at the end."""

    hertz: float
    spread_cents: float
    rms: float
    heard: Line
    flow: Line
    state: Line


def run(trial: Trial, controls: Line, start: Line | None = None, hertz: float = HERTZ) -> Run:
    """The model; `controls` as in `chamber`, pressure already rising."""
    if start is None:
        start = np.array([0.0, 0.0, 0.8, 0.0] if trial.over else [0.8, 0.0, 0.0, 0.0])
    state = start.copy()
    flow = np.empty((controls.shape[1] - 1) * STEPS)
    heard = run_hole(trial.hole, state, hertz, controls, flow)
    late = np.maximum(heard[-80:], 1e-3)
    rms = float(flow[-80 * STEPS :].std())
    return Run(float(np.median(late)), cents(late.max(), late.min()), rms, heard, flow, state)


def held(mouth: float, pressure: float, seconds: float = 0.35) -> Line:
    """Controls of a note that nobody steers."""
    columns = int(seconds * 1000) + 1
    rising = pressure * np.clip(np.arange(columns) / 12.0, 0, 1)
    ones = np.ones(columns)
    return np.stack([1e6 * ones, mouth * ones, 0 * ones, rising])


def cents(hertz: float, base: float = HERTZ) -> float:
    return float(1200 * np.log2(hertz / base))


def pitch_cents(trial: Trial, mouth: float, pressure: float = 1.0) -> tuple[float, float]:
    """(pitch above the closing reed, NaN when it does not sound steadily; RMS)."""
    made = run(trial, held(mouth, pressure))
    steady = made.rms > 0.1 and made.hertz > 1 and made.spread_cents < 12
    return (cents(made.hertz) if steady else float("nan")), made.rms


def solve(trial: Trial) -> Solution | None:
    """The mouth for each depth, or None where the kind does not reach them."""
    if trial.over:
        mouths = OVER_MOUTHS * 2 ** (trial.interval / 12)
        return on_curve(trial, mouths, 0.0)
    natural, _ = pitch_cents(trial, trial.open_mouth)
    if np.isnan(natural) or not -60 < natural < 0:
        return None
    if trial.interval >= 0:
        return Solution(-natural, np.array([trial.open_mouth]), np.zeros(1))
    return on_curve(trial, MOUTHS, -natural)


def on_curve(trial: Trial, mouths: Line, tuning: float) -> Solution | None:
    """Reads the mouths off the curve of pitch over mouth. The reeds of an overbend are tuned up
    where the mouth alone does not reach."""
    curve = np.array([pitch_cents(trial, float(mouth))[0] for mouth in mouths])
    good = ~np.isnan(curve)
    if good.sum() < 5:
        return None
    mouths, rising = mouths[good], np.maximum.accumulate(curve[good])
    keep = np.concatenate([[True], np.diff(rising) > 0])
    mouths, rising = mouths[keep], rising[keep]
    if trial.over:
        tuning = max(0.0, trial.depths.max() - rising[-1] + 10)
    wanted = trial.depths - tuning
    if tuning > 200 or wanted.max() > rising[-1] + 30 or wanted.min() < rising[0] - 60:
        return None
    slopes = np.gradient(rising, 1200 * np.log2(mouths))
    return Solution(tuning, np.interp(wanted, rising, mouths), np.interp(wanted, rising, slopes))


def score(trial: Trial, solution: Solution) -> tuple[float, float]:
    """(share of depths and pressures at which it starts near its pitch, loudness)."""
    good, loud = 0, 0.0
    for depth, mouth in zip(trial.depths, solution.mouths, strict=True):
        for pressure in TRIED:
            pitch, rms = pitch_cents(trial, float(mouth), pressure)
            near = abs(pitch + solution.tuning_cents - depth) < 45  # False for NaN
            good += near and rms > 0.2 * pressure
            loud += float(np.log(max(rms, 1e-3)))
    cases = len(trial.depths) * len(TRIED)
    return round(good / cases, 3), loud / cases


def trials(interval: int, over: bool) -> Iterator[Trial]:
    stiff = (0.4, 0.5, 0.6, 0.7) if over else (0.2, 0.27, 0.35, 0.45)
    chambers = (4.0, 5.0, 6.5) if over else (5.0, 7.5, 11.0)
    gaps = (0.7, 1.0) if interval else (1.0,)
    mouths = (1.2, 1.3, 1.45, 1.6, 1.8, 2.1) if interval > 0 and not over else (1.3,)
    for values in product(stiff, chambers, (7.0, 10.0), gaps, mouths):
        yield Trial(interval, over, *values)


def best(interval: int, over: bool) -> tuple[Trial, Solution, float]:
    """The set that starts most often, and that share."""
    found = []
    for number, trial in enumerate(trials(interval, over)):
        solution = solve(trial)
        if solution is not None:
            found.append((score(trial, solution), -number, trial, solution))
    points, _, trial, solution = max(found, key=lambda one: one[:2])
    return trial, solution, points[0]


def spectrum(trial: Trial, mouth: float, pressure: float) -> NDArray[np.complex128]:
    """Amplitudes and phases of the harmonics, the fundamental at phase 0."""
    made = run(trial, held(mouth, pressure, 1.0))
    late = made.flow[-RATE_HZ // 2 :]
    half = len(late) // 2
    turning = np.exp(-2j * np.pi * made.hertz * np.arange(len(late)) / RATE_HZ)
    first, second = ((part * np.hanning(half)).sum() for part in np.split(late * turning, 2))
    # the phase between the two halves makes the pitch heard finer
    hertz = made.hertz + np.angle(second / first) / (2 * np.pi * half / RATE_HZ)
    orders = np.arange(1, HARMONICS + 1)
    angles = 2 * np.pi * hertz * np.arange(len(late)) / RATE_HZ
    window = late * np.hanning(len(late)) * 4 / len(late)
    waves = np.array([(window * np.exp(-1j * order * angles)).sum() for order in orders])
    return np.asarray(waves * np.exp(-1j * orders * np.angle(waves[0])))


@dataclass(frozen=True)
class Place:
    """One depth of a solved kind."""

    trial: Trial
    tuning_cents: float
    depth: float
    mouth: float
    slope: float
    start: Line

    def plays(self, pressure: float, register: float) -> bool:
        """Whether a note starts, and is steered to its pitch, in one register."""
        wanted = register * 2 ** (self.depth / 1200)
        controls = held(self.mouth, pressure, 0.6)
        controls[0], controls[2] = wanted, self.slope
        tuned = register * 2 ** (self.tuning_cents / 1200)
        made = run(self.trial, controls, self.start, tuned)
        off = np.abs(1200 * np.log2(np.maximum(made.heard[-150:], 1) / wanted))
        return bool(made.rms > 0.08 * pressure and np.median(off) < 2 and off.max() < 8)

    def trust(self) -> tuple[float, float, float]:
        """From which pressure to which it plays, around a medium one; the highest register."""
        played = [pressure for pressure in TRIED if self.plays(pressure, HERTZ)]
        failed = [pressure for pressure in TRIED if pressure not in played]
        if 1.0 not in played:
            return NOWHERE, NOWHERE, 0.0
        below = max([pressure for pressure in failed if pressure < 1.0], default=0.0)
        above = min([pressure for pressure in failed if pressure > 1.0], default=NOWHERE)
        inside = [pressure for pressure in played if below < pressure < above]
        top = 0.0
        for register in REGISTERS_HZ:
            if all(self.plays(p, register) for p in MIDDLE if p in inside):
                top = register
            elif register > HERTZ:
                break
        return min(inside), max(inside), top


def as_toml(kind: tuple[int, bool]) -> str:
    """One solved kind as a table of the data file."""
    trial, solution, started = best(*kind)
    starts = [run(trial, held(float(mouth), 1.0)).state for mouth in solution.mouths]
    rows = zip(trial.depths, solution.mouths, solution.slopes, starts, strict=True)
    trusted = [Place(trial, solution.tuning_cents, *row).trust() for row in rows]
    lines = [
        "\n[[kind]]",
        f"interval = {trial.interval}",
        f"over = {str(trial.over).lower()}",
        f"started = {started}",
        f"hole = {listed(trial.hole, 6)}",
        f"tuning_cents = {solution.tuning_cents:.2f}",
        f"cents = {listed(trial.depths, 1)}",
        f"mouth = {listed(solution.mouths, 4)}",
        f"slope = {listed(solution.slopes, 3)}",
        f"least_pressure = {[least for least, _, _ in trusted]}",
        f"most_pressure = {[most for _, most, _ in trusted]}",
        f"highest_hz = {[top for _, _, top in trusted]}",
        f"start = [{', '.join(listed(start, 3) for start in starts)}]",
    ]
    for which, pressure in enumerate(PRESSURES):
        waves = [spectrum(trial, float(mouth), pressure) for mouth in solution.mouths]
        levels = [20 * np.log10(np.maximum(np.abs(wave), 1e-6)) for wave in waves]
        phases = [np.degrees(np.angle(wave)) for wave in waves]
        lines.append(f"level_db_{which} = [{', '.join(listed(row, 1) for row in levels)}]")
        lines.append(f"phase_deg_{which} = [{', '.join(listed(row, 0) for row in phases)}]")
    print(trial, f"started {started}", trusted, flush=True)
    return "\n".join(lines) + "\n"


def listed(numbers: Line, digits: int) -> str:
    texts = [f"{number + 0.0:.{digits}f}" for number in np.round(numbers, digits) + 0.0]
    return f"[{', '.join(texts)}]"


def main() -> None:
    head = (
        "# Written by tools/solve_voice.py; do not edit. Each kind of hole: the interval from its\n"
        "# closing to its opening reed, the model's values, and what it sounds like (harmonics at\n"
        "# each of the pressures, a row for each depth in cents). See voice/kinds.py.\n"
        f"pressures = {list(PRESSURES)}\n"
    )
    kinds = [(interval, False) for interval in range(-6, 7)]
    kinds += [(interval, True) for interval in range(1, 7)]
    with Pool(2) as pool:
        solved = pool.map(as_toml, kinds, chunksize=1)
    OUT.write_text(head + "".join(solved), encoding="utf-8")


if __name__ == "__main__":
    main()
