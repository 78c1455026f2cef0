"""Simulated squads that know what the model does not: they share no code with it and differ from it on purpose.

No published squad of climbers' skin exists, so every truth is our own assumption. Levels are on a hidden scale; what
athletes report is bent by an offset and a gain of their own.
"""
