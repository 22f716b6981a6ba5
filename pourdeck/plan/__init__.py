"""What the office says: the records of job.toml, reading it, lengths and findings."""
