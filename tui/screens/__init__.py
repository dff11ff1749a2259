"""The screens: each a function of a session and a moment, and of nothing else but the cursor."""
