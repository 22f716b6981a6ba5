"""Where things go: pure sums on the plan and on what was cast. The rules of the set-out, one a module."""
