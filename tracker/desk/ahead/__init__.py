"""The look-ahead, the season, the load, and what is told to the planner."""
