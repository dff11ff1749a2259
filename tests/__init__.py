"""The tests, and what they share; none of it is in the wheel."""
