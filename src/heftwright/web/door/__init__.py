"""Signing in and out, and the first sign-in by a link that works once."""
