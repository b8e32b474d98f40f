"""What to do about a beer: the plan, the batch as it stands, the forecast and the remedies."""
