"""What is kept about an aeroplane beside its file."""
