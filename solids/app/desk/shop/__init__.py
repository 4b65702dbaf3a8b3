"""The maker's own shop on the page."""
