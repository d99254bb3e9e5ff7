"""Which rigs a gym can build, and which of them suits an athlete."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from resistance_gear import DAY, band, chain, reading

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.chooser import (
    ChoiceError,
    WantedShare,
    choose,
    choose_for_class,
    fits_platform,
    free_at_once,
    left_out,
    possible_setups,
    swept,
)
from heftwright.domain.resistance.load import total_sd_kg
from heftwright.domain.resistance.rigs import band_part, chain_part, set_up
from heftwright.domain.stock import Platform, RigKind, Stock

PULL = BarPath(0.225, 0.78, 0.005, "taped", ())
LOOSE = BarPath(0.225, 0.78, 0.0222, "from stature", ())


def short(key, top_kg, pairs=1, **more):
    """A short band for pulls, read at three lengths up to 0.80 m."""
    rows = ((0.45, 0.35 * top_kg), (0.60, 0.65 * top_kg), (0.80, top_kg))
    more.setdefault("safe_length", Length.m("0.9"))
    return band(*rows, rest_m=0.32, key=key, pairs=pairs, **more)


FLOOR = Platform("P1", peg_heights=(Length.cm(5),))
STOCK = Stock(
    bands=(short("blue", 10), short("green", 15, 2), short("black", 24)),
    chains=(chain(pairs=4),),
    platforms=(FLOOR, Platform("P2", peg_heights=(Length.cm(5),)), Platform("P3")),
)


def names(setups):
    return [setup.key for setup in setups]


def choices(path=PULL, wanted=0.20, lo=0.15, hi=0.25, stock=STOCK, max_kg=200):
    return choose(
        possible_setups(stock, DAY), path, max_kg, wanted_ratio=wanted, lo_ratio=lo, hi_ratio=hi
    )


# --- what can be built ------------------------------------------------------------------------


def test_single_bands_pairs_of_bands_and_chains_are_offered_once_a_peg():
    keys = names(possible_setups(STOCK, DAY))
    assert len(keys) == len(set(keys))
    assert "blue:choked:50+0" in keys
    assert "blue:doubled:50+0" in keys
    assert "blue:choked:50+0&green:choked:50+0" in keys
    assert "2xgreen:choked:50+0" in keys
    assert "2xblue:choked:50+0" not in keys  # one pair in stock
    assert {"long:single:0", "long:looped:0", "3xlong:single:0"} <= set(keys)
    assert "4xlong:single:0" not in keys
    assert len(keys) == 2 * (3 + 3 + 1) + 6


def test_plain_rigs_are_built_before_doubled_ones():
    keys = [key for key in names(possible_setups(STOCK, DAY)) if "&" not in key]
    assert keys[:2] == ["blue:choked:50+0", "green:choked:50+0"]
    assert keys.index("black:choked:50+0") < keys.index("blue:doubled:50+0")


def test_bands_and_chains_are_mixed_only_when_asked():
    plain, mixed = (possible_setups(STOCK, DAY, has_mixed=flag) for flag in (False, True))
    added = set(names(mixed)) - set(names(plain))
    assert len(added) == 6 * 2
    assert "blue:choked:50+0&long:single:0" in added


def test_without_pegs_there_are_only_chains():
    stock = replace(STOCK, platforms=(Platform("P3"),))
    assert all(setup.chain_parts for setup in possible_setups(stock, DAY))


def test_every_peg_height_and_offset_is_its_own_rig():
    rack = Platform("R", peg_heights=(Length.cm(5), Length.cm(20)), peg_offset=Length.cm(10))
    keys = names(possible_setups(replace(STOCK, platforms=(FLOOR, rack)), DAY))
    assert {"blue:choked:50+0", "blue:choked:50+100", "blue:choked:200+100"} <= set(keys)
    plain = [key.partition(":choked:")[2] for key in keys if key.startswith("blue:choked")]
    assert list(dict.fromkeys(key.partition("&")[0] for key in plain)) == [
        "50+0",
        "50+100",
        "200+100",
    ]


def test_high_pegs_unload_and_are_never_doubled():
    stock = replace(STOCK, platforms=(Platform("R", peg_heights=(Length.m("2.3"),)),), chains=())
    setups = possible_setups(stock, DAY)
    assert {part.rig for setup in setups for part in setup.band_parts} == {RigKind.FROM_ABOVE}
    assert all(float(setup.tension_kg(0.5)) < 0 for setup in setups)


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"retire_on": DAY}, "was to be retired on"),
        ({"inspected_on": DAY - timedelta(days=183)}, "last inspected"),
        ({"pairs": 0}, "no pair in stock"),
        ({"readings": ()}, "never read"),
        ({"readings": (), "guess_top_force": Mass.kg(30)}, "is a guess"),
        ({"readings": (reading(0.5, 9), reading(0.7, 7))}, "never pulls less"),
        (
            {
                "readings": (
                    reading(0.5, 9),
                    *(reading(x, 9 - x, rig=RigKind.DOUBLED) for x in (0.25, 0.35)),
                )
            },
            "never pulls less",
        ),
    ],
)
def test_a_band_that_must_not_be_used_is_left_out_and_the_reason_told(changes, why):
    bad = replace(short("bad", 20), **changes)
    stock = replace(STOCK, bands=(*STOCK.bands, bad))
    assert not any("bad" in key for key in names(possible_setups(stock, DAY)))
    assert any(why in reason for reason in left_out(stock, DAY))


def test_nothing_is_left_out_of_a_stock_in_order():
    fresh = short("fresh", 20, inspected_on=DAY - timedelta(days=182), retire_on=date(2026, 3, 3))
    stock = replace(STOCK, bands=(fresh,))
    assert left_out(stock, DAY) == ()
    assert any("fresh" in key for key in names(possible_setups(stock, DAY)))


def test_a_band_read_single_is_used_single():
    rows = tuple(replace(r, rig=RigKind.SINGLE) for r in short("one", 20).readings)
    stock = replace(STOCK, bands=(replace(short("one", 20), readings=rows),), chains=())
    assert "one:single:50+0" in names(possible_setups(stock, DAY))
    both = rows + short("one", 20).readings
    stock = replace(stock, bands=(replace(short("one", 20), readings=both),))
    assert "one:choked:50+0" in names(possible_setups(stock, DAY))


def test_free_at_once_is_the_scarcest_part():
    by_key = {setup.key: setup for setup in possible_setups(STOCK, DAY)}
    assert free_at_once(by_key["green:choked:50+0"], STOCK) == 2
    assert free_at_once(by_key["2xgreen:choked:50+0"], STOCK) == 1
    assert free_at_once(by_key["blue:choked:50+0&green:choked:50+0"], STOCK) == 1
    assert free_at_once(by_key["2xlong:single:0"], STOCK) == 2
    assert free_at_once(by_key["blue:choked:50+0"], Stock()) == 0
    assert free_at_once(by_key["long:single:0"], Stock()) == 0


def test_a_rig_fits_the_platforms_that_have_its_pegs():
    by_key = {setup.key: setup for setup in possible_setups(STOCK, DAY)}
    plain = by_key["blue:choked:50+0"]
    assert fits_platform(plain, FLOOR)
    assert not fits_platform(plain, Platform("P3"))
    assert not fits_platform(plain, replace(FLOOR, peg_offset=Length.cm(10)))
    assert fits_platform(by_key["long:single:0"], Platform("P3"))


# --- which suits ------------------------------------------------------------------------------


def gaps_of(ranked, gap):
    """Whether those within are in order of their gap, a loose band counting two points more."""
    gaps = [
        round(abs(gap(c)) / 0.005) + 4 * c.setup.is_slack_at(PULL.start_m)
        for c in ranked
        if c.is_within
    ]
    return gaps and gaps == sorted(gaps)


def test_a_chain_wholly_off_the_floor_is_straight_weight_and_never_within():
    squat = BarPath(0.8, 1.45, 0.005, "taped", ())
    stock = Stock(chains=(chain(length_m="1.6", pairs=3),))
    ranked = choices(path=squat, stock=stock, wanted=0.06, lo=0, hi=1)
    looped = [c for c in ranked if "looped" in c.setup.key]
    hanging = [c for c in ranked if "single" in c.setup.key]
    assert all(not c.is_within and "like plates" in c.notes[-1] for c in looped)
    assert all(c.is_within for c in hanging)
    assert ranked[0] in hanging


def test_a_loose_band_ranks_as_two_points_further_off():
    banded = set_up(band_part(short("taut", 15)))
    chained = set_up(chain_part(chain(kg_per_m="9.7"), pairs=2))
    wanted = float(banded.tension_kg(0.80)) / 200  # the band gives exactly this
    assert 0.005 < float(chained.tension_kg(0.80)) / 200 - wanted < 0.018
    for bottom_m, best in ((0.33, banded), (0.30, chained)):  # the band is 0.32 m at rest
        path = BarPath(bottom_m, 0.80, 0.005, "taped", ())
        ranked = choose([banded, chained], path, 200, wanted_ratio=wanted, lo_ratio=0, hi_ratio=1)
        assert ranked[0].setup == best


def hung(top_ratio, pairs, path, max_kg=200):
    """Chains by one end that give a share of the max at the top."""
    kg_per_m = top_ratio * max_kg / (2 * pairs * path.end_m)
    return set_up(chain_part(chain(kg_per_m=f"{kg_per_m:.6f}", key=f"c{pairs}"), pairs=pairs))


def test_a_loose_band_is_passed_over_for_less_than_two_points_and_not_for_two():
    banded = set_up(band_part(short("taut", 15)))
    path = BarPath(0.30, 0.80, 0.005, "taped", ())  # the band is 0.32 m at rest: loose
    wanted = float(banded.tension_kg(0.80)) / 200
    for further_ratio, best in ((0.014, "chain"), (0.020, "band")):
        rigs = [banded, hung(wanted + further_ratio, 2, path)]
        ranked = choose(rigs, path, 200, wanted_ratio=wanted, lo_ratio=0, hi_ratio=1)
        assert ("chain" if ranked[0].setup.chain_parts else "band") == best


def test_nearer_by_more_than_a_quarter_point_beats_fewer_pairs():
    # Shares are told apart in half points: 0.28 of a point rounds to one, 0.22 to none.
    path = BarPath(0.225, 0.80, 0.005, "taped", ())
    for off_ratio, best in ((0.0028, 2), (0.0022, 1)):
        rigs = [hung(0.05, 2, path), hung(0.05 + off_ratio, 1, path)]
        ranked = choose(rigs, path, 200, wanted_ratio=0.05, lo_ratio=0, hi_ratio=1)
        assert ranked[0].setup.chain_parts[0].pairs == best


def test_a_wish_without_any_tolerance_is_a_wish():
    assert WantedShare(200, 0.2, 0.2, 0.2).ratio_of(40, 20) == 0.2
    assert WantedShare(0.5, 0.2, 0.2, 0.2).ratio_of(0.1, 0) == 0.2  # nor is a max too small


def test_the_rig_nearest_the_wanted_share_comes_first():
    ranked = choices()
    best = ranked[0]
    assert best.is_within
    assert 0.15 <= best.top_ratio <= 0.25
    assert gaps_of(ranked, lambda c: c.top_ratio - 0.20)
    assert best.top_ratio == pytest.approx(best.top_kg / 200)
    assert best.top_kg == pytest.approx(float(best.setup.tension_kg(0.78)))
    assert best.bottom_kg == pytest.approx(float(best.setup.tension_kg(0.225)))
    assert best.top_sd_kg == pytest.approx(float(total_sd_kg(best.setup, 0.78, PULL)))


def test_every_rig_is_answered_and_the_unusable_come_last():
    ranked = choices()
    assert len(ranked) == len(possible_setups(STOCK, DAY))
    assert [bool(choice.stops) for choice in ranked] == sorted(bool(c.stops) for c in ranked)
    within = [choice.is_within for choice in ranked]
    assert within == sorted(within, reverse=True)


def test_a_doubled_band_past_its_limit_is_never_within():
    # 0.73 m from the peg is 1.46 m of loop on a band that may be stretched to 0.9 m.
    doubled = [c for c in choices(lo=-10, hi=10) if "doubled" in c.setup.key]
    assert doubled
    assert all(c.stops and not c.is_within for c in doubled)
    assert "past its limit of 90 cm" in doubled[0].stops[0]


def test_a_band_past_its_rated_pull_is_never_within_and_the_next_best_is_offered():
    # 24 kg is read at 0.80 m from the peg and the lockout is 0.73 m above it: over 15 kg a loop.
    bands_only = replace(STOCK, chains=())
    free = choices(stock=bands_only)[0]
    assert "black" in free.setup.key
    assert free.is_within
    weak = replace(STOCK.bands[2], rated_force=Mass.kg(15))
    rated = choices(stock=replace(bands_only, bands=(*STOCK.bands[:2], weak)))
    black = [c for c in rated if "black" in c.setup.key]
    assert all(c.stops and not c.is_within for c in black)
    assert "rated for a pull of 15 kg a loop" in " ".join(black[0].stops)
    assert "black" not in rated[0].setup.key
    assert not rated[0].stops


def test_of_equal_rigs_fewer_pairs_and_then_the_surer_one_comes_first():
    twin = Stock(bands=(short("a", 10, 2), short("z", 20)), platforms=(FLOOR,))
    top = 2 * 20 * 0.73 / 0.80 / 200
    ranked = choices(stock=twin, wanted=top, lo=0, hi=1)
    near = [c.setup.key for c in ranked if not c.stops][:2]
    assert near[0] == "z:choked:50+0"
    one, three = band((0.80, 20), rest_m=0.32, key="one", pairs=1), short("three", 20)
    ranked = choices(stock=Stock(bands=(one, three), platforms=(FLOOR,)), lo=0, hi=1)
    usable = {c.setup.key: c for c in ranked if len(c.setup.parts) == 1}
    assert usable["one:choked:50+0"].top_sd_kg > usable["three:choked:50+0"].top_sd_kg


def test_a_guessed_lockout_is_less_sure_than_a_taped_one():
    for taped, loose in zip(
        sorted(choices(), key=lambda c: c.setup.key),
        sorted(choices(path=LOOSE), key=lambda c: c.setup.key),
        strict=True,
    ):
        assert loose.top_sd_kg > taped.top_sd_kg


def test_the_chance_of_being_in_range_is_half_at_its_edge():
    ranked = choices()
    ratio = ranked[0].top_ratio
    edge = choices(wanted=ratio, lo=ratio, hi=1.0)[0]
    assert edge.setup == ranked[0].setup
    assert edge.within_probability == pytest.approx(0.5, abs=1e-6)


def test_one_sd_either_way_holds_68_27_percent():
    # The normal table.
    best = choices()[0]
    at, sd = best.top_ratio, best.top_sd_kg / 200
    (alone,) = choose([best.setup], PULL, 200, wanted_ratio=at, lo_ratio=at - sd, hi_ratio=at + sd)
    assert alone.within_probability == pytest.approx(0.6827, abs=5e-5)


def test_less_than_a_tenth_gained_on_the_way_up_is_like_plates():
    # A chain hanging by one end: what is in the air at the bottom over what is at the top.
    for bottom_m, is_flat in ((0.92, True), (0.88, False)):
        path = BarPath(bottom_m, 1.4, 0.005, "taped", ())
        rig = set_up(chain_part(chain(length_m="1.0")))
        (choice,) = choose([rig], path, 200, wanted_ratio=0.04, lo_ratio=0, hi_ratio=1)
        assert choice.is_within is not is_flat
        assert any("like plates" in note for note in choice.notes) is is_flat


def test_a_band_from_above_that_hardly_lets_go_is_like_plates_too():
    # 5 cm of motion 80 cm under a high peg: it takes nearly the same off all the way.
    held = band((0.7, 20), (0.9, 24), rest_m=0.3, safe_length=Length.m("1.2"))
    part = band_part(held, RigKind.FROM_ABOVE, peg_height=Length.m(2))
    path = BarPath(1.2, 1.25, 0.005, "taped", ())
    (choice,) = choose([set_up(part)], path, 200, wanted_ratio=-0.2, lo_ratio=-0.5, hi_ratio=0)
    assert choice.bottom_kg < choice.top_kg < 0
    assert "like plates" in choice.notes[-1]
    assert not choice.is_within


def test_somebody_who_was_not_swept_with_the_class_is_swept_alone():
    setups, wish = possible_setups(STOCK, DAY), WantedShare(200, 0.2, 0.15, 0.25)
    for paths in ([LOOSE], []):
        assert swept(setups, paths).choose(PULL, wish) == choices()


def test_every_athlete_of_a_class_has_a_wish():
    wish = WantedShare(200, 0.2, 0.15, 0.25)
    with pytest.raises(ValueError, match="zip"):
        choose_for_class(possible_setups(STOCK, DAY), [PULL], [wish, wish])


def test_a_certain_share_is_in_or_out():
    sure = BarPath(0.225, 0.9, 0.0, "taped", ())
    above = Stock(
        bands=(short("weak", 0.1),),
        platforms=(Platform("R", peg_heights=(Length.m("1.5"),)),),
    )
    slack = possible_setups(above, DAY)  # 0.6 m from a peg, loop stretched
    assert slack[0].parts[0].rig == RigKind.FROM_ABOVE  # from 1.5 m on
    loose = set_up(replace(slack[0].parts[0], peg_height_m=1.0))  # 0.1 m: hangs slack

    def chance(lo, hi):
        return choose([loose], sure, 200, wanted_ratio=lo, lo_ratio=lo, hi_ratio=hi)[
            0
        ].within_probability

    assert chance(-0.1, 0.1) == 1
    assert chance(0.1, 0.2) == 0
    assert type(chance(0.0, 0.1)) is float
    assert chance(0.0, 0.1) == chance(-0.1, 0.0) == 1  # the ends belong to the range


def test_a_class_in_one_sweep_equals_one_by_one():
    setups = possible_setups(STOCK, DAY)
    paths = [PULL, LOOSE, BarPath(0.325, 0.70, 0.01, "", ())]
    wanted = [WantedShare(kg, 0.2, 0.15, 0.25) for kg in (120, 200, 280)]
    assert choose_for_class(setups, [], []) == ()  # nobody came
    together = choose_for_class(setups, paths, wanted)
    for path, wish, ranked in zip(paths, wanted, together, strict=True):
        alone = choose(setups, path, wish.max_kg, wanted_ratio=0.2, lo_ratio=0.15, hi_ratio=0.25)
        assert ranked == alone


def test_a_share_on_average_ranks_by_the_mean_over_the_motion():
    setups = possible_setups(STOCK, DAY)
    wish = WantedShare(200, 0.10, 0.08, 0.12, is_on_average=True)
    (ranked,) = choose_for_class(setups, [PULL], [wish])
    best = ranked[0]
    assert best.is_within
    assert 0.08 <= best.mean_kg / 200 <= 0.12
    assert best.mean_kg == pytest.approx(best.setup.mean_kg(PULL.start_m, PULL.end_m))
    assert best.top_ratio == pytest.approx(best.top_kg / 200)
    assert gaps_of(ranked, lambda c: c.mean_kg / 200 - 0.10)


@given(st.floats(60, 400), st.floats(0.05, 0.4))
def test_a_choice_within_really_is_within(max_kg, wanted):
    for choice in choices(max_kg=max_kg, wanted=wanted, lo=wanted - 0.03, hi=wanted + 0.03):
        inside = wanted - 0.03 <= choice.top_kg / max_kg <= wanted + 0.03
        is_flat = any("like plates" in note for note in choice.notes)
        assert choice.is_within == (inside and not choice.stops and not is_flat)
        assert 0 <= choice.within_probability <= 1


@pytest.mark.parametrize("max_kg", [0, -5, float("inf"), float("nan")])
def test_a_max_that_gives_no_shares_is_refused(max_kg):
    with pytest.raises(ChoiceError, match="must be above 0"):
        choices(max_kg=max_kg)


@pytest.mark.parametrize(("lo", "hi"), [(0.21, 0.3), (0.1, 0.19)])
def test_a_wanted_share_outside_its_own_range_is_refused(lo, hi):
    with pytest.raises(ChoiceError, match="must lie between"):
        choices(lo=lo, hi=hi)
