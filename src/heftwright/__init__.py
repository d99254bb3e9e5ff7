"""Heftwright: from contest calendar, maxes and stock to every athlete's bar, floor and log."""

import os

# The beliefs work on many matrices of about 50 × 50: with the linear-algebra library's own threads
# they took 0.9 s in place of 0.03 s on a busy two-core machine. Set before NumPy is first loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
