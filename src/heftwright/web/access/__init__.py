"""Who may open which address: one table, checked before any view runs."""
