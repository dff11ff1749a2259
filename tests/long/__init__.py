"""The full counts of what the tests of faults try a little of."""
