//! The natural motions of an aircraft, named by their shapes.
//!
//! # Method
//! Eigenvalues and eigenvectors of the longitudinal and the lateral half of the
//! linear model in stability axes. Each root is named by the states that take
//! part in it (participation factors, independent of units), not by its size
//! or order: angle of attack and pitch rate make a short period, speed and
//! pitch a phugoid; sideslip and yaw rate a Dutch roll, roll rate the roll
//! mode, bank the spiral (Etkin and Reid 1996, chapter 6; from memory).
//!
//! # Limits
//! The two halves by themselves; see [`coupling`] for what that leaves out.

use std::f64::consts::{LN_2, TAU};

use nalgebra::{Complex, DMatrix, Matrix4};
use serde::Serialize;

use super::linearise::LinearModel;
use crate::atmosphere::GRAVITY_M_S2;
use crate::math::{EigenError, Eigenpair, find_eigenpairs, find_eigenvalues, ordered_by};

/// Roots smaller than this, 1/s, stand still: they double in two years.
const STILL_1_S: f64 = 1e-8;
/// A lone oscillation whose share of angle of attack and pitch rate lies in
/// between belongs to short period and phugoid alike (estimate: the shares are
/// above 0.8 or below 0.2 while the two are apart).
const JOINED_SHARE: (f64, f64) = (0.35, 0.65);

/// Which natural motion a root belongs to.
///
/// Oscillations may split into two real roots or join with others; such
/// roots are named for what they are, not forced into the five classic modes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ModeKind {
    /// Pitching at nearly constant speed, as an oscillation.
    ShortPeriod,
    /// One of two real roots into which the short period has split.
    ShortPeriodRoot,
    /// Slow exchange of speed and height, as an oscillation.
    Phugoid,
    /// One of two real roots into which the phugoid has split.
    PhugoidRoot,
    /// An oscillation joined from one root each of short period and phugoid.
    PitchPhugoidOscillation,
    /// Decay of the roll rate.
    Roll,
    /// Slow bank and turn.
    Spiral,
    /// Yawing, sideslip and rolling as an oscillation.
    DutchRoll,
    /// One of two real roots into which the Dutch roll has split.
    DutchRollRoot,
    /// An oscillation joined from the roll and the spiral root.
    RollSpiralOscillation,
}

/// One state of a mode's shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MotionVariable {
    /// Change of airspeed over airspeed.
    Speed,
    /// Angle of attack, rad.
    AngleOfAttack,
    /// Pitch rate over the size of the root, rad.
    PitchRate,
    /// Pitch attitude, rad.
    Pitch,
    /// Sideslip, rad.
    Sideslip,
    /// Roll rate over the size of the root, rad.
    RollRate,
    /// Yaw rate over the size of the root, rad.
    YawRate,
    /// Bank, rad.
    Bank,
}

/// How far and how early one state moves in a mode.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ModePart {
    /// The state.
    pub motion: MotionVariable,
    /// Amplitude relative to the largest part's.
    pub magnitude: f64,
    /// Phase ahead of the largest part, rad, -pi to pi.
    pub phase_rad: f64,
    /// Share of the state in the mode, 0 to 1, independent of units.
    pub participation: f64,
}

/// One natural motion.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mode {
    /// Which motion it is.
    pub kind: ModeKind,
    /// Real part of the root, 1/s; positive grows.
    pub real_1_s: f64,
    /// Imaginary part of the root, rad/s; zero or positive.
    pub imaginary_rad_s: f64,
    /// Size of the root, rad/s.
    pub natural_frequency_rad_s: f64,
    /// Damping ratio, -1 to 1; of a real root +1 or -1.
    pub damping_ratio: f64,
    /// Time of one swing, s; `None` of a real root.
    pub period_s: Option<f64>,
    /// Time until the amplitude has halved or doubled, s; `None` of a root
    /// that does neither.
    pub time_to_half_or_double_s: Option<f64>,
    /// Shape: the four states of its half of the motion, stability axes.
    pub parts: [ModePart; 4],
}

impl Mode {
    /// Whether the motion grows.
    #[inline]
    pub fn is_growing(&self) -> bool {
        self.real_1_s > 0.0
    }

    /// Whether the motion swings.
    #[inline]
    pub fn is_oscillation(&self) -> bool {
        self.imaginary_rad_s > 0.0
    }

    /// The part of the shape that belongs to `motion`, if it has one.
    #[inline]
    pub fn part(&self, motion: MotionVariable) -> Option<&ModePart> {
        self.parts.iter().find(|part| part.motion == motion)
    }
}

/// The longitudinal and the lateral modes, each from fast to slow.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Modes {
    /// Motions in the plane of symmetry.
    pub longitudinal: Vec<Mode>,
    /// Motions out of it.
    pub lateral: Vec<Mode>,
}

impl Modes {
    /// The first mode of a kind, if there is one.
    #[inline]
    pub fn find(&self, kind: ModeKind) -> Option<&Mode> {
        self.longitudinal.iter().chain(&self.lateral).find(|mode| mode.kind == kind)
    }
}

/// The modes of a linear model, its two halves taken by themselves.
///
/// What that leaves out is told by [`coupling`].
///
/// # Errors
/// Eigenvalues that cannot be found.
#[inline]
pub fn find_modes(model: &LinearModel) -> Result<Modes, EigenError> {
    let model = model.in_stability_axes();
    let airspeed = model.airspeed_m_s;
    Ok(Modes {
        longitudinal: longitudinal_modes(&model.longitudinal().a, airspeed)?,
        lateral: lateral_modes(&model.lateral().a, airspeed)?,
    })
}

/// The modes of a longitudinal matrix in the states `u w q theta` (m/s, rad/s,
/// rad; stability axes).
///
/// # Errors
/// Eigenvalues that cannot be found.
#[inline]
pub fn longitudinal_modes(a: &Matrix4<f64>, airspeed_m_s: f64) -> Result<Vec<Mode>, EigenError> {
    let motions = [
        MotionVariable::Speed,
        MotionVariable::AngleOfAttack,
        MotionVariable::PitchRate,
        MotionVariable::Pitch,
    ];
    let found = swings(a)?;
    let kinds = name_longitudinal(&found);
    Ok(describe(&found, &kinds, motions, airspeed_m_s))
}

/// The modes of a lateral matrix in the states `v p r phi` (m/s, rad/s, rad;
/// stability axes).
///
/// # Errors
/// Eigenvalues that cannot be found.
#[inline]
pub fn lateral_modes(a: &Matrix4<f64>, airspeed_m_s: f64) -> Result<Vec<Mode>, EigenError> {
    let motions = [
        MotionVariable::Sideslip,
        MotionVariable::RollRate,
        MotionVariable::YawRate,
        MotionVariable::Bank,
    ];
    let found = swings(a)?;
    let kinds = name_lateral(&found);
    Ok(describe(&found, &kinds, motions, airspeed_m_s))
}

/// How much the split into two halves changes the roots: the greatest shift of
/// a root from half to whole, over the size of the root or the phugoid's
/// frequency `g/V`, whichever is greater. Zero for a symmetric aircraft in
/// straight flight.
///
/// # Errors
/// Eigenvalues that cannot be found.
#[inline]
pub fn coupling(model: &LinearModel) -> Result<f64, EigenError> {
    let whole = DMatrix::from_column_slice(8, 8, model.a.as_slice());
    let mut rest: Vec<Complex<f64>> = find_eigenvalues(&whole)?.into_iter().collect();
    let floor = GRAVITY_M_S2 / model.airspeed_m_s;
    let mut halves: Vec<Complex<f64>> = Vec::with_capacity(8);
    for half in [model.longitudinal().a, model.lateral().a] {
        halves.extend(find_eigenvalues(&to_dynamic(&half))?);
    }
    // The largest first: they are the most surely told apart.
    let halves = ordered_by(&halves, |root| -root.norm());
    let mut worst: f64 = 0.0;
    for root in halves {
        let distance = |other: &Complex<f64>| (other - root).norm();
        let nearest =
            (0..rest.len()).min_by(|&i, &j| distance(&rest[i]).total_cmp(&distance(&rest[j])));
        if let Some(index) = nearest {
            let partner = rest.swap_remove(index);
            worst = worst.max((partner - root).norm() / root.norm().max(floor));
        }
    }
    Ok(worst)
}

#[inline]
fn to_dynamic(matrix: &Matrix4<f64>) -> DMatrix<f64> {
    DMatrix::from_column_slice(4, 4, matrix.as_slice())
}

/// The eigenpairs of a half, one for each oscillation and each real root.
#[inline]
fn swings(a: &Matrix4<f64>) -> Result<Vec<Eigenpair>, EigenError> {
    let mut pairs = find_eigenpairs(&to_dynamic(a))?;
    pairs.retain(|pair| pair.value.im >= 0.0);
    Ok(ordered_by(&pairs, |pair| -pair.value.norm()))
}

/// Share of the short period's states, angle of attack and pitch rate.
#[inline]
fn fast_share(pair: &Eigenpair) -> f64 {
    let shares = pair.participation();
    shares[1] + shares[2]
}

#[inline]
fn name_longitudinal(found: &[Eigenpair]) -> Vec<ModeKind> {
    let fast: Vec<f64> = found.iter().map(fast_share).collect();
    let swinging: Vec<bool> = found.iter().map(|pair| pair.value.im > 0.0).collect();
    // Among roots that are alike, the one with the greatest fast share.
    let fastest =
        |among: &[usize]| among.iter().copied().max_by(|&i, &j| fast[i].total_cmp(&fast[j]));
    let real: Vec<usize> = (0..found.len()).filter(|&i| !swinging[i]).collect();
    let pairs: Vec<usize> = (0..found.len()).filter(|&i| swinging[i]).collect();
    let mut kinds = vec![ModeKind::PhugoidRoot; found.len()];
    match (pairs.as_slice(), real.as_slice()) {
        ([_, _], []) => {
            kinds.fill(ModeKind::Phugoid);
            if let Some(short) = fastest(&pairs) {
                kinds[short] = ModeKind::ShortPeriod;
            }
        }
        ([pair], _) => {
            let (of_pair, of_real) = match fast[*pair] {
                share if share > JOINED_SHARE.1 => (ModeKind::ShortPeriod, ModeKind::PhugoidRoot),
                share if share < JOINED_SHARE.0 => (ModeKind::Phugoid, ModeKind::ShortPeriodRoot),
                _ => (ModeKind::PitchPhugoidOscillation, ModeKind::PhugoidRoot),
            };
            kinds.fill(of_real);
            kinds[*pair] = of_pair;
            if of_pair == ModeKind::PitchPhugoidOscillation
                && let Some(short) = fastest(&real)
            {
                kinds[short] = ModeKind::ShortPeriodRoot;
            }
        }
        _ => {
            for index in ordered_by(&real, |&index| -fast[index]).into_iter().take(2) {
                kinds[index] = ModeKind::ShortPeriodRoot;
            }
        }
    }
    kinds
}

#[inline]
fn name_lateral(found: &[Eigenpair]) -> Vec<ModeKind> {
    // Shares of sideslip with yaw rate, of roll rate, of bank.
    let shares: Vec<[f64; 3]> = found
        .iter()
        .map(|pair| {
            let share = pair.participation();
            [share[0] + share[2], share[1], share[3]]
        })
        .collect();
    let real: Vec<usize> = (0..found.len()).filter(|&i| found[i].value.im == 0.0).collect();
    let pairs: Vec<usize> = (0..found.len()).filter(|&i| found[i].value.im > 0.0).collect();
    let yawing = pairs.iter().copied().max_by(|&i, &j| shares[i][0].total_cmp(&shares[j][0]));
    let mut kinds = vec![ModeKind::RollSpiralOscillation; found.len()];
    let dutch = yawing.filter(|&index| pairs.len() == 2 || shares[index][0] > 0.5);
    if let Some(index) = dutch {
        kinds[index] = ModeKind::DutchRoll;
    }
    // What is left for the real roots: roll and spiral, unless these swing
    // together; both halves of the Dutch roll, unless that swings.
    let mut names = Vec::new();
    if pairs.is_empty() || (pairs.len() == 1 && dutch.is_some()) {
        names.extend([(ModeKind::Roll, 1), (ModeKind::Spiral, 2)]);
    }
    if dutch.is_none() {
        names.extend([(ModeKind::DutchRollRoot, 0), (ModeKind::DutchRollRoot, 0)]);
    }
    assign(&real, &names, &shares, &mut kinds);
    kinds
}

/// Gives each real root the name that it deserves most: of all ways to hand
/// out the names the one with the greatest sum of shares.
#[inline]
fn assign(
    roots: &[usize],
    names: &[(ModeKind, usize)],
    shares: &[[f64; 3]],
    kinds: &mut [ModeKind],
) {
    #[inline]
    fn best(
        roots: &[usize],
        free: &mut Vec<(ModeKind, usize)>,
        shares: &[[f64; 3]],
    ) -> (f64, Vec<ModeKind>) {
        let Some((&root, others)) = roots.split_first() else { return (0.0, Vec::new()) };
        let mut top = (f64::NEG_INFINITY, Vec::new());
        for index in 0..free.len() {
            let name = free.remove(index);
            let (sum, mut order) = best(others, free, shares);
            free.insert(index, name);
            if sum + shares[root][name.1] > top.0 {
                order.insert(0, name.0);
                top = (sum + shares[root][name.1], order);
            }
        }
        top
    }
    let (_, order) = best(roots, &mut names.to_vec(), shares);
    for (&root, kind) in roots.iter().zip(order) {
        kinds[root] = kind;
    }
}

#[inline]
fn describe(
    found: &[Eigenpair],
    kinds: &[ModeKind],
    motions: [MotionVariable; 4],
    airspeed_m_s: f64,
) -> Vec<Mode> {
    let one = |(pair, &kind): (&Eigenpair, &ModeKind)| {
        let (real, imaginary) = (pair.value.re, pair.value.im);
        let size = pair.value.norm();
        let still = size <= STILL_1_S;
        Mode {
            kind,
            real_1_s: real,
            imaginary_rad_s: imaginary,
            natural_frequency_rad_s: size,
            damping_ratio: if still { 0.0 } else { -real / size },
            period_s: (imaginary > 0.0).then(|| TAU / imaginary),
            time_to_half_or_double_s: (real.abs() > STILL_1_S).then(|| LN_2 / real.abs()),
            parts: shape(pair, motions, airspeed_m_s),
        }
    };
    found.iter().zip(kinds).map(one).collect()
}

/// The eigenvector in units that compare: speeds over airspeed, rates over the
/// size of the root, which makes them the angle swept.
#[inline]
fn shape(pair: &Eigenpair, motions: [MotionVariable; 4], airspeed_m_s: f64) -> [ModePart; 4] {
    let shares = pair.participation();
    let size = pair.value.norm().max(STILL_1_S);
    let normalised: [Complex<f64>; 4] = std::array::from_fn(|index| {
        let scale = match motions[index] {
            MotionVariable::Speed | MotionVariable::AngleOfAttack | MotionVariable::Sideslip => {
                airspeed_m_s
            }
            MotionVariable::PitchRate | MotionVariable::RollRate | MotionVariable::YawRate => size,
            MotionVariable::Pitch | MotionVariable::Bank => 1.0,
        };
        pair.right[index] / scale
    });
    let largest = normalised
        .into_iter()
        .max_by(|one, two| one.norm().total_cmp(&two.norm()))
        .filter(|part| part.norm() > 0.0)
        .unwrap_or(Complex::new(1.0, 0.0));
    std::array::from_fn(|index| {
        let relative = normalised[index] / largest;
        ModePart {
            motion: motions[index],
            magnitude: relative.norm(),
            phase_rad: relative.arg(),
            participation: shares[index],
        }
    })
}

#[cfg(test)]
mod tests;
