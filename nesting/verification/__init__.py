"""The second opinion: proves a lay again from its outlines alone."""
