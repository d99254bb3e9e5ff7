"""From wanted work and a floor plan to the lines that every surface shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from heftwright.domain.catalogue import Catalogue
from heftwright.domain.dose.guards import Guard
from heftwright.domain.dose.zones import ZoneTable
from heftwright.domain.floor.plan import FloorPlan, GroupPlan, Turn
from heftwright.domain.floor.problem import STRAIGHT
from heftwright.domain.floor.stacks import without
from heftwright.domain.floor.tonight import TonightsFloor
from heftwright.domain.floor.usual_moves import usual_moves
from heftwright.domain.floor.work_up import WorkUp, changing_s, work_ups
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.prescription.cautions import NOTES, WORDS
from heftwright.domain.prescription.reasons import ReasonKind, reason
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.limits import Ratings, hard_stops, rating_stops
from heftwright.domain.resistance.load import LoadCurve, load_along
from heftwright.domain.resistance.rigs import SetUp
from heftwright.domain.sheet.class_sheet import (
    LadderStep,
    LifterLine,
    PlatformSheet,
    RopeChart,
    Unplaced,
)
from heftwright.domain.sheet.gear_checks import (
    over_limits,
    ratings_for,
    room_stops,
    stripping_cautions,
)
from heftwright.domain.sheet.going_on import Begun
from heftwright.domain.sheet.line_guards import (
    QUIET,
    OnTheBar,
    guards_on_line,
    held_to_table,
    soft_words,
)
from heftwright.domain.sheet.load_reason import load_reason
from heftwright.domain.sheet.sleeve import LoadedSleeve, PlateOnBar
from heftwright.domain.sheet.work_up import heavy_start, steps_of
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.stock import PlatePair, RatingOverride, Stock


@dataclass(frozen=True, slots=True)
class Assembly:
    """What the lines are put together from.

    Parameters
    ----------
    day : date
        Tonight.
    wanted : Mapping
        Athlete -> wanted work.
    athletes : Mapping
        Athlete -> who that is.
    stock : Stock
        For plates, their sizes and colours.
    catalogue : Catalogue
        For lift names.
    floor : TonightsFloor
        Problem, rigs and bars.
    unit : MassUnit
        How masses are shown.
    zones : ZoneTable or None
        Hold the number of lifts against this print of the zone table, or against none.
    begun : Mapping
        Platform key -> how far it was, for a plan made in the middle of the class.
    warm_up_min : float
        From the start of the class to the first set [min].
    newcomers : frozenset of AthleteId
        Who was not in the plan that this one goes on from.
    overrides : tuple of RatingOverride
        Maker's limits that the owner lifted.
    keeps_scheme : bool
        The coach chose the scheme by hand: it is asked about, never cut.
    """

    day: date
    wanted: Mapping[AthleteId, WantedWork]
    athletes: Mapping[AthleteId, Athlete]
    stock: Stock
    catalogue: Catalogue
    floor: TonightsFloor
    unit: MassUnit = MassUnit.KG
    zones: ZoneTable | None = None
    begun: Mapping[str, Begun] = field(default_factory=dict)
    warm_up_min: float = 0.0
    newcomers: frozenset[AthleteId] = frozenset()
    overrides: tuple[RatingOverride, ...] = ()
    keeps_scheme: bool = False


def assemble(
    plan: FloorPlan, parts: Assembly
) -> tuple[tuple[PlatformSheet, ...], tuple[Unplaced, ...]]:
    """Platforms in order, and everybody who has no bar, with the reason.

    A line over a rating or outside a band's safe stretch becomes an ``Unplaced`` with the hard
    stop's sentence: it is refused, never shown as a load, and the others change from each other.
    """
    parts = _held_to_table(plan, parts)
    stopped = {
        turn.athlete: why
        for group in plan.groups
        for turn in group.order
        if (why := _stops(group, turn, parts))
    }
    plan = without(parts.floor.problem, plan, stopped.keys())
    rising = _work_ups(plan, parts)
    platforms = [_with_lines(group, rising.get(group.platform), parts) for group in plan.groups]
    unplaced = [_unplaced(who, why, parts) for who, why in (*plan.unplaced, *stopped.items())]
    return tuple(platforms), tuple(unplaced)


def _with_lines(group: GroupPlan, rising: WorkUp | None, parts: Assembly) -> PlatformSheet:
    lines = [_rising(_line(group, turn, parts), rising, group, parts) for turn in group.order]
    if rising is not None:
        lines.sort(key=lambda line: rising.order.index(line.athlete))
    return _platform_sheet(group, tuple(lines), rising, parts)


def _unplaced(athlete: AthleteId, why: str, parts: Assembly) -> Unplaced:
    person = parts.athletes[athlete]
    told = why.removeprefix(f"{person.name}: ")
    return Unplaced(athlete, person.number, person.name, told[:1].upper() + told[1:])


def _work_ups(plan: FloorPlan, parts: Assembly) -> dict[str, WorkUp]:
    """Max-effort days: every platform's rounds up to the top sets; empty on other days."""
    steps = {
        turn.athlete: steps_of(
            parts.wanted[turn.athlete], turn.load, parts.floor.bars[group.platform].empty
        )
        for group in plan.groups
        if any(parts.wanted[turn.athlete].max_effort is not None for turn in group.order)
        for turn in group.order
    }
    return work_ups(parts.floor.problem, plan, steps) if steps else {}


def _platform_sheet(
    group: GroupPlan, lines: tuple[LifterLine, ...], rising: WorkUp | None, parts: Assembly
) -> PlatformSheet:
    sheet = PlatformSheet(
        key=group.platform,
        bar_name=parts.floor.bars[group.platform].name,
        rig=_rig_words(group.set_up, parts),
        lifters=lines,
        round_s=group.round_s,
        finish_min=0.0,
        moves=group.moves,
        turns_s=() if rising else _turns_s(group, parts),
    )
    if rising is not None:
        sheet = replace(
            sheet, rounds_s=rising.rounds_s, moves=rising.moves,
            usual_moves=usual_moves(
                parts.floor.problem, parts.floor.problem.platform(group.platform), rising
            ),
        )  # fmt: skip
    begun = parts.begun.get(group.platform)
    if begun is None:
        # Not by the class's scheme: where everybody's sets were cut, it is done sooner.
        return replace(sheet, finish_min=sheet.left_s / 60 + parts.warm_up_min, on_bar=())
    going_on = replace(
        sheet, done_sets=min(begun.done_sets, sheet.sets), on_bar=begun.on_bar,
        finishing=begun.finishing,
    )  # fmt: skip
    return replace(going_on, finish_min=(begun.round_began_s + going_on.left_s) / 60)


def _turns_s(group: GroupPlan, parts: Assembly) -> tuple[float, ...]:
    """Change, set-up and set of every turn [s]."""
    problem = parts.floor.problem
    own_s = problem.times.set_up_s + problem.set_s
    return tuple(changing_s(problem, turn) + own_s for turn in group.order)


def _rig_words(key: str, parts: Assembly) -> str:
    return "" if key == STRAIGHT else parts.floor.set_ups[key].name


def _curve(group: GroupPlan, turn: Turn, parts: Assembly) -> LoadCurve | None:
    path = parts.wanted[turn.athlete].path
    if path is None or group.set_up == STRAIGHT:
        return None
    return load_along(turn.load.in_kg, parts.floor.set_ups[group.set_up], path)


def _stops(group: GroupPlan, turn: Turn, parts: Assembly) -> str:
    """Why this load must not be lifted: ratings and stretch, then the guards; empty if nothing."""
    gear = _gear_stops(group, turn, parts)
    hard = [guard.sentence for guard in _guards(group, turn, parts) if guard.is_hard]
    return " ".join((*gear, *hard))


def _gear_stops(group: GroupPlan, turn: Turn, parts: Assembly) -> tuple[str, ...]:
    room = room_stops(parts.floor.bars[group.platform], _plates_on(turn, parts))
    curve, ratings = _curve(group, turn, parts), _ratings(group, turn, parts)
    if curve is None:
        return (*rating_stops(turn.load.in_kg, ratings, parts.day), *room)
    setup = parts.floor.set_ups[group.set_up]
    return (*hard_stops(curve, setup, ratings, parts.day), *room)


def _ratings(group: GroupPlan, turn: Turn, parts: Assembly) -> Ratings:
    lift = parts.catalogue[parts.wanted[turn.athlete].lift]
    bar = parts.floor.bars[group.platform]
    return ratings_for(lift, bar, group.platform, parts.stock, parts.overrides)


def _over_limits(group: GroupPlan, turn: Turn, parts: Assembly) -> tuple[str, ...]:
    curve = _curve(group, turn, parts)
    return over_limits(turn.load, curve, _ratings(group, turn, parts), parts.day)


def _plates_on(turn: Turn, parts: Assembly) -> tuple[PlatePair, ...]:
    plates = {plate.key: plate for plate in parts.stock.plates}
    return tuple(plates[key] for key in turn.stack)


def _guards(group: GroupPlan, turn: Turn, parts: Assembly) -> tuple[Guard, ...]:
    work, curve = parts.wanted[turn.athlete], _curve(group, turn, parts)
    rig = None if group.set_up == STRAIGHT else parts.floor.set_ups[group.set_up]
    bar = OnTheBar(turn.load.in_kg, curve.top_kg if curve else turn.load.in_kg, rig)
    lift, athlete = parts.catalogue[work.lift], parts.athletes[turn.athlete]
    return guards_on_line(work, bar, lift, athlete, parts.day, parts.zones)


def _held_to_table(plan: FloorPlan, parts: Assembly) -> Assembly:
    """The wanted work with no more sets than the zone table takes at the load that came out."""
    if parts.zones is None or parts.keeps_scheme:
        return parts
    wanted = dict(parts.wanted)
    for group in plan.groups:
        for turn in group.order:
            curve = _curve(group, turn, parts)
            bar = OnTheBar(turn.load.in_kg, curve.top_kg if curve else turn.load.in_kg)
            wanted[turn.athlete] = held_to_table(wanted[turn.athlete], bar, parts.zones)
    return replace(parts, wanted=wanted)


def _stripping_words(group: GroupPlan, turn: Turn, parts: Assembly) -> tuple[str, ...]:
    lift = parts.catalogue[parts.wanted[turn.athlete].lift]
    if "rack" not in lift.kit:
        return ()
    return stripping_cautions(parts.floor.bars[group.platform], _plates_on(turn, parts))


def _line(group: GroupPlan, turn: Turn, parts: Assembly) -> LifterLine:
    work, athlete = parts.wanted[turn.athlete], parts.athletes[turn.athlete]
    curve = _curve(group, turn, parts)
    load_kg = turn.load.in_kg
    return LifterLine(
        athlete=turn.athlete,
        number=athlete.number,
        name=athlete.name,
        lift_name=parts.catalogue[work.lift].name,
        scheme=work.scheme,
        load=turn.load,
        unit=parts.unit,
        sleeve=_sleeve(group, turn, parts),
        rig=_rig_words(group.set_up, parts),
        bottom_kg=curve.bottom_kg if curve else load_kg,
        top_kg=curve.top_kg if curve else load_kg,
        top_sd_kg=curve.top_sd_kg if curve else 0.0,
        bar_share_pct=100 * load_kg / work.max_kg,
        top_share_pct=100 * (curve.top_kg - load_kg) / work.max_kg if curve else 0.0,
        max_words=work.max_words,
        is_estimated=work.is_estimated,
        is_minor=work.is_minor,
        reasons=_reasons(work, group, turn, curve, parts),
        cautions=(
            *(WORDS[caution] for caution in work.cautions if caution not in QUIET),
            *soft_words(_guards(group, turn, parts), interrupting=True),
            *_stripping_words(group, turn, parts),
            *_over_limits(group, turn, parts),
        ),
        notes=(
            *(WORDS[caution] for caution in work.cautions if caution in NOTES),
            *soft_words(_guards(group, turn, parts), interrupting=False),
        ),
        is_top_open=work.is_top_open,
        rope=_rope(curve, work.path, work.max_kg) if curve and work.path else None,
        is_max_attempt=work.aims_at_the_top,
    )


def _reasons(
    work: WantedWork, group: GroupPlan, turn: Turn, curve: LoadCurve | None, parts: Assembly
) -> tuple[str, ...]:
    found = list(work.reasons)
    if curve is not None and work.path is not None:
        choice = next(c for c in work.choices if c.setup.key == group.set_up)
        slack = 100 * work.top_slack_ratio
        found += [
            reason(
                ReasonKind.RIG_ADDS,
                rig=_sentence_case(choice.setup),
                bottom=_kg(choice.bottom_kg, parts.unit),
                top=_kg(choice.top_kg, parts.unit),
                sd=_kg(choice.top_sd_kg, parts.unit),
                travel=f"{100 * (work.path.end_m - work.path.start_m):.0f} cm",
            ),
            reason(
                ReasonKind.TOP_SHARE,
                pct=f"{100 * choice.top_ratio:.0f}",
                lo=f"{100 * work.top_ratio - slack:.0f}",
                hi=f"{100 * work.top_ratio + slack:.0f}",
            ),
        ]
    smallest_kg = min((p.mass.in_kg for p in parts.stock.plates if p.pairs), default=1.25)
    found.append(load_reason(work, turn.load, smallest_kg, parts.unit))
    return tuple(item.sentence for item in found)


def _sentence_case(setup: SetUp) -> str:
    return setup.name[:1].upper() + setup.name[1:]


def _kg(value: float, unit: MassUnit) -> str:
    return Mass.nearest_kg(value).shown(unit, 1)


def _sleeve(group: GroupPlan, turn: Turn, parts: Assembly) -> LoadedSleeve:
    bar = parts.floor.bars[group.platform]
    plates = {plate.key: plate for plate in parts.stock.plates}

    def drawn(keys: tuple[str, ...]) -> tuple[PlateOnBar, ...]:
        return tuple(_plate(plates[key], parts.unit) for key in keys)

    return LoadedSleeve(
        bar.name, bar.sleeve.in_mm, drawn(turn.stack), bar.collar, drawn(turn.off), drawn(turn.on)
    )


def _rising(line: LifterLine, made: WorkUp | None, group: GroupPlan, parts: Assembly) -> LifterLine:
    """The line with its work-up round by round, where there is one."""
    if made is None:
        return line
    steps = tuple(
        LadderStep(item.turn.load, item.reps, _sleeve(group, item.turn, parts), number)
        for number, turns in enumerate(made.rounds, 1)
        for item in turns
        if item.turn.athlete == line.athlete
    )
    return replace(
        line, steps=steps, sleeve=steps[-1].sleeve, ladder=_rungs(steps),
        scheme=replace(line.scheme, sets=1 if _rungs(steps) else len(steps)),
        cautions=(*line.cautions, *_warm_up_first(line, steps, group, parts)),
        notes=(*line.notes, *heavy_start(parts.wanted[line.athlete], steps[0].load)),
    )  # fmt: skip


def _warm_up_first(
    line: LifterLine, steps: tuple[LadderStep, ...], group: GroupPlan, parts: Assembly
) -> tuple[str, ...]:
    """Who comes in the middle of a work-up must not start at what the others have reached."""
    begun = parts.begun.get(group.platform)
    if begun is None or line.athlete not in parts.newcomers:
        return ()
    missed = [step.load for step in steps if step.round_number <= begun.done_sets]
    if not missed or not _rungs(steps):
        return ()
    loads = ", ".join(load.shown(parts.unit) for load in missed)
    return (f"Came late: warm up beside the platform with {loads} before the first turn.",)


def _rungs(steps: tuple[LadderStep, ...]) -> tuple[Mass, ...]:
    """The loads of a work-up; empty where every set has the same load."""
    loads = tuple(step.load for step in steps)
    return loads if len(set(loads)) > 1 else ()


def _plate(plate: PlatePair, unit: MassUnit) -> PlateOnBar:
    printed = plate.nominal or plate.mass
    return PlateOnBar(
        key=plate.key,
        mass=plate.mass,
        label=printed.shown(unit).partition(" ")[0],
        diameter_mm=plate.diameter.in_mm,
        thickness_mm=plate.thickness.in_mm,
        colour=plate.colour,
    )


def _rope(curve: LoadCurve, path: BarPath, max_kg: float) -> RopeChart:
    return RopeChart(
        curve.heights_m, curve.bar_kg, curve.total_kg, curve.sd_kg, tuple(path.marks), max_kg
    )
