"""How passwords are hashed: Argon2id at 19 MiB, two passes, one lane (the first choice of the OWASP Password Storage
Cheat Sheet, from memory). Django's own default takes 100 MiB a hash, and ten sign-ins at once a whole gigabyte.
"""

from __future__ import annotations

from django.contrib.auth.hashers import Argon2PasswordHasher


class Argon2(Argon2PasswordHasher):
    """A hash made with other numbers is made anew when its owner next signs in."""

    time_cost = 2
    memory_cost = 19 * 1024  # KiB
    parallelism = 1
