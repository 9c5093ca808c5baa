"""Settings: the company, builders, offices, subdivisions, phases and readiness."""
