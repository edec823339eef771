"""How a rigid body turns: attitude as a quaternion, moments through the inertia matrix."""

from __future__ import annotations

from rotorwright.base.jit import jit


@jit
def body_to_earth(
    a: float, b: float, c: float, d: float
) -> tuple[float, float, float, float, float, float, float, float, float]:
    """Return the rotation from body axes to the axes the quaternion (a; b, c, d) is measured against, row by row.

    Parameters
    ----------
    a, b, c, d : float
        Unit quaternion, scalar part first [1].

    Notes
    -----
    Source: B. Etkin and L. D. Reid, Dynamics of Flight, 3rd ed. (1996), ch. 4 (form from memory; the tests turn the
    angular momentum of a tumbling body with it).
    """
    return (
        a * a + b * b - c * c - d * d, 2.0 * (b * c - a * d), 2.0 * (b * d + a * c),
        2.0 * (b * c + a * d), a * a - b * b + c * c - d * d, 2.0 * (c * d - a * b),
        2.0 * (b * d - a * c), 2.0 * (c * d + a * b), a * a - b * b - c * c + d * d,
    )  # fmt: skip


@jit
def quaternion_rates(
    a: float, b: float, c: float, d: float, p: float, q: float, r: float
) -> tuple[float, float, float, float]:
    """Return the time derivative of an attitude quaternion for body rates p, q, r [rad/s].

    Notes
    -----
    Half the quaternion product of attitude and rates.
    """
    return (
        0.5 * (-b * p - c * q - d * r),
        0.5 * (a * p + c * r - d * q),
        0.5 * (a * q - b * r + d * p),
        0.5 * (a * r + b * q - c * p),
    )


@jit
def angular_acceleration(
    ixx: float, iyy: float, izz: float, ixy: float, ixz: float, iyz: float, mx: float, my: float, mz: float
) -> tuple[float, float, float]:
    """Return the rates of p, q, r [rad/s²] for moments [N m] that already hold −ω × h.

    Parameters
    ----------
    ixx, iyy, izz, ixy, ixz, iyz : float
        Elements of the inertia *matrix* [kg m²]: off the diagonal stand the products of inertia with their minus.
    mx, my, mz : float
        [N m]

    Notes
    -----
    Inverse of the symmetric matrix by cofactors.
    """
    c11, c12, c13 = iyy * izz - iyz * iyz, ixz * iyz - ixy * izz, ixy * iyz - iyy * ixz
    c22, c23, c33 = ixx * izz - ixz * ixz, ixy * ixz - ixx * iyz, ixx * iyy - ixy * ixy
    share = 1.0 / (ixx * c11 + ixy * c12 + ixz * c13)
    return (
        (c11 * mx + c12 * my + c13 * mz) * share,
        (c12 * mx + c22 * my + c23 * mz) * share,
        (c13 * mx + c23 * my + c33 * mz) * share,
    )
