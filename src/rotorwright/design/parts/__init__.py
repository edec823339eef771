"""The parts an aircraft file is made of, one frozen model each, SI inside."""
