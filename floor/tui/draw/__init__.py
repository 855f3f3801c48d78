"""Drawing with text: pure functions from plain values to lines of words and shades."""
