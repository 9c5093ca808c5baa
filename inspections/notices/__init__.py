"""What happens by itself: what the clock notices, writes down once, and sends."""
