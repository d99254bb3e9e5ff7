"""Turning values into pages: words, figures and the page-context contract."""
