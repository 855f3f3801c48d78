"""Typed questions: each asks one thing on top of a screen and answers it, or None for Escape."""
