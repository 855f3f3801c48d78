"""What is true: pure values and rules; standard library only."""
