"""Measuring pages: bands at the scale, athletes at the tape, and choosing a set-up."""
