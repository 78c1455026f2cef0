"""Reminders that somebody asked for: what is due, how it is said, and the ways out."""
