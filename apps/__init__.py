"""The six rooms of the registry; imports between them go down only."""
