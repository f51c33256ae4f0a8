"""How lessons hang together: lines played in order, references resolved, indexes, the lock."""
