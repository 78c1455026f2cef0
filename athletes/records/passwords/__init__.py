"""Which passwords are taken."""
