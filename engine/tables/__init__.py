"""Handbook rows as data, each with its source and how well it is known."""
