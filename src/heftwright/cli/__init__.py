"""``heftwright`` in the terminal: subcommands in the trade's words over the same use cases."""
