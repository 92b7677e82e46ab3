"""Relations between dimensions, and the certificate of the nearest size."""
