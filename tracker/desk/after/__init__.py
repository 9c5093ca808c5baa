"""After final: walk lists, closings, warranties and call-backs."""
