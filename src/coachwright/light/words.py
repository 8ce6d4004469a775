"""How are directions said in words a lead points with?"""

from __future__ import annotations

import math

MILE_PER_HOUR_M_S = 0.44704
FOOT_M = 0.3048


def degrees(angle_rad: float) -> str:
    """Rounded to a tenth of a degree. [rad]"""
    return f"{round(math.degrees(angle_rad), 1):g} deg"


def toward(bearing_rad: float, elevation_rad: float) -> str:
    """A bearing, and how far up or down if it isn't level. [rad]"""
    up = "" if abs(elevation_rad) < 1e-6 else f", {degrees(abs(elevation_rad))} {'up' if elevation_rad > 0 else 'down'}"
    return f"bearing {degrees(bearing_rad)}{up}"


def off_axis(vertical_rad: float, horizontal_rad: float) -> str:
    """A type A angle of a lamp, both sides meant. [rad]"""
    aside = f"{degrees(abs(horizontal_rad))} left or right" if horizontal_rad else "straight ahead"
    up = f", {degrees(abs(vertical_rad))} {'up' if vertical_rad > 0 else 'down'}" if vertical_rad else ""
    return f"{aside}{up}"


def bearings(width_rad: float, middle_rad: float) -> str:
    """A run of bearings from its left end to its right one, clockwise. [rad]"""
    if width_rad >= math.tau:
        return "all round"
    if width_rad <= 0.0:
        return f"weakest at bearing {degrees(middle_rad)}"
    first, last = (middle_rad - width_rad / 2) % math.tau, (middle_rad + width_rad / 2) % math.tau
    return f"bearings {degrees(first)} to {degrees(last)}"


def speed(speed_m_s: float) -> str:
    """Rounded to a mile an hour. [m/s]"""
    return f"{speed_m_s / MILE_PER_HOUR_M_S:.0f} mph"


def feet(length_m: float) -> str:
    """Rounded to ten feet: distances along a road. [m]"""
    return f"{round(length_m / FOOT_M, -1):,.0f} ft"
