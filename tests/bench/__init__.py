"""Measurements, as ratios taken in one run; none is a timed test."""
