"""Maxes, waves, work-ups, circuits and bar speed at the coach's desk."""
