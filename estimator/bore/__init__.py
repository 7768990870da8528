"""The bore as it is: readings to profile, wear, limits of the finished size, the clean-up bore."""
