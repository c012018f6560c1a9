"""From a product and its measurements to flat cut panels."""
