"""What counts, what stands, and what it comes to: checks, credit, leaks, the verdict."""
