"""What must last: journals, sealed sessions, the catalogue, papers."""
