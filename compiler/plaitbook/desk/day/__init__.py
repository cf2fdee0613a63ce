"""Many bookings at once: what to buy and cut for them all, what to prepare, who stands at which head when."""
