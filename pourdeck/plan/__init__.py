"""Read what the office says: the records of job.toml, its lengths, and the findings in it."""
