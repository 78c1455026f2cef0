"""Air, sun and wind: what physics says about fingers and rock. Never a friction."""
