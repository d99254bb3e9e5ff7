"""Checks a floor plan from the problem alone, written apart from everything that makes plans.

Nothing is taken from the plan that can be worked out again: loads are summed plate by plate,
changes are re-enacted turn by turn on a bar, stock is counted from the stacks.
"""

from __future__ import annotations

from collections.abc import Iterator

from heftwright.domain.floor.plan import FloorPlan, GroupPlan, Turn
from heftwright.domain.floor.policy import StackOrder
from heftwright.domain.floor.problem import FloorPlatform, FloorProblem, Lifter
from heftwright.domain.squad import AthleteId

CLOSE_S = 1e-6
CLOSE_MM = 1e-6
CELL_TICKS = 10**11  # 1 kg: how far a thinned grid of odd masses may be from the nearest load


def check_floor(problem: FloorProblem, plan: FloorPlan) -> tuple[str, ...]:
    """What is wrong with a plan, in sentences; empty when nothing is.

    Parameters
    ----------
    problem : FloorProblem
        The floor.
    plan : FloorPlan
        Any plan, from anywhere.
    """
    return (
        *_everybody_once(problem, plan),
        *_platforms(problem, plan),
        *(fault for group in plan.groups for fault in _group(problem, group)),
        *_company(problem, plan),
        *_stock(problem, plan),
    )


def _everybody_once(problem: FloorProblem, plan: FloorPlan) -> Iterator[str]:
    seen: dict[AthleteId, int] = {}
    for group in plan.groups:
        for turn in group.order:
            seen[turn.athlete] = seen.get(turn.athlete, 0) + 1
    for athlete, why in plan.unplaced:
        seen[athlete] = seen.get(athlete, 0) + 1
        if not why.strip():
            yield f"{athlete} is unplaced without a reason."
    for lifter in problem.lifters:
        times = seen.pop(lifter.athlete, 0)
        if times != 1:
            yield f"{lifter.called} is on the floor {times} times instead of once."
    for athlete in seen:
        yield f"{athlete} is on the floor but not in the class."
    if plan.scheme != problem.scheme:
        yield f"The plan is for {plan.scheme}, the problem for {problem.scheme}."


def _platforms(problem: FloorProblem, plan: FloorPlan) -> Iterator[str]:
    known = {platform.key for platform in problem.platforms}
    used: set[str] = set()
    for group in plan.groups:
        if group.platform not in known:
            yield f"Platform {group.platform} is not on the floor."
        if group.platform in used:
            yield f"Platform {group.platform} has two groups."
        used.add(group.platform)


def _group(problem: FloorProblem, group: GroupPlan) -> Iterator[str]:
    platform = next((one for one in problem.platforms if one.key == group.platform), None)
    if platform is None:
        return
    policy = problem.policy
    size = len(group.order)
    least = 1 if policy.lone_allowed else policy.group_min
    if not least <= size <= policy.group_max:
        yield f"Platform {platform.key}: a group of {size} is outside {least}–{policy.group_max}."
    if not platform.allows(group.set_up):
        yield f"Platform {platform.key}: its pegs do not allow set-up “{group.set_up}”."
    known = {lifter.athlete: lifter for lifter in problem.lifters}
    for turn in group.order:
        lifter = known.get(turn.athlete)
        if lifter is not None:
            yield from _fit(group, platform, lifter)
            yield from _load(problem, platform, lifter, turn)
    yield from _changes(group)
    yield from _clock(problem, group)


def _fit(group: GroupPlan, platform: FloorPlatform, lifter: Lifter) -> Iterator[str]:
    if lifter.bar != platform.bar:
        yield (
            f"{lifter.called} wants bar kind “{lifter.bar}”; platform {platform.key} has "
            f"“{platform.bar}”."
        )
    if lifter.needs_rack and not platform.has_rack:
        yield f"{lifter.called} needs a rack; platform {platform.key} has none."
    if lifter.set_ups.get(group.set_up) is None:
        yield f"{lifter.called} cannot use set-up “{group.set_up}”."


def _load(
    problem: FloorProblem, platform: FloorPlatform, lifter: Lifter, turn: Turn
) -> Iterator[str]:
    plates = {plate.key: plate for plate in problem.plates}
    unknown = [key for key in turn.stack if key not in plates]
    if unknown:
        yield f"{lifter.called}: plate “{unknown[0]}” is not in stock."
        return
    side = sum(plates[key].mass.ticks for key in turn.stack)
    total = platform.empty_bar.ticks + side + side
    if total != turn.load.ticks:
        yield f"{lifter.called}: the plates make another load than {turn.load}."
    if problem.is_from_floor(platform) and not (
        turn.stack and plates[turn.stack[0]].is_full_diameter
    ):
        yield f"{lifter.called}: the innermost plate must be full diameter from the floor."
    taken_mm = sum(plates[key].thickness_mm for key in turn.stack)
    if platform.sleeve_mm is not None and taken_mm > platform.sleeve_mm + CLOSE_MM:
        yield f"{lifter.called}: the plates take {taken_mm:g} mm, more than the sleeve has."
    masses = [plates[key].mass.ticks for key in turn.stack]
    if problem.policy.stack_order is StackOrder.HEAVY_INSIDE and masses != sorted(masses)[::-1]:
        yield f"{lifter.called}: a heavier plate is outside a lighter one."
    yield from _window(problem, platform, lifter, total)


def _window(
    problem: FloorProblem, platform: FloorPlatform, lifter: Lifter, total: int
) -> Iterator[str]:
    away = abs(total - lifter.target.ticks)
    if away <= lifter.tolerance.ticks and total <= lifter.heaviest.ticks:
        return
    if total > lifter.target.ticks and lifter.never_above:
        yield f"{lifter.called}: the load is above a target that must not be passed."
    elif total > lifter.target.ticks:
        yield f"{lifter.called}: the load is above target by more than the tolerance."
    for other in _loadable(problem, platform, lifter.heaviest.ticks):
        if abs(other - lifter.target.ticks) <= max(lifter.tolerance.ticks, away - CELL_TICKS):
            yield f"{lifter.called}: a load nearer to target can be made."
            return


def _loadable(problem: FloorProblem, platform: FloorPlatform, most: int) -> set[int]:
    """Every total up to ``most`` that the stock makes on this bar; smallest first plate aside."""
    on_floor = problem.is_from_floor(platform)
    states = {(platform.empty_bar.ticks, not on_floor)}
    for plate in problem.plates:
        grown = set(states)
        for total, stands in states:
            for pairs in range(1, plate.pairs + 1):
                heavier = total + 2 * pairs * plate.mass.ticks
                if heavier > most:
                    break
                grown.add((heavier, stands or plate.is_full_diameter))
        states = grown
    floor = platform.empty_bar.ticks if on_floor else -1
    return {total for total, stands in states if stands and total > floor}


def _changes(group: GroupPlan) -> Iterator[str]:
    """Re-enacts one round on a sleeve."""
    sleeve = list(group.order[-1].stack) if group.order else []
    for turn in group.order:
        for key in turn.off:
            if not sleeve or sleeve.pop() != key:
                yield f"Platform {group.platform}: “{key}” comes off but is not outermost."
                return
        sleeve += turn.on
        if tuple(sleeve) != turn.stack:
            yield f"Platform {group.platform}: after the change the stack is not {turn.athlete}'s."
            return


def _clock(problem: FloorProblem, group: GroupPlan) -> Iterator[str]:
    plates = {plate.key: plate for plate in problem.plates}
    if any(key not in plates for turn in group.order for key in turn.off + turn.on):
        return
    times, scheme = problem.times, problem.scheme
    change_s, moved = 0.0, 0
    for turn in group.order:
        moved += len(turn.off) + len(turn.on)
        change_s += sum(plates[key].off_s for key in turn.off)
        change_s += sum(plates[key].on_s for key in turn.on)
        change_s += times.collars_s if turn.off or turn.on else 0.0
    set_s = times.fixed_s + times.per_rep_s * scheme.reps
    round_s = max(len(group.order) * (set_s + times.set_up_s) + change_s, scheme.rest_s + set_s)
    shown = (group.change_s, group.round_s, group.finish_s)
    true = (change_s, round_s, scheme.sets * round_s)
    if any(abs(one - other) > CLOSE_S for one, other in zip(shown, true, strict=True)):
        yield f"Platform {group.platform}: the clock does not add up."
    always = _always_on([turn.stack for turn in group.order])
    if group.moves != 2 * moved * scheme.sets + 4 * always:
        yield f"Platform {group.platform}: the plate moves do not add up."


def _always_on(stacks: list[tuple[str, ...]]) -> int:
    count = 0
    for layer in zip(*stacks, strict=False):
        if len(set(layer)) > 1:
            break
        count += 1
    return count


def _company(problem: FloorProblem, plan: FloorPlan) -> Iterator[str]:
    known = {lifter.athlete: lifter for lifter in problem.lifters}
    for group in plan.groups:
        here = {turn.athlete for turn in group.order}
        for athlete in sorted(here & known.keys()):
            for other in sorted(known[athlete].apart & here):
                yield f"{athlete} and {other} must not share platform {group.platform}."


def _stock(problem: FloorProblem, plan: FloorPlan) -> Iterator[str]:
    plates: dict[str, int] = {}
    bands: dict[str, int] = {}
    by_key = {set_up.key: set_up for set_up in problem.set_ups}
    for group in plan.groups:
        for key in {key for turn in group.order for key in turn.stack}:
            most = max(turn.stack.count(key) for turn in group.order)
            plates[key] = plates.get(key, 0) + most
        if group.set_up not in by_key:
            yield f"Platform {group.platform}: set-up “{group.set_up}” is unknown."
            continue
        for key, pairs in by_key[group.set_up].bands.items():
            bands[key] = bands.get(key, 0) + pairs
    if problem.policy.shares_plates:
        for plate in problem.plates:
            if plates.get(plate.key, 0) > plate.pairs:
                yield f"{plates[plate.key]} pairs of “{plate.key}” are needed, {plate.pairs} exist."
    for key, pairs in bands.items():
        if pairs > problem.bands.get(key, 0):
            yield f"{pairs} pairs of band “{key}” are needed, {problem.bands.get(key, 0)} exist."
