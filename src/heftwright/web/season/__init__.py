"""The season by hand: choices with prices, what-ifs, own seasons, lifts, shut days, calendars."""
