"""Published figures as plain data, each with its source."""
