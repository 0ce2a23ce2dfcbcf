"""The page that a customer can read: what was found, how sure it is, and where it comes from."""
