"""The compiled part: plans as integer tables, changed, dated and searched."""
