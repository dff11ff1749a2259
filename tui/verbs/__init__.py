"""What the command line does, a module a verb."""
