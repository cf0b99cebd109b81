"""The beat: grids on absolute deadlines, calls that are struck, taps, sound, the eye for faults."""
