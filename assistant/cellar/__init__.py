"""What becomes of the beer after the kettle. Pure: no clock, no chance, nothing read or written."""
