"""Django's backend for PostgreSQL, which asks a kept connection whether it lives without a round trip."""
