//! Actuator-disc theory: what a propeller does to the air.
//!
//! Forward flight and hover: vi = -V/2 + sqrt(V2/4 + T/(2 rho A)) (Rankine,
//! Froude; any textbook). Flying backward under thrust, the vortex-ring state
//! has no theory; the fitted quartic of Leishman (Principles of Helicopter
//! Aerodynamics, 2000, eq. 2.98, from memory, last coefficient changed by
//! 0.2 % to meet the next branch) bridges to the windmill-brake branch.

/// Mean induced velocity at the disc, m/s, positive with the slipstream;
/// negative for a braking propeller.
///
/// `thrust_n` any sign, `area_m2` and `density_kg_m3` positive,
/// `axial_airspeed_m_s` positive flying forward. A brake stronger than the
/// theory allows slows the air to half the airspeed, no more.
pub fn induced_velocity(
    thrust_n: f64,
    area_m2: f64,
    axial_airspeed_m_s: f64,
    density_kg_m3: f64,
) -> f64 {
    let half = 0.5 * axial_airspeed_m_s;
    let square = thrust_n / (2.0 * density_kg_m3 * area_m2);
    if axial_airspeed_m_s < 0.0 && square > 0.0 {
        return backward(square.sqrt(), axial_airspeed_m_s);
    }
    // Flying backward with backward thrust is forward flight of a mirrored
    // propeller.
    let (half, square, sign) =
        if half < 0.0 { (-half, -square, -1.0) } else { (half, square, 1.0) };
    let under_root = half * half + square;
    let root = under_root.max(0.0).sqrt();
    // For small loads the difference is written as a quotient to keep digits.
    sign * if root + half > 0.0 && under_root > 0.0 { square / (root + half) } else { -half }
}

/// The same flying backward under forward thrust; `hover` is the induced
/// velocity of the same thrust at rest.
fn backward(hover: f64, axial: f64) -> f64 {
    let x = axial / hover;
    if x > -2.0 {
        hover * (1.0 + x * (-1.125 + x * (-1.372 + x * (-1.718 - x * 0.656_625))))
    } else {
        -0.5 * axial - (0.25 * axial * axial - hover * hover).max(0.0).sqrt()
    }
}

/// Angular velocity of the air just behind the disc, rad/s, in the sense of
/// `torque_n_m`, if the swirl turns like a solid body (estimate: a real one
/// turns faster at the hub). Angular momentum: Q = rho (V + vi) A R2/2 w.
pub(super) fn swirl(torque_n_m: f64, radius_m: f64, through_m_s: f64, density_kg_m3: f64) -> f64 {
    let area = std::f64::consts::PI * radius_m * radius_m;
    2.0 * torque_n_m / (density_kg_m3 * area * radius_m * radius_m * through_m_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: f64 = 0.032_429;

    #[test]
    fn momentum_balances_in_forward_flight() {
        for airspeed in [0.0, 3.0, 12.0, 40.0] {
            for thrust in [-0.2, 0.0, 0.001, 2.0, 30.0] {
                let vi = induced_velocity(thrust, AREA, airspeed, 1.225);
                let taken = 2.0 * 1.225 * AREA * (airspeed + vi) * vi;
                let brakes_too_much = airspeed * airspeed * 0.5 * 1.225 * AREA < -thrust;
                assert!(brakes_too_much || (taken - thrust).abs() < 1e-12 * (1.0 + thrust.abs()));
            }
        }
    }

    #[test]
    fn branches_meet() {
        let at = |airspeed| induced_velocity(3.0, AREA, airspeed, 1.225);
        let hover = at(0.0);
        assert!((at(-1e-9) - hover).abs() < 1e-6);
        let (before, after) = (at(-2.0 * hover + 1e-9), at(-2.0 * hover - 1e-9));
        // The windmill branch begins with a square root, hence 1e-4.
        assert!((before - after).abs() < 1e-4 * hover, "{before} {after}");
    }

    /// Flying backward with backward thrust is forward flight in a mirror.
    #[test]
    fn a_mirrored_propeller_makes_a_mirrored_wind() {
        for (thrust, airspeed) in [(2.0, 12.0), (2.0, 0.5), (30.0, 3.0)] {
            let forward = induced_velocity(thrust, AREA, airspeed, 1.1);
            assert!(forward > 0.0);
            assert_eq!(induced_velocity(-thrust, AREA, -airspeed, 1.1), -forward);
        }
    }

    /// A brake beyond the theory leaves half the wind; just within it the momentum
    /// has led there: at V2 / 4 = T / (2 rho A).
    #[test]
    fn no_brake_takes_more_than_half_the_wind() {
        let most = 0.5 * 1.225 * AREA * 12.0 * 12.0;
        for strength in [1.0, 1.5, 40.0] {
            let vi = induced_velocity(-strength * most, AREA, 12.0, 1.225);
            assert!((vi + 6.0).abs() < 1e-5, "{strength}: {vi}");
        }
    }

    /// Falling fast along its thrust a propeller is a windmill: the air still comes
    /// from below, slowed, and takes up the thrust, T = -2 rho A (V + vi) vi.
    #[test]
    fn momentum_balances_where_the_wind_holds_the_propeller_up() {
        let hover = induced_velocity(3.0, AREA, 0.0, 1.225);
        for x in [-2.1, -3.0, -5.0] {
            let airspeed = x * hover;
            let vi = induced_velocity(3.0, AREA, airspeed, 1.225);
            // Of the two speeds that balance the one that slows by less than half.
            assert!(vi > 0.0 && vi < -0.5 * airspeed, "{x}");
            let taken = -2.0 * 1.225 * AREA * (airspeed + vi) * vi;
            assert!((taken - 3.0).abs() < 1e-9, "{x}: {taken}");
        }
    }

    /// Leishman's quartic with its last coefficient as printed, -0.655: at x = -2
    /// ours differs by 0.026.
    #[test]
    fn between_hover_and_windmill_lies_leishmans_quartic() {
        let hover = induced_velocity(3.0, AREA, 0.0, 1.225);
        for x in [-0.3, -0.7, -1.0, -1.5, -1.9f64] {
            let vi = induced_velocity(3.0, AREA, x * hover, 1.225) / hover;
            let fit = 1.0 - 1.125 * x - 1.372 * x.powi(2) - 1.718 * x.powi(3) - 0.655 * x.powi(4);
            assert!((vi - fit).abs() < 0.027, "{x}: {vi} {fit}");
        }
    }

    /// The torque is the angular momentum that a second's air takes along: mass
    /// times half the squared radius times its angular velocity.
    #[test]
    fn the_swirl_carries_the_torque_away() {
        let (torque, radius, through, density) = (0.11, 0.1016, 14.0, 1.2);
        let mass_per_s = density * std::f64::consts::PI * radius * radius * through;
        let carried = mass_per_s * 0.5 * radius * radius * swirl(torque, radius, through, density);
        assert!((carried / torque - 1.0).abs() < 1e-12, "{carried}");
    }
}
