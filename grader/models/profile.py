"""The sock from the side, cuff up and toe to the right: the lengths and the outline that every drawing of it shares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Path = tuple[tuple[str, tuple[float, ...]], ...]


@dataclass(frozen=True, slots=True)
class SockProfile:
    """The profile's guide lengths in mm on paper; `flat` is the tube laid flat, half of its circumference."""

    left: float
    top: float
    flat: float
    leg: float
    cuff: float
    flap: float
    foot: float
    toe: float

    @property
    def flap_top(self) -> float:
        """Where the leg ends at the back."""
        return self.top + self.leg

    @property
    def flap_end(self) -> float:
        """Where the heel begins to turn."""
        return self.flap_top + self.flap

    @property
    def sole(self) -> float:
        """The heel turn cups under the flap by about a third of the flat width."""
        return self.flap_end + 0.3 * self.flat

    @property
    def instep(self) -> float:
        """The height of the foot's upper edge at the ankle."""
        return max(self.sole - self.flat, self.top + self.cuff)

    @property
    def tip(self) -> float:
        """Where the toe ends."""
        return self.left + self.foot

    @property
    def toe_start(self) -> float:
        """Where the toe begins, never behind the front of the leg."""
        return max(self.tip - self.toe, self.front)

    @property
    def front(self) -> float:
        """The front edge of the leg."""
        return self.left + self.flat

    @property
    def bend(self) -> float:
        """How far above the instep the front edge begins to bend."""
        room = min(0.5 * self.flat, 0.8 * (self.toe_start - self.front), self.instep - self.top - self.cuff)
        return max(room, 0.0)


def fitted_profile(
    cm: Mapping[str, float], *, left: float, top: float, wide: float, high: float
) -> tuple[SockProfile, float]:
    """The profile of a sock of so many cm, as large as `wide` by `high` mm allow, and its scale in mm to the cm."""
    flat = cm["circumference"] / 2
    broad = max(cm["foot_length"], flat)
    scale = min(wide / broad, high / (cm["leg_length"] + cm["flap_height"] + 0.3 * flat))
    profile = SockProfile(
        left,
        top,
        flat * scale,
        cm["leg_length"] * scale,
        min(cm["cuff_length"], cm["leg_length"]) * scale,
        cm["flap_height"] * scale,
        broad * scale,
        min(cm["toe_length"], 0.8 * broad) * scale,
    )
    return profile, scale


def outline(s: SockProfile) -> Path:
    """One closed line: down the front, over the instep, round the toe, along the sole, round the heel, up the back."""
    bend = s.bend
    heel = 0.5 * s.flat
    third = 0.55 * (s.tip - s.toe_start)
    middle = s.sole - 0.47 * s.flat
    return (
        ("M", (s.left, s.top)),
        ("L", (s.front, s.top)),
        ("L", (s.front, s.instep - bend)),
        (
            "C",
            (
                s.front,
                s.instep - 0.35 * bend,
                s.front + 0.35 * bend,
                s.instep - 0.06 * s.flat,
                s.front + 1.2 * bend,
                s.instep + 0.02 * s.flat,
            ),
        ),
        ("L", (s.toe_start, s.instep + 0.06 * s.flat)),
        ("C", (s.toe_start + third, s.instep + 0.1 * s.flat, s.tip, s.instep + 0.2 * s.flat, s.tip, middle)),
        ("C", (s.tip, s.sole - 0.12 * s.flat, s.toe_start + third, s.sole, s.toe_start, s.sole)),
        ("L", (s.left + heel, s.sole)),
        ("C", (s.left + 0.2 * s.flat, s.sole, s.left, s.flap_end + 0.17 * s.flat, s.left, s.flap_end)),
        ("L", (s.left, s.top)),
    )
