"""The ground floor: constants, errors, the jit decorator, records, unknowns, citations. Imports nothing above."""
