"""Words to their meaning: what a brewer says or types becomes an event of the day, or a hint."""
