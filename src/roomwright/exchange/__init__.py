"""Files in and out: the house folder, what is wrong with it, and what changed since last time."""
