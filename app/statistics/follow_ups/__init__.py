"""What a low, a high or an illness asks for next, and when: readings in, times out."""
