"""From signs and readings to suspects."""
