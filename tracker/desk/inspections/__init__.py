"""The office's pages of inspections: calls, results, rates, tests, papers, feeds."""
