"""The knowledge of the test: pure, without screen, clock, randomness or disk."""
