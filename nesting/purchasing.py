"""Which roll to buy."""
