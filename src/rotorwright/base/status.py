"""Status codes that kernels return instead of raising (exceptions vanish inside parallel loops)."""

OK = 0
NOT_CONVERGED = 1
OUT_OF_LIMITS = 2
NOT_APPLICABLE = 3
OVER_THROTTLE = 4

WORDS = {
    OK: "solved",
    NOT_CONVERGED: "no balance found",
    OUT_OF_LIMITS: "balance found, but beyond a limit of the aeroplane",
    NOT_APPLICABLE: "does not apply to this aeroplane",
    OVER_THROTTLE: "balance found, but it asks for more than full throttle",
}
