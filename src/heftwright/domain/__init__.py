"""The pure core: values, rules and checkers of the trade.

Nothing here knows a clock, a disk, a log, a global random generator or a framework; the import
contracts in ``pyproject.toml`` check it.
"""
