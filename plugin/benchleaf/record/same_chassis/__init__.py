"""What sets of one chassis share, out of the record of one of them."""
