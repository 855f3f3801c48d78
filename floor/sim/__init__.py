"""Simulated lifters and evenings, for the demo and for trials of the rules. They prove nothing about people."""
