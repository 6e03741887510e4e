//! Does the pushrod push, or does it bow and buckle?
//!
//! A straight elastic rod between supports: Euler's load, the axial spring,
//! and the bow that grows under compression as 1/(1 - P/P_euler) and takes
//! length away (a half sine wave of amplitude w is shorter than its chord by
//! pi2 w2/(4 L)). Valid up to nine tenths of Euler's load and while the
//! material stays elastic.
//!
//! Reference: S. Timoshenko and J. Gere, "Theory of Elastic Stability",
//! 2nd ed. 1961, ch. 1 and 2 (from memory). Moduli: common practice.

use std::f64::consts::PI;

use super::linkage::{LinkageError, in_range};
use crate::aircraft::limits::{BOW, DIAMETER, FREE_LENGTH, Limits, YOUNGS_MODULUS};
pub use crate::aircraft::{Pushrod, RodMaterial, Supports};

impl RodMaterial {
    /// Young's modulus along the rod, Pa. Common practice; metals within 5 %,
    /// the others within 30 %.
    #[inline]
    pub fn youngs_modulus_pa(self) -> f64 {
        match self {
            Self::Steel => 200e9,
            Self::Aluminium => 69e9,
            Self::Brass => 100e9,
            Self::Carbon => 110e9,
            Self::GlassFibre => 40e9,
            Self::Bamboo => 15e9,
            Self::Wood => 11e9,
            Self::Plastic => 2.5e9,
            Self::Other { youngs_modulus_pa } => youngs_modulus_pa,
        }
    }
}

impl Supports {
    /// Effective over free length in Euler's formula.
    #[inline]
    pub fn length_factor(self) -> f64 {
        match self {
            Self::PinnedPinned => 1.0,
            // Least root of tan x = x is 4.4934: pi over it.
            Self::PinnedFixed => 0.699_2,
            Self::FixedFixed => 0.5,
        }
    }
}

/// Share of Euler's load beyond which a bow is no longer computed.
pub const EULER_SHARE_MAX: f64 = 0.9;

impl Pushrod {
    /// Checks the measurements.
    ///
    /// # Errors
    /// The first measurement outside its range.
    #[inline]
    pub fn check(&self) -> Result<(), LinkageError> {
        in_range("diameter_m", self.diameter_m, DIAMETER)?;
        let inner = Limits::new(0.0, 0.99 * self.diameter_m, "m");
        in_range("inner_diameter_m", self.inner_diameter_m, inner)?;
        in_range("length_m", self.length_m, FREE_LENGTH)?;
        let free = Limits::new(FREE_LENGTH.min, self.length_m, "m");
        in_range("free_length_m", self.free_length_m, free)?;
        in_range("bow_m", self.bow_m, BOW)?;
        in_range("youngs_modulus_pa", self.material.youngs_modulus_pa(), YOUNGS_MODULUS)
    }

    /// Axial stiffness of the whole length, N/m: E A/L.
    #[inline]
    pub fn axial_stiffness_n_m(&self) -> f64 {
        let area = PI / 4.0 * (self.diameter_m.powi(2) - self.inner_diameter_m.powi(2));
        self.material.youngs_modulus_pa() * area / self.length_m
    }

    /// Load at which the free length buckles, N: pi2 E I/(k L)2.
    #[inline]
    pub fn euler_load_n(&self) -> f64 {
        let second_moment = PI / 64.0 * (self.diameter_m.powi(4) - self.inner_diameter_m.powi(4));
        let length = self.supports.length_factor() * self.free_length_m;
        PI.powi(2) * self.material.youngs_modulus_pa() * second_moment / length.powi(2)
    }

    /// How much shorter (m) the pushrod becomes under a force (N), positive
    /// in compression; negative is longer. `None` near buckling.
    #[inline]
    pub fn shortening_m(&self, force_n: f64) -> Option<f64> {
        let share = force_n / self.euler_load_n();
        if !(share.is_finite() && share <= EULER_SHARE_MAX) {
            return None;
        }
        let bowed = self.bow_m / (1.0 - share);
        let by_bow = PI.powi(2) / (4.0 * self.free_length_m) * (bowed.powi(2) - self.bow_m.powi(2));
        Some(force_n / self.axial_stiffness_n_m() + by_bow)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wire() -> Pushrod {
        Pushrod {
            material: RodMaterial::Steel,
            diameter_m: 0.001,
            inner_diameter_m: 0.0,
            length_m: 0.2,
            free_length_m: 0.2,
            supports: Supports::PinnedPinned,
            bow_m: 0.0,
        }
    }

    #[test]
    fn a_crank_costs_far_more_than_the_axial_spring() {
        let cranked = Pushrod { bow_m: 0.003, ..wire() };
        let (straight, bent) =
            (wire().shortening_m(0.5).unwrap(), cranked.shortening_m(0.5).unwrap());
        assert!(bent > 50.0 * straight);
        // Pulled, it straightens and never lengthens beyond its own wire.
        let pulled = cranked.shortening_m(-1e3).unwrap();
        let most = PI.powi(2) / (4.0 * 0.2) * 0.003_f64.powi(2);
        assert!(pulled < 0.0 && pulled > wire().shortening_m(-1e3).unwrap() - most);
    }

    #[test]
    fn no_number_near_buckling() {
        let load = wire().euler_load_n();
        assert!(wire().shortening_m(0.89 * load).is_some());
        assert_eq!(wire().shortening_m(0.95 * load), None);
        assert_eq!(wire().shortening_m(f64::NAN), None);
    }

    #[test]
    fn faults_name_the_field() {
        let inside_out = Pushrod { inner_diameter_m: 0.002, ..wire() };
        assert!(inside_out.check().unwrap_err().to_string().starts_with("inner_diameter_m: is"));
        let other = RodMaterial::Other { youngs_modulus_pa: f64::INFINITY };
        assert!(Pushrod { material: other, ..wire() }.check().is_err());
        assert_eq!(wire().check(), Ok(()));
    }

    /// A tube by hand: carbon 2/1 mm, 0.3 m: 110e9 x pi/4 x 3e-6 / 0.3; it may be
    /// bored up to 0.99 of its diameter.
    #[test]
    fn a_tube_is_what_is_left_around_its_bore() {
        let tube = Pushrod {
            material: RodMaterial::Carbon,
            diameter_m: 0.002,
            inner_diameter_m: 0.001,
            length_m: 0.3,
            ..wire()
        };
        let stiffness = 110e9 * PI / 4.0 * 3e-6 / 0.3;
        assert!((tube.axial_stiffness_n_m() / stiffness - 1.0).abs() < 1e-12);
        for (inner_diameter_m, allowed) in [(0.00197, true), (0.00199, false), (0.003, false)] {
            assert_eq!(Pushrod { inner_diameter_m, ..tube }.check().is_ok(), allowed);
        }
    }
}
