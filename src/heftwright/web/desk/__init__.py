"""The coach's desk: squad, stock, contests, today, season, settings."""
