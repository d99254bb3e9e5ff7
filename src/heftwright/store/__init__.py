"""Rows: Django models, migrations and the mappers between rows and domain values."""
