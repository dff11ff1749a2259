"""Sessions as they were kept once.  They are never written anew: they must read for ever."""
