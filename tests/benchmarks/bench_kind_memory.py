"""Operating characteristics of model memory: a piano held against earlier ones of its maker and model.

Run from the repository root::

    PYTHONPATH=src python tests/benchmarks/bench_kind_memory.py --draws 2000

Each draw invents a design from the shop book's own prior of gaps, some earlier pianos of it with differences of their
own, reads them as at the piano (set with ``u_set``, rounded to the step), and then one more piano: built and read like
the others, or with its heads miscounted, or honestly built anew. Printed for each cell: how often something is asked
(in brackets by the kind alone, the rest by the readings themselves), how often the right count is named, and how often
a changed design is noted. The same is printed without any memory. Then the earlier pianos differ more than the shop
book expects, or some were read with slips that nobody found; and last the cost of it.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from railwright.book.model import ShopBook
from railwright.book.parameters import default_rules
from railwright.computing.gap_model import prior_moments, prior_of, run_start
from railwright.computing.kind_memory import kind_memory
from railwright.computing.kind_weighing import kind_verdict
from railwright.computing.slips import diagnose
from railwright.computing.spacing import posterior
from railwright.survey.kind import EarlierSection, EarlierSurvey
from railwright.survey.records import SectionSurvey, Survey

STEPS = {"1/8 in": (3.175, "in"), "1/16 in": (1.5875, "in"), "1 mm": (1.0, "mm")}
#: Half the step of pitch inside a section in one of the worlds that the model does not know, mm.
PITCH_STEP_MM = 0.42
TAIL_FREEDOM = 3
ROOM = 3


@dataclass(frozen=True)
class World:
    """How pianos of one design differ, and what befell the earlier surveys.

    ``spread_mm`` is the standard deviation of pitch between pianos, ``slipped`` the chance of an earlier survey to hold
    a miscount or a run over eight spaces that nobody found.
    """

    name: str
    spread_mm: float
    slipped: float = 0.0
    tails: bool = False
    step: bool = False


@dataclass(frozen=True)
class Piano:
    """What the last piano is: its true heads less the design's, what is added to its pitch, and how it is counted.

    ``same_span`` spreads its heads over the design's own span.
    """

    name: str
    more_heads: int = 0
    pitch_mm: float = 0.0
    miscount: int = 0
    same_span: bool = False

    @property
    def honest(self) -> bool:
        return self.miscount == 0

    @property
    def new(self) -> bool:
        return self.more_heads != 0 or self.pitch_mm != 0.0


AS_ITS_KIND = Piano("as its kind")
SLIPS = (Piano("count one low", miscount=-1), Piano("count one high", miscount=1))
VARIANTS = (
    Piano("one damper fewer", more_heads=-1),
    Piano("one damper more", more_heads=1),
    Piano("two dampers fewer", more_heads=-2),
    *(Piano(f"pitch {pitch:+.1f} mm", pitch_mm=pitch) for pitch in (-0.9, -0.5, -0.3, 0.3, 0.5, 0.9)),
)
#: What is tried in the worlds that the model does not know.
FEW = (AS_ITS_KIND, *SLIPS, VARIANTS[0], VARIANTS[4])
LOOKALIKE = Piano("one damper fewer over the same span", more_heads=-1, same_span=True)


def default_book(**changes: float) -> ShopBook:
    return ShopBook("default", default_rules() | changes, (), (), (), ())


class Bench:
    """One kind of section and the draws about it."""

    def __init__(self, heads: int, step: str, second: bool, world: World, book: ShopBook, seed: Sequence[int]) -> None:
        self.heads, self.second, self.world, self.book = heads, second, world, book
        self.step_mm, self.unit = STEPS[step]
        self.rng = np.random.default_rng(list(seed))
        self.prior = prior_of(Survey(file=""), book)
        self.mean, covariance = prior_moments(replace(self.prior, scatter_mm=0.0), heads + ROOM)
        self.factor = np.linalg.cholesky(covariance + 1e-9 * np.eye(heads + ROOM))

    def design(self) -> np.ndarray:
        """Draw what all pianos of a design share: gaps for a few more heads than it has, head width last."""
        drawn = self.mean + self.factor @ self.rng.normal(0.0, 1.0, len(self.mean))
        if self.world.step:
            sign, at = self.rng.choice([-1.0, 1.0]), self.rng.integers(1, self.heads - 1)
            drawn[at:-1] += sign * PITCH_STEP_MM
        return drawn

    def piano(self, design: np.ndarray, heads: int, pitch_mm: float = 0.0, same_span: bool = False) -> np.ndarray:
        """Draw one piano's own gaps and head width."""
        gaps = design[: heads - 1] + pitch_mm
        if same_span:
            gaps = gaps + (design[: self.heads - 1].sum() - gaps.sum()) / len(gaps)
        own = self.rng.normal(0.0, self.prior.scatter_mm, len(gaps))
        if self.world.tails:
            own = self.prior.scatter_mm * self.rng.standard_t(TAIL_FREEDOM, len(gaps)) / np.sqrt(3.0)
        return np.r_[gaps + own + self.rng.normal(0.0, self.world.spread_mm), design[-1]]

    def read(self, truth: np.ndarray, eight: bool = False) -> dict[str, float]:
        """Read a piano: span, run, and a second run where one is taken."""
        heads = len(truth)
        lengths = {"span": truth.sum()}
        for name in ("run", "run_end")[: 2 if self.second else 1]:
            start = run_start(heads, "tenor", name) - 1
            lengths[name] = truth[start : start + 7].sum()
            if eight and name == "run" and start + 8 < heads:
                lengths[name] += truth[start + 7]
        set_ = {name: length + self.rng.normal(0.0, self.book.value("u_set")) for name, length in lengths.items()}
        return {f"{name}_mm": float(np.floor(x / self.step_mm + 0.5) * self.step_mm) for name, x in set_.items()}

    def earlier(self, design: np.ndarray, kin: int) -> list[EarlierSurvey]:
        steps = (self.step_mm,) * 3
        found = []
        for number in range(kin):
            slip = self.rng.random() < self.world.slipped
            which = self.rng.choice(["low", "high", "eight"]) if slip else ""
            readings = self.read(self.piano(design, self.heads), which == "eight")
            counted = self.heads + {"low": -1, "high": 1}.get(which, 0)
            section = EarlierSection("tenor", counted, readings["span_mm"], readings["run_mm"])
            section = replace(section, run_end_mm=readings.get("run_end_mm"))
            section = replace(section, span_step_mm=steps[0], run_step_mm=steps[1], run_end_step_mm=steps[2])
            found.append(EarlierSurvey(f"o{number}", f"s{number}", None, 0.0, (section,)))
        return found

    def draw(self, piano: Piano, kin: int) -> Survey:
        """Draw one more piano, with what is known of its kind."""
        design = self.design()
        true_heads = self.heads + piano.more_heads
        readings = self.read(self.piano(design, true_heads, piano.pitch_mm, piano.same_span))
        section = SectionSurvey(number=1, register="tenor", dampers=true_heads + piano.miscount, **readings)
        survey = Survey(file="simulated", unit=self.unit, step_mm=self.step_mm, sections=(section,))
        return replace(survey, kind=kind_memory(survey, self.earlier(design, kin), self.book)) if kin else survey


@dataclass
class Rates:
    """Shares of draws, %."""

    asked: float
    by_kind: float
    named: float
    noted: float


def rates(bench: Bench, piano: Piano, kin: int, draws: int) -> Rates:
    asked = by_kind = named = noted = 0
    right = str(bench.heads + piano.more_heads)
    for _ in range(draws):
        survey = bench.draw(piano, kin)
        report = diagnose(survey.sections[0], survey, bench.book)
        verdict = kind_verdict(survey.sections[0], survey, bench.book)
        asked += report is not None
        by_kind += report is not None and report.against_kind
        named += report is not None and report.name.startswith("count") and report.corrected == right
        noted += report is None and verdict is not None and verdict.verdict == "new design"
    return Rates(*(100.0 * each / draws for each in (asked, by_kind, named, noted)))


def aim_of(piano: Piano) -> Callable[[Rates], str]:
    if not piano.honest:
        return lambda each: "" if each.asked >= 99.0 else "  < 99 asked"
    limit = 2.0 if piano.new else 1.0
    return lambda each: "" if each.asked <= limit else f"  > {limit:g} asked"


def print_cell(bench: Bench, pianos: Sequence[Piano], kin: int, draws: int) -> None:
    for piano in pianos:
        each = rates(bench, piano, kin, draws)
        aim = "" if kin < 2 or piano is LOOKALIKE else aim_of(piano)(each)
        named = f"{each.named:6.1f}" if not piano.honest else "     -"
        print(
            f"    {piano.name:<37} {each.asked:6.2f} ({each.by_kind:6.2f}) {named} {each.noted:7.2f}{aim}", flush=True
        )


def print_bands(bench: Bench, kin: int, draws: int) -> None:
    """Compare the wires' 95 % bands with where the wires are, with and without memory."""
    inside, width = np.zeros(2), np.zeros(2)
    for _ in range(draws):
        design = bench.design()
        truth = bench.piano(design, bench.heads)
        section = SectionSurvey(number=1, register="tenor", dampers=bench.heads, **bench.read(truth))
        plain = Survey(file="simulated", unit=bench.unit, step_mm=bench.step_mm, sections=(section,))
        knowing = replace(plain, kind=kind_memory(plain, bench.earlier(design, kin), bench.book))
        at = np.cumsum(np.r_[truth[-1] / 2, truth[:-1]])
        for place, survey in enumerate((plain, knowing)):
            spacing = posterior(section, survey, bench.book)
            assert spacing is not None
            inside[place] += (np.abs(at - spacing.x_mm) <= spacing.u95_mm).mean()
            width[place] += spacing.u95_mm.mean()
    covered, half = 100 * inside / draws, width / draws
    print(
        f"  coverage of the 95 % bands {covered[0]:.1f} % without and {covered[1]:.1f} % with memory; "
        f"mean half-width {half[0]:.2f} and {half[1]:.2f} mm"
    )


def print_cost(book: ShopBook) -> None:
    """Time what memory adds to one section against the section's own model."""
    bench = Bench(28, "1/8 in", False, World("as expected", 0.06), book, [7])
    design = bench.design()
    survey = bench.draw(AS_ITS_KIND, 0)

    def median_ms(job: Callable[[], object], repeat: int = 60) -> float:
        times = []
        for _ in range(repeat):
            start = time.perf_counter()
            job()
            times.append(time.perf_counter() - start)
        return 1e3 * sorted(times)[repeat // 2]

    def whole(one: Survey) -> None:
        posterior(one.sections[0], one, book)
        diagnose(one.sections[0], one, book)
        kind_verdict(one.sections[0], one, book)

    alone = median_ms(lambda: whole(survey))
    print(f"\nCost of one section, 28 heads: {alone:.2f} ms without memory (spacing and slips)")
    for kin in (2, 5, 10, 40):
        earlier = bench.earlier(design, kin)
        knowing = replace(survey, kind=kind_memory(survey, earlier, book))
        gather = median_ms(lambda earlier=earlier: kind_memory(survey, earlier, book))
        weighed = median_ms(lambda knowing=knowing: whole(knowing))
        print(
            f"  {kin:>2} earlier ones: gathering {gather:.2f} ms, model {weighed:.2f} ms; "
            f"together {(gather + weighed) / alone:.1f} times the section alone"
        )


WORLDS = (
    World("as the shop book expects: pitch differs by 0.06 mm between pianos", 0.06),
    World("pianos alike: pitch differs by 0.02 mm", 0.02),
    World("pianos differ twice as much as expected: 0.12 mm", 0.12),
    World("pianos differ thrice as much: 0.18 mm", 0.18),
    World("one in ten earlier surveys with a slip that nobody found", 0.06, slipped=0.1),
    World("every third earlier survey with such a slip", 0.06, slipped=1 / 3),
    World("heavy-tailed scatter of gaps", 0.06, tails=True),
    World("a step in pitch inside the design", 0.06, step=True),
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--draws", type=int, default=2000)
    parser.add_argument("--kin", type=int, nargs="*", default=[0, 2, 3, 5, 10])
    parser.add_argument("--heads", type=int, default=28)
    parser.add_argument("--steps", nargs="*", default=["1/8 in"])
    parser.add_argument("--second", action="store_true", help="take a second run, too")
    parser.add_argument("--worlds", type=int, nargs="*", default=list(range(len(WORLDS))))
    parser.add_argument("--only", default="", help="only pianos whose name contains this")
    parser.add_argument("--part", choices=("all", "rates", "cost"), default="all")
    options = parser.parse_args()
    book = default_book()
    pianos = [each for each in (AS_ITS_KIND, *SLIPS, *VARIANTS, LOOKALIKE) if options.only in each.name]
    if options.part != "cost":
        print(f"{options.draws} draws. Asked %, of that by the kind; right count named %; changed design noted %")
        for step in options.steps:
            for place in options.worlds:
                world = WORLDS[place]
                print(f"\n{options.heads} heads, {step}; {world.name}")
                for kin in options.kin if place == 0 else [each for each in options.kin if each in (2, 5)]:
                    print(f"  {kin} earlier surveys")
                    seed = [options.heads, round(STEPS[step][0] * 1e4), place, kin]
                    bench = Bench(options.heads, step, options.second, world, book, seed)
                    print_cell(
                        bench, pianos if place == 0 else [each for each in pianos if each in FEW], kin, options.draws
                    )
                    if kin > 1 and not options.only:
                        print_bands(bench, kin, min(options.draws, 500))
    if options.part != "rates":
        print_cost(book)


if __name__ == "__main__":
    main()
