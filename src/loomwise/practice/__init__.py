"""Practice: a vehicle with a hidden fault to find, and one's own path beside the advised one."""
