"""One step of a plan made from one line: what it is called, its takes and its recordings.

Conventions: as in `plan` and `takes`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from reedwright.lesson.heard import Heard
from reedwright.lesson.phrases import Phrases, phrases
from reedwright.lesson.planlines import EACH, Doing, PlanLine, tempo_text
from reedwright.lesson.plantable import PlanTable, plan_table
from reedwright.lesson.recorded import Recorded
from reedwright.lesson.study import LickStudy, PieceStudy, Study
from reedwright.lesson.takes import StepKind, Take, guessed_s, spoken_s
from reedwright.lesson.words.isolate import isolated
from reedwright.tune.findings import Finding, Severity

CHECK = "plan"
"""The word for findings about plans."""

_ANSWERED = frozenset({StepKind.LEARN, StepKind.JOIN})
"""After these the student plays the same alone; with the band both play together."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step. `lick`: slug, empty for the whole tune; `paths`: recordings to use."""

    title: str
    kind: StepKind
    lick: str
    piece_ids: tuple[str, ...]
    tempo_bpm: Fraction
    paths: tuple[str, ...]
    takes: tuple[Take, ...]

    @property
    def length_s(self) -> float:
        return sum(take.length_s for take in self.takes)


@dataclass(frozen=True, slots=True)
class Talk:
    """What a plan is made with besides the tune: what is said for each piece, by its id; numbers;
    phrases of a language. Errors: SettingError for faults in a teacher's own table."""

    words: Mapping[str, Sequence[str]] = field(default_factory=dict)
    table: PlanTable = field(default_factory=plan_table)
    said: Phrases = field(default_factory=phrases)


class Planning:
    """Makes steps of one tune; what there is to say about its lines goes to `findings`."""

    def __init__(self, study: Study, recorded: Recorded, talk: Talk) -> None:
        self._study, self._recorded, self._talk = study, recorded, talk
        self.findings: list[Finding] = []
        self._pieces: dict[str, list[PieceStudy]] = {}
        for piece in study.pieces:
            self._pieces.setdefault(piece.piece.slug, []).append(piece)

    def step(self, line: PlanLine, lick: LickStudy | None) -> Step | None:
        """The step of a line, with one lick or the whole tune; None where there is nothing to do:
        a lick of one piece has none to put together."""
        pieces = self._chosen(line, lick)
        if not pieces or (line.doing is Doing.JOIN and line.what == EACH and len(pieces) < 2):
            return None
        tempo_bpm = self._recorded.tempo(line)
        kind = _kind(line.doing, tempo_bpm < self._recorded.full_bpm)
        found = self._recorded.used(line.doing, lick, tempo_bpm)
        if self._recorded.any and not found:
            self._unheard(line, tempo_bpm)
        through = self._through(kind, lick, tempo_bpm, found)
        through = replace(
            through,
            title=self._title(kind, lick, line, pieces),
            rounds=line.rounds or through.rounds,
            piece_ids=tuple(piece.piece.id for piece in pieces),
            worth=through.worth * sum(piece.practice.effort for piece in pieces),
        )
        takes: tuple[Take, ...] = (through,)
        if kind is StepKind.LEARN:
            count_in_s = self._recorded.count_in_s(found, tempo_bpm)
            takes = tuple(self._learned(piece, through, count_in_s, line) for piece in pieces)
        ids, slug = through.piece_ids, lick.line.slug if lick else ""
        return Step(through.title, kind, slug, ids, tempo_bpm, through.paths, takes)

    def _chosen(self, line: PlanLine, lick: LickStudy | None) -> Sequence[PieceStudy]:
        if lick is None:
            return self._study.pieces
        pieces = self._pieces.get(lick.line.slug, [])
        if line.pieces is None:
            return pieces
        first, last = line.pieces
        if last > len(pieces):
            has = "1 piece" if len(pieces) == 1 else f"{len(pieces)} pieces"
            self.warn(line, f"{lick.line.lick} has {has}", "name pieces it has")
        return pieces[first - 1 : last]

    def warn(self, line: PlanLine, what: str, mend: str) -> None:
        """Say what is wrong with a line of the teacher's."""
        where = f"`{line}` in line {line.line}" if line.line else f"`{line}`"
        text = f"{where}: {what}"
        self.findings.append(Finding(Severity.WARNING, CHECK, text, mend, line=line.line, column=1))

    def _unheard(self, line: PlanLine, tempo_bpm: Fraction) -> None:
        there = ", ".join(map(tempo_text, self._recorded.tempos_bpm))
        found = f"`{line}`: no recording for it at {tempo_text(tempo_bpm)} beats a minute"
        mend = f"there are recordings at {there}; its length is counted from the beats"
        finding = Finding(Severity.ADVICE, CHECK, found, mend, line=line.line, column=1)
        if finding not in self.findings[-1:]:  # once for a line that goes through every lick
            self.findings.append(finding)

    def _title(
        self, kind: StepKind, lick: LickStudy | None, line: PlanLine, pieces: Sequence[PieceStudy]
    ) -> str:
        say = self._talk.said.say
        what = isolated(lick.line.lick) if lick else say("title", "tune")
        if line.pieces:
            first, last = pieces[0].piece.number, pieces[-1].piece.number
            name = "piece" if first == last else "pieces"
            what = say("title", name, lick=what, number=first, first=first, last=last)
        return say("title", kind.value, what=what, What=what[:1].upper() + what[1:])

    def _through(
        self,
        kind: StepKind,
        lick: LickStudy | None,
        tempo_bpm: Fraction,
        found: Sequence[Heard],
    ) -> Take:
        """A lick or the tune played through; `worth` is still a share."""
        table = self._talk.table
        numbers, words = table[kind.value], round(table[kind.value]["words"])
        play_s = self._recorded.playing_s(found, lick, tempo_bpm)
        name = f":{lick.line.slug}" if lick else ""
        return Take(
            id=f"{kind.value}{name}@{tempo_text(tempo_bpm)}",
            title="",
            kind=kind,
            tempo_bpm=tempo_bpm,
            piece_ids=(),
            paths=tuple(one.path for one in found),
            words=words,
            ready_s=table["take"]["ready-s"],
            talk_s=guessed_s(words, table),
            play_s=play_s,
            turn_s=play_s * table["take"]["turn"] if kind in _ANSWERED else 0.0,
            rounds=int(numbers["rounds"]),
            least=int(numbers["least"]),
            worth=numbers["worth"],
            guessed=not found,
        )

    def _learned(self, piece: PieceStudy, whole: Take, count_in_s: float, line: PlanLine) -> Take:
        """The take of one piece: its words, and rounds by the work that is left in it."""
        table, learn = self._talk.table, self._talk.table["learn"]
        words, talk_s = self._spoken(piece)
        play_s = count_in_s + float(piece.piece.beats * 60 / whole.tempo_bpm)
        effort, most = piece.practice.effort, int(learn["rounds"])
        rounds = max(1, min(round(effort / learn["effort-per-round"]), most))
        title, number = isolated(piece.piece.lick), piece.piece.number
        if len(self._pieces[piece.piece.slug]) > 1:
            title = self._talk.said.say("title", "piece", lick=title, number=number)
        return replace(
            whole,
            id=f"learn:{piece.piece.id}@{tempo_text(whole.tempo_bpm)}",
            title=title,
            piece_ids=(piece.piece.id,),
            words=words,
            talk_s=talk_s,
            play_s=play_s,
            turn_s=play_s * table["take"]["turn"],
            rounds=line.rounds or rounds,
            least=0 if piece.practice.fresh <= learn["known"] else whole.least,
            worth=learn["worth"] * effort,
        )

    def _spoken(self, piece: PieceStudy) -> tuple[int, float]:
        table, sentences = self._talk.table, self._talk.words.get(piece.piece.id, ())
        if sentences:
            return spoken_s(sentences, table)
        words = round(len(piece.piece.events) * table["talk"]["note-words"])
        return words, guessed_s(words, table)


def _kind(doing: Doing, slower: bool) -> StepKind:
    if doing is Doing.BAND:
        return StepKind.SLOW if slower else StepKind.FULL
    return StepKind(doing.value)
