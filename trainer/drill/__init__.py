"""What a movement is: words, counts, feet, footprints, faults."""
