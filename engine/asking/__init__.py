"""What can be asked of a session, and who says no."""
