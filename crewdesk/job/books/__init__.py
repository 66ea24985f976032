"""Hours and money in the records of a job and of the business."""
