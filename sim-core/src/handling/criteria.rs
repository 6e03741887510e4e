//! Is a mode or a response good, fair, poor or unfit?
//!
//! Limits of the military specification for small light aeroplanes (class I)
//! for three levels, scaled to the model's size. Dynamic (Froude) similarity
//! at equal lift coefficient and equal g makes frequencies grow by the root of
//! the length ratio N and times shrink by it; damping ratios and load factor
//! per angle stay. N is taken as a 10 m reference light aeroplane over the
//! model's span, so a full-size aircraft gets the limits as printed.
//!
//! Source: MIL-F-8785C, "Flying Qualities of Piloted Airplanes", 1980. The
//! tables for roll mode and Dutch roll were compared with a reprint; the other
//! numbers are from memory. Scaling rule: T. M. Foster and W. J. Bowman, AIAA
//! 2005-1023 (from memory). Limits of the human (a delay is a delay at any
//! size) are not scaled.

use serde::Serialize;

/// Span of the reference light aeroplane to which limits apply unscaled, m.
/// Estimate: light aeroplanes span 9 to 11 m.
pub const REFERENCE_SPAN_M: f64 = 10.0;

/// How many times the reference light aeroplane is longer than the model.
///
/// # Method
/// [`REFERENCE_SPAN_M`] over the span, at least 1 (larger aircraft are not
/// excused) and at most 200 (a span of 5 cm). A span that is not a positive
/// number gives 1.
#[inline]
pub fn froude_number(span_m: f64) -> f64 {
    if !(span_m.is_finite() && span_m > 0.0) {
        return 1.0;
    }
    (REFERENCE_SPAN_M / span_m).clamp(1.0, 200.0)
}

/// What the aircraft is doing when it is rated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Task {
    /// Rapid manoeuvring, category A.
    Aerobatics,
    /// Cruise and climb, category B.
    Cruise,
    /// Take-off and landing, category C.
    Landing,
}

/// A quantity that has limits.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Criterion {
    /// Damping ratio of the short period (3.2.2.1.2).
    ShortPeriodDamping,
    /// Natural frequency of the short period (3.2.2.1.1).
    ShortPeriodFrequency,
    /// Square of that frequency over load factor per angle of attack
    /// (3.2.2.1.1): how much pitch acceleration announces the g to come.
    ControlAnticipation,
    /// Growth of a pitch motion that diverges without oscillating (3.2.1.1).
    PitchDivergence,
    /// Damping ratio of the phugoid (3.2.1.2).
    PhugoidDamping,
    /// Damping ratio of the Dutch roll (3.3.1.1).
    DutchRollDamping,
    /// Damping ratio times natural frequency of the Dutch roll (3.3.1.1).
    DutchRollDecay,
    /// Natural frequency of the Dutch roll (3.3.1.1).
    DutchRollFrequency,
    /// Time constant of the roll mode (3.3.1.2).
    RollTimeConstant,
    /// Growth of the spiral (3.3.1.3); negative rolls level by itself.
    SpiralGrowth,
    /// Time from full stick to a bank angle (3.3.4).
    TimeToBank {
        /// The bank angle to be reached, rad.
        bank_angle_rad: f64,
    },
    /// Dead time from stick to angular acceleration (3.5.3).
    ResponseDelay,
}

/// Unit of a rated value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// A pure number.
    One,
    /// Radians.
    Radian,
    /// Radians per second.
    RadianPerSecond,
    /// Seconds.
    Second,
    /// Growth per second: the time to double is 0.693 over it.
    PerSecond,
    /// (rad/s)2 per g per rad, that is 1/(g s2).
    PerGSecondSquared,
}

/// A closed interval that may be open on either side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Least good value, if there is one.
    pub min: Option<f64>,
    /// Greatest good value, if there is one.
    pub max: Option<f64>,
}

impl Band {
    /// No limit on either side.
    pub const OPEN: Self = Self { min: None, max: None };

    /// At least `min`.
    #[inline]
    pub const fn at_least(min: f64) -> Self {
        Self { min: Some(min), max: None }
    }

    /// At most `max`.
    #[inline]
    pub const fn at_most(max: f64) -> Self {
        Self { min: None, max: Some(max) }
    }

    /// From `min` to `max`.
    #[inline]
    pub const fn between(min: f64, max: f64) -> Self {
        Self { min: Some(min), max: Some(max) }
    }

    /// Whether `value` lies inside, bounds included.
    #[inline]
    pub fn contains(self, value: f64) -> bool {
        self.side(value) == Side::Within
    }

    /// On which side of the band `value` lies.
    #[inline]
    pub fn side(self, value: f64) -> Side {
        if self.min.is_some_and(|min| value < min) {
            Side::Below
        } else if self.max.is_some_and(|max| value > max) {
            Side::Above
        } else {
            Side::Within
        }
    }

    #[inline]
    fn times(self, factor: f64) -> Self {
        Self { min: self.min.map(|x| x * factor), max: self.max.map(|x| x * factor) }
    }
}

/// Where a value lies against the band of the best level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Too small.
    Below,
    /// As it should be.
    Within,
    /// Too large.
    Above,
}

/// Level of flying qualities in the sense of the specification.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Clearly adequate for the task.
    One,
    /// Adequate with more work for the pilot.
    Two,
    /// Can be flown safely, but the work is too much.
    Three,
    /// Below all levels.
    Worse,
}

/// Where limits come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// MIL-F-8785C (1980), paragraph; numbers compared with a reprint.
    Mil8785c(&'static str),
    /// MIL-F-8785C (1980), paragraph; numbers from memory.
    Mil8785cFromMemory(&'static str),
    /// Our estimate; there is no published limit.
    Estimate,
}

/// One quantity held against its limits.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rating {
    /// What is rated.
    pub criterion: Criterion,
    /// The task whose limits apply.
    pub task: Task,
    /// The quantity, in `unit`, at the model's own size.
    pub value: f64,
    /// Unit of value and limits.
    pub unit: Unit,
    /// Limits of levels one to three, scaled to the model.
    pub limits: [Band; 3],
    /// The best level whose limits hold.
    pub level: Level,
    /// Side of the level-one band on which the value lies.
    pub side: Side,
    /// Where the limits come from.
    pub source: Source,
}

/// Rates one value against limits that are already scaled; `None` where the
/// value is not a finite number.
#[inline]
pub fn rate(
    criterion: Criterion,
    task: Task,
    value: f64,
    limits: [Band; 3],
    source: Source,
) -> Option<Rating> {
    if !value.is_finite() {
        return None;
    }
    let level = match limits.iter().position(|band| band.contains(value)) {
        Some(0) => Level::One,
        Some(1) => Level::Two,
        Some(_) => Level::Three,
        None => Level::Worse,
    };
    let side = limits[0].side(value);
    Some(Rating { criterion, task, value, unit: unit_of(criterion), limits, level, side, source })
}

#[inline]
fn unit_of(criterion: Criterion) -> Unit {
    match criterion {
        Criterion::ShortPeriodDamping | Criterion::PhugoidDamping | Criterion::DutchRollDamping => {
            Unit::One
        }
        Criterion::ShortPeriodFrequency
        | Criterion::DutchRollDecay
        | Criterion::DutchRollFrequency => Unit::RadianPerSecond,
        Criterion::ControlAnticipation => Unit::PerGSecondSquared,
        Criterion::PitchDivergence | Criterion::SpiralGrowth => Unit::PerSecond,
        Criterion::RollTimeConstant | Criterion::TimeToBank { .. } | Criterion::ResponseDelay => {
            Unit::Second
        }
    }
}

/// An oscillation by natural frequency and damping ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oscillation {
    /// Undamped natural frequency, rad/s, above 0.
    pub frequency_rad_s: f64,
    /// Damping ratio; negative grows, 1 and above no longer swings.
    pub damping: f64,
}

impl Oscillation {
    /// From one of a pair of complex eigenvalues.
    #[inline]
    pub fn from_eigenvalue(real: f64, imaginary: f64) -> Option<Self> {
        let frequency_rad_s = real.hypot(imaginary);
        let damping = -real / frequency_rad_s;
        damping.is_finite().then_some(Self { frequency_rad_s, damping })
    }

    /// From two real eigenvalues of one sign, an oscillation damped beyond
    /// swinging; `None` where one of them grows and the other decays.
    #[inline]
    pub fn from_real_pair(first: f64, second: f64) -> Option<Self> {
        let product = first * second;
        if !(product.is_finite() && product > 0.0) {
            return None;
        }
        let frequency_rad_s = product.sqrt();
        Some(Self { frequency_rad_s, damping: -0.5 * (first + second) / frequency_rad_s })
    }
}

/// Growth per second of a motion that doubles in `seconds`.
#[inline]
pub fn growth_from_time_to_double(seconds: f64) -> f64 {
    std::f64::consts::LN_2 / seconds
}

#[inline]
fn by_task(task: Task, aerobatics: f64, cruise: f64, landing: f64) -> f64 {
    match task {
        Task::Aerobatics => aerobatics,
        Task::Cruise => cruise,
        Task::Landing => landing,
    }
}

/// Rates the short period: damping, frequency and, where the load factor per
/// angle of attack is given, control anticipation.
///
/// # Units
/// `load_factor_per_rad` in g per rad; `froude` from [`froude_number`].
#[inline]
pub fn rate_short_period(
    mode: Oscillation,
    load_factor_per_rad: f64,
    task: Task,
    froude: f64,
) -> Vec<Rating> {
    let damping = if task == Task::Cruise {
        [Band::between(0.30, 2.0), Band::between(0.20, 2.0), Band::at_least(0.15)]
    } else {
        [Band::between(0.35, 1.30), Band::between(0.25, 2.0), Band::at_least(0.15)]
    };
    let frequency = if task == Task::Cruise {
        [Band::OPEN; 3]
    } else {
        let least = by_task(task, 1.0, 0.0, 0.87);
        [Band::at_least(least), Band::at_least(0.6), Band::OPEN]
    };
    // Level three has no upper bound, and its lower bound is that of level
    // two; the specification then asks for the damping alone.
    let anticipation = [
        Band::between(by_task(task, 0.28, 0.085, 0.16), 3.6),
        Band::between(by_task(task, 0.16, 0.038, 0.096), 10.0),
        Band::at_least(by_task(task, 0.16, 0.038, 0.096)),
    ];
    let from_memory = Source::Mil8785cFromMemory;
    let mut ratings = Vec::with_capacity(3);
    ratings.extend(rate(
        Criterion::ShortPeriodDamping,
        task,
        mode.damping,
        damping,
        from_memory("3.2.2.1.2"),
    ));
    ratings.extend(rate(
        Criterion::ShortPeriodFrequency,
        task,
        mode.frequency_rad_s,
        frequency.map(|band| band.times(froude.sqrt())),
        from_memory("3.2.2.1.1"),
    ));
    if load_factor_per_rad > 0.0 {
        ratings.extend(rate(
            Criterion::ControlAnticipation,
            task,
            mode.frequency_rad_s.powi(2) / load_factor_per_rad,
            anticipation.map(|band| band.times(froude)),
            from_memory("3.2.2.1.1"),
        ));
    }
    ratings
}

/// Rates a pitch motion with a real eigenvalue (1/s): none may grow, and at
/// the worst it doubles in six seconds of the reference aeroplane.
#[inline]
pub fn rate_pitch_divergence(growth_per_s: f64, task: Task, froude: f64) -> Option<Rating> {
    let worst = Band::at_most(growth_from_time_to_double(6.0) * froude.sqrt());
    let limits = [Band::at_most(0.0), Band::at_most(0.0), worst];
    let source = Source::Mil8785cFromMemory("3.2.1.1");
    rate(Criterion::PitchDivergence, task, growth_per_s, limits, source)
}

/// Rates the phugoid by its damping ratio. Level three allows a growth that
/// doubles in 55 s of the reference aeroplane, here told as a damping ratio.
#[inline]
pub fn rate_phugoid(mode: Oscillation, task: Task, froude: f64) -> Option<Rating> {
    let growth = growth_from_time_to_double(55.0) * froude.sqrt();
    let limits =
        [Band::at_least(0.04), Band::at_least(0.0), Band::at_least(-growth / mode.frequency_rad_s)];
    let source = Source::Mil8785cFromMemory("3.2.1.2");
    rate(Criterion::PhugoidDamping, task, mode.damping, limits, source)
}

/// Rates the Dutch roll: damping ratio, decay and frequency.
#[inline]
pub fn rate_dutch_roll(mode: Oscillation, task: Task, froude: f64) -> Vec<Rating> {
    let root = froude.sqrt();
    let damping = [by_task(task, 0.19, 0.08, 0.08), 0.02, 0.0].map(Band::at_least);
    let decay = [
        Band::at_least(by_task(task, 0.35, 0.15, 0.15) * root),
        Band::at_least(0.05 * root),
        Band::OPEN,
    ];
    let frequency =
        [by_task(task, 1.0, 0.4, 1.0), 0.4, 0.4].map(|least| Band::at_least(least * root));
    let source = Source::Mil8785c("3.3.1.1");
    [
        (Criterion::DutchRollDamping, mode.damping, damping),
        (Criterion::DutchRollDecay, mode.damping * mode.frequency_rad_s, decay),
        (Criterion::DutchRollFrequency, mode.frequency_rad_s, frequency),
    ]
    .into_iter()
    .filter_map(|(criterion, value, limits)| rate(criterion, task, value, limits, source))
    .collect()
}

/// Rates the time constant of the roll mode, s.
#[inline]
pub fn rate_roll_mode(time_constant_s: f64, task: Task, froude: f64) -> Option<Rating> {
    let limits = [by_task(task, 1.0, 1.4, 1.0), by_task(task, 1.4, 3.0, 1.4), 10.0]
        .map(|greatest| Band::between(0.0, greatest / froude.sqrt()));
    let source = Source::Mil8785c("3.3.1.2");
    rate(Criterion::RollTimeConstant, task, time_constant_s, limits, source)
}

/// Rates the spiral by its growth (1/s), the real eigenvalue.
#[inline]
pub fn rate_spiral(growth_per_s: f64, task: Task, froude: f64) -> Option<Rating> {
    let limits = [by_task(task, 12.0, 20.0, 12.0), 8.0, 4.0]
        .map(|doubles_in| Band::at_most(growth_from_time_to_double(doubles_in) * froude.sqrt()));
    let source = Source::Mil8785cFromMemory("3.3.1.3");
    rate(Criterion::SpiralGrowth, task, growth_per_s, limits, source)
}

/// The bank angle (rad) that [`rate_time_to_bank`] asks the time of.
#[inline]
pub fn bank_angle_to_time(task: Task) -> f64 {
    by_task(task, 60.0, 60.0, 30.0_f64).to_radians()
}

/// Rates the time (s) from full stick to [`bank_angle_to_time`], for an
/// aircraft with ailerons.
#[inline]
pub fn rate_time_to_bank(time_s: f64, task: Task, froude: f64) -> Option<Rating> {
    let limits =
        [by_task(task, 1.3, 1.7, 1.3), by_task(task, 1.7, 2.5, 1.8), by_task(task, 2.6, 3.4, 2.6)]
            .map(|greatest| Band::between(0.0, greatest / froude.sqrt()));
    let criterion = Criterion::TimeToBank { bank_angle_rad: bank_angle_to_time(task) };
    rate(criterion, task, time_s, limits, Source::Mil8785cFromMemory("3.3.4"))
}

/// Rates the dead time (s) between stick and angular acceleration: picture
/// delay, control link and servo. A limit of the human, so it is not scaled.
#[inline]
pub fn rate_delay(delay_s: f64, task: Task) -> Option<Rating> {
    let limits = [0.10, 0.20, 0.25].map(|greatest| Band::between(0.0, greatest));
    rate(Criterion::ResponseDelay, task, delay_s, limits, Source::Mil8785cFromMemory("3.5.3"))
}

#[cfg(test)]
mod tests;
