"""Full-size templates on paper."""
