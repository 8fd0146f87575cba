"""What a storage cluster at home costs over the years."""
