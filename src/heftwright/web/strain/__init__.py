"""Strain at the coach's desk: descriptive only."""
