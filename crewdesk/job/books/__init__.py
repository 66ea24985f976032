"""Hours and money in the record: of a job, and of the shop over all jobs."""
