"""The terminal: the command line, the screens, and the wiring of the three packages."""
