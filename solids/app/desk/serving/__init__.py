"""What is served: addresses, who may ask, files, the local network, and how the bench starts and ends."""
