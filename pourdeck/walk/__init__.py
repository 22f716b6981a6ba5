"""What the crew does: items, answers and gates, and the desk that ties plan, sums and log together."""
