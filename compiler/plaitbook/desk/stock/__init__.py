"""What hair stands on the shelf: received, used, counted, and when to order again."""
