"""The rules of lids: those that are sawn off, and those that are boards of their own."""
