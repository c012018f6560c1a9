"""The second opinion: checks a lay again from its outlines alone."""
