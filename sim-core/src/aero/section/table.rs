//! Every empirical number of the section library, with where it is from.
//!
//! Question: what is known about sections as models are built, and how well?
//! One table per kind of section, one [`Constant`] per number: value, relative
//! spread (one standard deviation) and source. Marks: 'seen' was read in the
//! text or a copy of it; 'from memory' was recalled, not read; 'estimate' is our
//! own judgement. Numbers marked low hold below a Reynolds number of 4e4,
//! numbers marked high above 6e6; [`MATURITY`] goes from one to the other.
//!
//! Seen: A. Pelletier & T. J. Mueller, J. Aircraft 37(5), 2000, abstract (plates
//! at Re 6e4 to 2e5: no hysteresis, cambered better than flat, edge shape of
//! thin plates unimportant). M. S. Selig, J. F. Donovan, D. B. Fraser, Airfoils
//! at Low Speeds, 1989, text to the 2.08 % flat plate with rounded nose and
//! tapered tail (lift and drag nearly the same at every Re tested; early
//! transition). J. Winslow et al., J. Aircraft 55(3), 2018, abstract (flat plates
//! nearly independent of Re, better when thinner; below Re 1e5 cambered plates
//! beat thick profiles). F. W. Schmitz, 1942, as told by M. Simons, Model
//! Aircraft Aerodynamics, ch. 8 (12 % profile: lift leaps up and drag falls on
//! passing Re 1.47e5). None of them was seen with its tables of coefficients.

use crate::aircraft::SectionKind;

/// One empirical number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant {
    /// The number itself.
    pub value: f64,
    /// Relative standard deviation to be expected.
    pub spread: f64,
    /// Author and year with a mark, or 'estimate'.
    pub source: &'static str,
}

const fn constant(value: f64, spread: f64, source: &'static str) -> Constant {
    Constant { value, spread, source }
}

/// What distinguishes one kind of section from another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindConstants {
    /// Lift slope over 2 pi at low Reynolds number.
    pub slope_low: Constant,
    /// Lift slope over 2 pi at high Reynolds number.
    pub slope_high: Constant,
    /// Greatest lift coefficient without camber at low Reynolds number.
    pub lift_max_low: Constant,
    /// The same at high Reynolds number; for a shaped aerofoil this is the
    /// value at 12 % thickness and [`THICKNESS_LIFT`] gives the others.
    pub lift_max_high: Constant,
    /// Share of the lift due to camber that adds to the greatest lift, low.
    pub camber_share_low: Constant,
    /// The same at high Reynolds number.
    pub camber_share_high: Constant,
    /// Part of the rise to greatest lift that is exactly linear.
    pub linear_share: Constant,
    /// Angle from greatest lift to wholly separated flow, rad.
    pub stall_width_rad: Constant,
    /// Part of the surface with laminar boundary layer at low Reynolds number.
    pub laminar_low: Constant,
    /// The same at high Reynolds number.
    pub laminar_high: Constant,
    /// Drag of edges and steps per thickness over chord.
    pub edge_drag: Constant,
    /// Added drag per camber over chord.
    pub camber_drag: Constant,
    /// Growth of the least drag in laminar separation, at 12 % thickness.
    pub bubble_drag: Constant,
    /// Leading-edge suction kept by a nose of ample radius, low.
    pub suction_low: Constant,
    /// The same at high Reynolds number.
    pub suction_high: Constant,
    /// Nose radius: times thickness for sheets, times its square for aerofoils.
    pub nose_radius: Constant,
    /// Normal-force coefficient square to the flow, two-dimensional.
    pub normal_force_max: Constant,
}

const PLATE_SLOPE: &str = "5.2 to 6.2 per rad at Re 8e4 to 2e5, thin plates, from memory";
const PLATE_LIFT: &str = "0.70 to 0.80 at 7 to 9 deg: Hoerner & Borst 1975, from memory";
const PLATE_NORMAL: &str = "Hoerner, Fluid-Dynamic Drag, 1965, ch. 3, from memory";
const ESTIMATE: &str = "estimate";
/// Nearly independent of Re: Winslow et al. 2018 abstract, seen.
const PLATE_NO_RE: &str = "as at low Re: Winslow et al. 2018, abstract seen; value estimate";

/// Flat foam sheet with square edges.
pub const FLAT_SHEET: KindConstants = KindConstants {
    slope_low: constant(0.88, 0.07, PLATE_SLOPE),
    slope_high: constant(0.90, 0.07, PLATE_NO_RE),
    lift_max_low: constant(0.70, 0.13, PLATE_LIFT),
    lift_max_high: constant(0.75, 0.13, PLATE_NO_RE),
    camber_share_low: constant(0.75, 0.2, ESTIMATE),
    camber_share_high: constant(0.75, 0.2, ESTIMATE),
    linear_share: constant(0.70, 0.15, ESTIMATE),
    stall_width_rad: constant(
        0.14,
        0.3,
        "no abrupt stall, no hysteresis: Pelletier & Mueller 2000, abstract seen; value estimate",
    ),
    laminar_low: constant(0.0, 0.0, "transition at the square edge, estimate"),
    laminar_high: constant(0.0, 0.0, "transition at the square edge, estimate"),
    edge_drag: constant(
        0.70,
        0.35,
        "0.9 to 1.0 on thickness for long blocks, less about a third for re-attachment: Hoerner 1965, from memory; estimate",
    ),
    camber_drag: constant(0.10, 0.5, ESTIMATE),
    bubble_drag: constant(0.0, 0.0, "no smooth nose to keep laminar"),
    suction_low: constant(0.08, 0.8, "sharp corner: almost none; estimate, 0 to 0.2"),
    suction_high: constant(0.08, 0.8, "sharp corner: almost none; estimate, 0 to 0.2"),
    nose_radius: constant(
        0.5,
        0.2,
        "half the thickness bounds the bubble over the corner, estimate",
    ),
    normal_force_max: constant(1.98, 0.05, PLATE_NORMAL),
};

/// Flat foam sheet with rounded leading and tapered trailing edge.
pub const ROUNDED_SHEET: KindConstants = KindConstants {
    slope_low: constant(0.90, 0.07, PLATE_SLOPE),
    slope_high: constant(0.92, 0.07, PLATE_NO_RE),
    lift_max_low: constant(0.75, 0.12, PLATE_LIFT),
    lift_max_high: constant(0.85, 0.12, PLATE_NO_RE),
    camber_share_low: constant(0.75, 0.2, ESTIMATE),
    camber_share_high: constant(0.75, 0.2, ESTIMATE),
    linear_share: constant(0.70, 0.15, ESTIMATE),
    stall_width_rad: constant(
        0.14,
        0.3,
        "no abrupt stall, no hysteresis: Pelletier & Mueller 2000, abstract seen; value estimate",
    ),
    laminar_low: constant(
        0.3,
        0.5,
        "early transition: Selig et al. 1989, text seen; value estimate",
    ),
    laminar_high: constant(0.1, 0.5, ESTIMATE),
    edge_drag: constant(0.10, 0.5, "least drag 0.012 to 0.018 at Re 1e5, from memory"),
    camber_drag: constant(0.10, 0.5, ESTIMATE),
    bubble_drag: constant(0.0, 0.0, "drag nearly independent of Re: Selig et al. 1989, text seen"),
    suction_low: constant(0.45, 0.3, ESTIMATE),
    suction_high: constant(0.55, 0.3, ESTIMATE),
    nose_radius: constant(0.5, 0.2, "half-round edge"),
    normal_force_max: constant(1.95, 0.05, PLATE_NORMAL),
};

/// Sheet folded over a spar with rounded nose.
pub const FOLDED_SHEET: KindConstants = KindConstants {
    slope_low: constant(0.88, 0.08, ESTIMATE),
    slope_high: constant(0.95, 0.06, ESTIMATE),
    lift_max_low: constant(0.80, 0.15, ESTIMATE),
    lift_max_high: constant(1.20, 0.15, ESTIMATE),
    camber_share_low: constant(0.75, 0.2, ESTIMATE),
    camber_share_high: constant(0.45, 0.3, ESTIMATE),
    linear_share: constant(0.70, 0.15, ESTIMATE),
    stall_width_rad: constant(0.14, 0.3, ESTIMATE),
    laminar_low: constant(0.3, 0.5, ESTIMATE),
    laminar_high: constant(0.1, 0.5, ESTIMATE),
    edge_drag: constant(
        0.08,
        0.5,
        "creases at the spar and a trailing edge two sheets thick, estimate",
    ),
    camber_drag: constant(0.05, 0.5, ESTIMATE),
    bubble_drag: constant(
        0.5,
        0.5,
        "creases trip the boundary layer: a third of a smooth profile, estimate",
    ),
    suction_low: constant(0.70, 0.2, ESTIMATE),
    suction_high: constant(0.80, 0.2, ESTIMATE),
    nose_radius: constant(0.25, 0.4, "sheet bent round a spar, estimate"),
    normal_force_max: constant(1.90, 0.06, PLATE_NORMAL),
};

/// Sheet folded in two layers that leave a step behind the spar.
pub const STEPPED_SHEET: KindConstants = KindConstants {
    slope_low: constant(0.86, 0.09, ESTIMATE),
    slope_high: constant(0.90, 0.09, ESTIMATE),
    lift_max_low: constant(0.80, 0.16, ESTIMATE),
    lift_max_high: constant(1.05, 0.16, ESTIMATE),
    camber_share_low: constant(0.75, 0.2, ESTIMATE),
    camber_share_high: constant(0.45, 0.3, ESTIMATE),
    linear_share: constant(0.70, 0.15, ESTIMATE),
    stall_width_rad: constant(
        0.17,
        0.3,
        "the step fixes separation, so the stall is gentle: common practice; value estimate",
    ),
    laminar_low: constant(0.2, 0.5, ESTIMATE),
    laminar_high: constant(0.05, 0.5, ESTIMATE),
    edge_drag: constant(
        0.20,
        0.4,
        "base pressure -0.2 to -0.3 behind a step of half the thickness, plus edges: estimate after Hoerner 1965",
    ),
    camber_drag: constant(0.05, 0.5, ESTIMATE),
    bubble_drag: constant(0.0, 0.0, "the step trips the boundary layer"),
    suction_low: constant(0.60, 0.25, ESTIMATE),
    suction_high: constant(0.70, 0.25, ESTIMATE),
    nose_radius: constant(0.25, 0.4, "sheet bent round a spar, estimate"),
    normal_force_max: constant(1.90, 0.06, PLATE_NORMAL),
};

/// Thin plate bent to an arc.
pub const CAMBERED_PLATE: KindConstants = KindConstants {
    slope_low: constant(0.90, 0.07, PLATE_SLOPE),
    slope_high: constant(0.92, 0.07, PLATE_NO_RE),
    lift_max_low: constant(
        0.73,
        0.13,
        "with the share of camber 1.0 to 1.2 for 4 % arc, from memory",
    ),
    lift_max_high: constant(0.80, 0.13, PLATE_NO_RE),
    camber_share_low: constant(0.77, 0.2, "4 % arc less flat plate, both from memory"),
    camber_share_high: constant(0.77, 0.2, "4 % arc less flat plate, both from memory"),
    linear_share: constant(0.70, 0.15, ESTIMATE),
    stall_width_rad: constant(
        0.14,
        0.3,
        "no abrupt stall, no hysteresis: Pelletier & Mueller 2000, abstract seen; value estimate",
    ),
    laminar_low: constant(0.3, 0.5, ESTIMATE),
    laminar_high: constant(0.1, 0.5, ESTIMATE),
    edge_drag: constant(0.15, 0.5, ESTIMATE),
    camber_drag: constant(0.10, 0.5, ESTIMATE),
    bubble_drag: constant(0.0, 0.0, "a thin nose trips the boundary layer"),
    suction_low: constant(0.35, 0.4, ESTIMATE),
    suction_high: constant(0.40, 0.4, ESTIMATE),
    nose_radius: constant(0.5, 0.2, "half-round edge"),
    normal_force_max: constant(1.98, 0.05, PLATE_NORMAL),
};

const AEROFOIL_LIFT: &str =
    "Abbott & von Doenhoff 1959, four-digit sections at Re 6e6, from memory";

/// Shaped aerofoil.
pub const PROFILE: KindConstants = KindConstants {
    slope_low: constant(0.85, 0.10, "thick laminar separation, estimate"),
    slope_high: constant(
        0.97,
        0.03,
        "0.105 to 0.110 per deg: Abbott & von Doenhoff 1959, from memory",
    ),
    lift_max_low: constant(
        0.70,
        0.15,
        "thick profile below its critical Re: Schmitz 1942, order of size from memory",
    ),
    lift_max_high: constant(1.55, 0.06, AEROFOIL_LIFT),
    camber_share_low: constant(0.75, 0.25, ESTIMATE),
    camber_share_high: constant(
        0.25,
        0.3,
        "2 and 4 % camber give 0.1 more: Abbott & von Doenhoff 1959, from memory",
    ),
    linear_share: constant(0.70, 0.15, ESTIMATE),
    stall_width_rad: constant(0.10, 0.4, ESTIMATE),
    laminar_low: constant(0.55, 0.3, ESTIMATE),
    laminar_high: constant(
        0.30,
        0.3,
        "least drag 0.006 to 0.007 at Re 6e6: Abbott & von Doenhoff 1959, from memory",
    ),
    edge_drag: constant(0.0, 0.0, "sharp trailing edge"),
    camber_drag: constant(0.02, 0.5, ESTIMATE),
    bubble_drag: constant(
        1.5,
        0.4,
        "drag falls to well under half past the critical Re: Schmitz 1942, order of size from memory",
    ),
    suction_low: constant(1.00, 0.05, ESTIMATE),
    suction_high: constant(1.08, 0.05, "limited to 0.98; estimate"),
    nose_radius: constant(
        1.1019,
        0.2,
        "four-digit sections: Jacobs, Ward & Pinkerton, NACA Rep. 460, 1933, from memory",
    ),
    normal_force_max: constant(
        1.85,
        0.06,
        "a round nose gives a little less than a plate, estimate",
    ),
};

/// The constants of `kind`.
pub const fn constants(kind: SectionKind) -> &'static KindConstants {
    match kind {
        SectionKind::FlatSheet => &FLAT_SHEET,
        SectionKind::RoundedSheet => &ROUNDED_SHEET,
        SectionKind::FoldedSheet => &FOLDED_SHEET,
        SectionKind::SteppedSheet => &STEPPED_SHEET,
        SectionKind::CamberedPlate => &CAMBERED_PLATE,
        SectionKind::Profile => &PROFILE,
    }
}

/// How far a section has got from its low to its high values: pairs of decadic
/// logarithm of the Reynolds number and the share. Shape after greatest lift of
/// a 12 % symmetric section against Re (Jacobs & Sherman, NACA Rep. 586, 1937,
/// from memory); spread 0.1 in share.
pub const MATURITY: [(f64, f64); 6] =
    [(4.6, 0.0), (5.0, 0.1), (5.5, 0.25), (6.0, 0.55), (6.5, 0.85), (6.8, 1.0)];

/// Passing the critical Reynolds number of a 12 % smooth profile: pairs of
/// decadic logarithm of Re and the share of laminar-separation drag left.
/// Schmitz (1942): the leap is at Re 1.0e5 to 1.5e5 (1.47e5 seen, at rising
/// speed); widened, since free air and rough skins differ.
pub const BUBBLE_LEFT: [(f64, f64); 3] = [(4.7, 1.0), (5.0, 0.6), (5.4, 0.0)];

/// Greatest lift of uncambered aerofoils at Re 6e6 over that of the 12 % one,
/// against thickness. Abbott & von Doenhoff (1959), from memory; spread 6 %.
pub const THICKNESS_LIFT: [(f64, f64); 6] =
    [(0.03, 0.50), (0.06, 0.60), (0.09, 0.85), (0.12, 1.0), (0.15, 0.98), (0.21, 0.85)];

/// Share of a flap's lift that adds to the greatest lift. Thin sections stall
/// from the nose: equal nose load with and without flap gives, by thin-aerofoil
/// theory, 1 - (1 - theta_h / pi) / tau = 0.42 to 0.46 for 20 to 40 % chord.
pub const FLAP_LIFT_SHARE: Constant =
    constant(0.45, 0.3, "thin-aerofoil theory, nose load; Glauert 1927, from memory");
/// Turn of the whole section that has the same effect as a flap once the flow
/// is separated, over the flap's zero-lift shift: about E / tau.
pub const FLAP_SEPARATED_SHARE: Constant = constant(0.4, 0.4, ESTIMATE);
/// Added drag over the square of the flap's zero-lift shift.
pub const FLAP_DRAG: Constant =
    constant(0.8, 0.5, "1.7 E^1.38 sin^2 delta at E 0.25 and 10 deg: plain flaps, from memory");
/// Rise of profile drag up to the end of the linear range, over least drag.
pub const VISCOUS_RISE: Constant = constant(0.3, 0.5, ESTIMATE);
/// Nose radius over chord at which half the leading-edge suction is kept.
pub const HALF_SUCTION_RADIUS: Constant = constant(0.0015, 0.5, ESTIMATE);
/// Slope term of the separated normal force, CN = s / (0.283 + q s) with
/// s = sin alpha; q follows from the normal force square to the flow and is
/// 0.222 for a plate. C. Lindenburg, ECN-C-03-025 (2003), from memory.
pub const SEPARATED_SLOPE: Constant = constant(0.283, 0.1, "Lindenburg 2003, from memory");
/// Normal force of a finite flat wing square to the flow: 1.11 + 0.018 A.
/// Viterna & Corrigan (1981), from memory; Hoerner (1965, from memory) has 1.2
/// for aspect ratio 5, 1.3 for 10, 1.5 for 20.
pub const FINITE_NORMAL_FORCE: (Constant, Constant) = (
    constant(1.11, 0.05, "Viterna & Corrigan 1981, from memory"),
    constant(0.018, 0.1, "Viterna & Corrigan 1981, from memory"),
);

/// Aspect ratios, times the cosine of the sweep, between which the vortices over
/// a wing's ends and edges come to rule it: none of it from the second on, all of
/// it below the first. Straight plates above 3 stall as their sections do
/// (Pelletier & Mueller 2000; Torres & Mueller 2004); sharp triangles follow
/// Polhamus up to an aspect ratio of 2, with 63 deg of sweep, and less far as
/// the sweep goes back to 50 deg (NASA TN D-3767, 1966). All from memory.
pub const LOW_ASPECT_RATIOS: (f64, f64) = (1.5, 3.0);
/// By which share the attached range of a section, and its passage to separated
/// flow, is longer there: set so that a sharp plate of aspect ratio 1 has its
/// greatest lift where it was measured, at 35 to 40 deg.
pub const LOW_ASPECT_GROWTH: Constant =
    constant(0.8, 0.3, "fitted to plates of aspect ratio 1, Torres & Mueller 2004, from memory");

/// Lift of the vortices over the side edges of a rectangle over that of its front
/// edge, times the aspect ratio: Kv of about 1.2 against 0.8 at 1.
pub const SIDE_EDGES: Constant = constant(1.5, 0.3, "Lamar 1974, from memory");

/// Linear interpolation in `pairs`, held constant beyond their ends.
pub(super) fn interpolated(pairs: &[(f64, f64)], at: f64) -> f64 {
    let mut previous = pairs[0];
    if at <= previous.0 {
        return previous.1;
    }
    for &pair in &pairs[1..] {
        if at <= pair.0 {
            let share = (at - previous.0) / (pair.0 - previous.0);
            return previous.1 + share * (pair.1 - previous.1);
        }
        previous = pair;
    }
    previous.1
}
