"""The only door to a gym's data: verbs that change (atomic, audited) and queries that read.

Call :func:`heftwright.usecases.start.open_house` before importing any other module from here.
"""
