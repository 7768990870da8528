"""The service's description of itself."""
