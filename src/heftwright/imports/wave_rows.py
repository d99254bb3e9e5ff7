"""The coach's own waves, a week a row; what “25 % bands” means is asked, never guessed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from heftwright.domain.dose.waves import (
    WAVE_TEMPLATES,
    WaveStep,
    WaveTemplate,
    check_replaces,
)
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance import (
    DEFAULT_MEANING,
    BandedLoad,
    TopShareMeaning,
    accounts_of,
    take_apart,
)
from heftwright.imports.findings import CellError, Choice
from heftwright.imports.gym import Gym
from heftwright.imports.rows import ParsedRow

PCT_THOUSANDTHS = 100_000
_ON_AVERAGE = (
    "A share counted on average needs the band's own curve: hang the band on a scale, look up its "
    "share at the top, and write that one."
)


@dataclass(frozen=True, slots=True)
class _Week:
    """One good row."""

    row: ParsedRow
    number: int
    step: WaveStep
    written_as: TopShareMeaning


def read_waves(gym: Gym, rows: Iterable[ParsedRow]) -> tuple[WaveTemplate, ...]:
    """Waves of which every week is good, in file order."""
    by_wave: dict[str, list[ParsedRow]] = {}
    for row in rows:
        if "wave" in row.values:
            by_wave.setdefault(row.values["wave"], []).append(row)
    found = (_wave(gym, key, weeks) for key, weeks in by_wave.items())
    return tuple(wave for wave in found if wave is not None)


def _wave(gym: Gym, key: str, rows: list[ParsedRow]) -> WaveTemplate | None:
    weeks = [gym.attempt(row, lambda row: _week(gym, row)) for row in rows]
    good = [week for week in weeks if week is not None]
    if len(good) < len(rows):
        _hold_back(gym, [week.row for week in good], rows)
        return None
    try:
        return _checked(gym, key, good)
    except Refusal as error:
        for week in good:
            week.row.leave_out(gym.findings, str(error))
        return None


def _hold_back(gym: Gym, good: list[ParsedRow], rows: list[ParsedRow]) -> None:
    """A wave of which a week is missing is no wave: its good weeks wait or stay out with it."""
    is_out = any(row.is_out for row in rows)
    for row in good:
        if is_out:
            row.leave_out(gym.findings, "Another week of this wave is left out: mend that first.")
        else:
            row.is_waiting = True


def _checked(gym: Gym, key: str, weeks: list[_Week]) -> WaveTemplate:
    """The wave with the sheet's weeks; those it does not name stay as the gym has them."""
    numbers = sorted(week.number for week in weeks)
    if len(set(numbers)) < len(numbers):
        raise CellError("A week of this wave stands twice: keep one row of each.")
    meanings = {week.written_as for week in weeks if week.step.top_ratio}
    if len(meanings) > 1:
        raise CellError("The weeks of this wave share their bands in two ways: write them alike.")
    stands = {wave.key: wave for wave in gym.known.waves}.get(key, WAVE_TEMPLATES[key])
    steps = dict(enumerate(stands.steps, start=1)) | {week.number: week.step for week in weeks}
    if missing := set(range(1, max(steps))) - set(steps):
        raise CellError(f"Week {min(missing)} of this wave is missing: add it.")
    ordered = tuple(steps[number] for number in sorted(steps))
    wave = replace(stands, steps=ordered, written_as=next(iter(meanings), DEFAULT_MEANING))
    check_replaces(wave, WAVE_TEMPLATES[key])
    return wave


def _week(gym: Gym, row: ParsedRow) -> _Week:
    values = row.values
    load, share = values["load"] / PCT_THOUSANDTHS, values.get("bands", 0) / PCT_THOUSANDTHS
    meaning = _meaning(gym, row, load, share) if share else DEFAULT_MEANING
    if meaning.is_on_average:
        raise CellError(_ON_AVERAGE, "bands")
    account = take_apart(1, load, share, meaning)
    step = WaveStep(account.bar_kg, account.band_kg, values["most_reps"])
    return _Week(row, values["week"], step, meaning)


def _meaning(gym: Gym, row: ParsedRow, load: float, share: float) -> TopShareMeaning:
    """As the row says, or as the coach answers once for the sheet."""
    if "meaning" in row.values:
        return TopShareMeaning(row.values["meaning"])
    place = row.at("bands")
    sentence = (
        f"“{100 * share:g} % bands” with {100 * load:g} % load: a share of what? For a max of "
        "100 kg it is"
    )
    key = f"share:{place.file}:{place.sheet}"
    choices = tuple(_choices(load, share))
    return TopShareMeaning(gym.findings.ask(key, place, sentence, choices, row.text("bands")))


def _choices(load: float, share: float) -> Iterator[Choice]:
    """Each meaning with the bar and the bands that it makes of a max of 100 kg."""
    for account in accounts_of(100, load, share):
        words = (
            f"{account.bar_kg:.4g} kg on the bar and {account.band_kg:.4g} kg of bands "
            f"{account.meaning.where}: {account.meaning.shown}"
        )
        yield Choice(account.meaning.value, words)


def written_shares(step: WaveStep, meaning: TopShareMeaning) -> tuple[int, int]:
    """Load and share of bands as the coach writes them [thousandths of a per cent]."""
    whole = BandedLoad(1, step.bar_ratio, step.top_ratio, step.top_ratio)
    return (
        round(PCT_THOUSANDTHS * whole.load_ratio(meaning)),
        round(PCT_THOUSANDTHS * whole.share_ratio(meaning)),
    )
