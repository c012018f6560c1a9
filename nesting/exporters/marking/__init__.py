"""What is needed to mark out a lay by hand."""
