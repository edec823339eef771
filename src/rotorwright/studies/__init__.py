"""Questions asked of the one evaluator: bench calls, balance with bands, verdict, levers."""
