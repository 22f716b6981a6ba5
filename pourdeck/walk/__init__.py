"""Hold the work of the crew: items, answers and gates, and the desk that ties plan, sums and log together."""
