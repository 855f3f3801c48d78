"""Runs a barbell coach's evening: who lifts next, what goes on the bar, what was seen, what it changes."""
