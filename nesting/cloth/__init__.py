"""What is cut from."""
