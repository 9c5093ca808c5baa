"""What the office and a builder's superintendent do here: each one transaction."""
