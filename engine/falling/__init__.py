"""What a falling gauge can mean, and what it cannot tell.  It explains; it never judges."""
