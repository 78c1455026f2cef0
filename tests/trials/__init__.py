"""Simulated athletes who try one change on themselves; the truth shares no code with what reads the trials."""
