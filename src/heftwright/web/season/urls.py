"""Addresses of the season by hand, inside one gym; rows in web/access/policies.py."""

from __future__ import annotations

from django.urls import path

from heftwright.web.season import after, choices, feed, lifts, own, shut_days, travel, what_if

urlpatterns = [
    path("season/choices", choices.season_choices, name="season_choices"),
    path("season/take", choices.season_take, name="season_take"),
    path("season/after", after.season_after, name="season_after"),
    path("season/after/take", after.season_after_take, name="season_after_take"),
    path("season/after/free", after.season_after_free, name="season_after_free"),
    path("season/unpin", choices.season_unpin, name="season_unpin"),
    path("season/forbid", choices.season_forbid, name="season_forbid"),
    path("season/allow", choices.season_allow, name="season_allow"),
    path("season/kit-back", choices.season_kit_back, name="season_kit_back"),
    path("season/settle/<int:job>", choices.season_settle, name="season_settle"),
    path("season/back/<int:version>", choices.season_back, name="season_back"),
    path("season/what-if/", what_if.what_if, name="what_if"),
    path("season/what-if/<int:job>/", what_if.what_if_copy, name="what_if_copy"),
    path("season/what-if/<int:job>/adopt", what_if.what_if_adopt, name="what_if_adopt"),
    path("season/shut/", shut_days.shut_days, name="shut_days"),
    path("season/shut/<day:first>/remove", shut_days.shut_day_remove, name="shut_day_remove"),
    path("season/lifts/", lifts.lifts, name="lifts"),
    path("season/lifts/new", lifts.lift_new, name="lift_new"),
    path("season/lifts/<str:key>/", lifts.lift, name="lift"),
    path("season/lifts/<str:key>/drop", lifts.lift_drop, name="lift_drop"),
    path("contests/<str:contest>/travel", travel.contest_travel, name="contest_travel"),
    path("season/calendar", feed.feed_link, name="feed_link"),
    path("squad/<str:athlete>/season", own.own_season, name="own_season"),
    path("squad/<str:athlete>/calendar", feed.athlete_feed_link, name="athlete_feed_link"),
]
