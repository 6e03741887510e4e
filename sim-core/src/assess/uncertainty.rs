//! How sure is the answer, and which measurement would make it surer?
//!
//! Every measurement and every method has a plausible error ([`errors`]); the
//! aircraft is walked for each of a few hundred quasi-random samples of all of
//! them at once, on a coarser lattice, and the answers' percentiles and rank
//! regressions are taken ([`crate::throws::sampling`]). The plan is a pure
//! function of aircraft, question, number of samples and seed: workers build it
//! each for itself, run slices, and the results are put together by index.
//!
//! # Limits
//! Errors are taken as independent and normal. A systematic error of the
//! method that no input stands for is not in the intervals.

mod errors;
mod repeat;

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::Question;
use super::throws::{Answers, channels, duties};
use super::walk::Walk;
use crate::aero::grid::GridOptions;
use crate::aircraft::SoundAircraft;
use crate::analysis::{Mode, ModeKind, Modes, find_modes};
use crate::throws::advice::{ChannelInputs, recommend_throws};
use crate::throws::sampling::{Interval, Ranking, SampleError, SamplePlan, interval};
use crate::throws::sensitivity::{Answer, Duty};

pub use errors::{ErrorSource, Method, SourceError};
pub use repeat::Repeat;

/// The lattice of the samples; a test holds how far it is from the usual one.
const SAMPLE_GRID: GridOptions = GridOptions { strips: 7, strips_min: 4, boxes: 3 };
/// Part of the samples inside an interval: 5 to 95 %.
const SHARE_INSIDE: f64 = 0.9;
/// Inputs that are named for each quantity.
const NAMED_MAX: usize = 6;
/// Least share of the variance that is worth naming.
const SHARE_MIN: f64 = 0.02;

/// What an interval is given for. SI units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Balance point, m behind the datum.
    BalancePoint,
    /// Front of the balance window, m behind the datum.
    WindowFront,
    /// Rear of the balance window, m behind the datum.
    WindowRear,
    /// Static margin over the mean chord.
    StaticMargin,
    /// Stall speed, m/s.
    StallSpeed,
    /// Natural frequency of a mode, rad/s.
    Frequency(ModeKind),
    /// Damping ratio of a mode.
    Damping(ModeKind),
    /// Real part of a mode's root, 1/s; negative dies away.
    Root(ModeKind),
    /// High rate of a channel, rad.
    HighRate(Duty),
    /// Low rate of a channel, rad.
    LowRate(Duty),
}

/// All answers of one sample, in the order of [`UncertaintyPlan::quantities`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SampleResult {
    /// Number of the sample.
    pub index: usize,
    /// The answers; `None` where the sample has none.
    pub values: Vec<Option<f64>>,
}

/// What is sampled.
#[derive(Debug, Clone)]
pub struct UncertaintyPlan<'a> {
    aircraft: &'a SoundAircraft,
    question: Question,
    sources: Vec<SourceError>,
    quantities: Vec<Quantity>,
    plan: SamplePlan,
}

/// An input with its part in the spread of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Contribution {
    /// The input.
    pub source: ErrorSource,
    /// Its standard deviation, in its unit.
    pub deviation: f64,
    /// Share of the variance, 0 to 1.
    pub share: f64,
    /// Whether the quantity grows with the input.
    pub grows: bool,
}

/// A quantity with its interval.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct QuantitySpread {
    /// Which.
    pub quantity: Quantity,
    /// 5, 50 and 95 %.
    pub interval: Interval,
    /// The inputs that matter most, largest first; empty with fewer samples
    /// than two for each input.
    pub contributions: Vec<Contribution>,
}

/// How sure all of it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Uncertainty {
    /// Number of samples that were put together.
    pub samples: usize,
    /// Every quantity that two samples or more gave.
    pub quantities: Vec<QuantitySpread>,
}

impl<'a> UncertaintyPlan<'a> {
    /// A plan of `samples` samples; 256 is usual, a power of two spreads best.
    ///
    /// # Errors
    /// [`SampleError`] for too many samples, or an aircraft of more parts than
    /// there are dimensions to sample.
    #[inline]
    pub fn new(
        aircraft: &'a SoundAircraft,
        question: &Question,
        samples: usize,
        seed: u32,
    ) -> Result<Self, SampleError> {
        let sources = errors::of_aircraft(aircraft);
        let plan = SamplePlan::new(sources.len(), samples, seed)?;
        let quantities = quantities(aircraft);
        Ok(Self { aircraft, question: *question, sources, quantities, plan })
    }

    /// Number of samples.
    #[inline]
    pub fn samples(&self) -> usize {
        self.plan.samples()
    }

    /// What is varied.
    #[inline]
    pub fn sources(&self) -> &[SourceError] {
        &self.sources
    }

    /// What is answered.
    #[inline]
    pub fn quantities(&self) -> &[Quantity] {
        &self.quantities
    }

    /// Walks a slice of the samples; slices may be run anywhere, in any order.
    #[inline]
    pub fn run(&self, slice: Range<usize>) -> Vec<SampleResult> {
        let slice = slice.start..slice.end.min(self.samples());
        slice
            .map(|index| {
                let normals = self.plan.standard_normals(index);
                let values = self.sample(&normals).unwrap_or_default();
                let finite = |i: usize| values.get(i).copied().filter(|x: &f64| x.is_finite());
                let values = (0..self.quantities.len()).map(finite).collect();
                SampleResult { index, values }
            })
            .collect()
    }

    /// The answers of one sample; `None` where it is no aircraft that flies.
    #[inline]
    fn sample(&self, normals: &[f64]) -> Option<Vec<f64>> {
        let varied = errors::apply(self.aircraft, &self.question, &self.sources, normals)?;
        let walk = Walk::new(&varied.aircraft, &self.question, SAMPLE_GRID).ok()?;
        let models = walk.models().ok()?;
        let modes = find_modes(&walk.linear).ok()?;
        let throws: Vec<_> = channels(&walk, &models, Answers::Flown)
            .into_iter()
            .map(|channel| with_control_power(channel, varied.control_power))
            .filter_map(|channel| recommend_throws(&channel, &self.question.pilot).ok())
            .collect();
        let balance = &walk.balance;
        // The balance point stood in for the neutral point's own error.
        let shift = varied.neutral_point_aft_m;
        let value = |quantity: &Quantity| match *quantity {
            Quantity::BalancePoint => Some(balance.balance_point_aft_m + shift),
            Quantity::WindowFront => Some(balance.window_front_aft_m + shift),
            Quantity::WindowRear => Some(balance.window_rear_aft_m + shift),
            Quantity::StaticMargin => Some(balance.static_margin),
            Quantity::StallSpeed => Some(walk.stall.airspeed_m_s),
            Quantity::Frequency(kind) => Some(mode(&modes, kind)?.natural_frequency_rad_s),
            Quantity::Damping(kind) => Some(mode(&modes, kind)?.damping_ratio),
            Quantity::Root(kind) => Some(mode(&modes, kind)?.real_1_s),
            Quantity::HighRate(duty) => {
                throws.iter().find(|own| own.duty == duty).map(|own| own.high_rate_rad)
            }
            Quantity::LowRate(duty) => {
                throws.iter().find(|own| own.duty == duty).map(|own| own.low_rate_rad)
            }
        };
        Some(self.quantities.iter().map(|quantity| value(quantity).unwrap_or(f64::NAN)).collect())
    }

    /// Puts results together, in whatever order they came; missing ones count
    /// as failed.
    #[inline]
    pub fn summarise(&self, results: &[SampleResult]) -> Uncertainty {
        // Most quantities come from the same samples, all of them.
        let mut ranking: Option<Ranking> = None;
        let mut spreads = Vec::new();
        for (column, &quantity) in self.quantities.iter().enumerate() {
            let mut values = vec![f64::NAN; self.samples()];
            for result in results {
                let place = values.get_mut(result.index);
                if let (Some(place), Some(Some(value))) = (place, result.values.get(column)) {
                    *place = *value;
                }
            }
            let Some(interval) = interval(&values, SHARE_INSIDE) else { continue };
            let ranking = match ranking.take().filter(|own| own.fits(&self.plan, &values)) {
                Some(own) => ranking.insert(own),
                None => ranking.insert(Ranking::new(&self.plan, &values)),
            };
            let contributions = self.contributions(ranking, &values);
            spreads.push(QuantitySpread { quantity, interval, contributions });
        }
        Uncertainty { samples: results.len(), quantities: spreads }
    }

    #[inline]
    fn contributions(&self, ranking: &Ranking, values: &[f64]) -> Vec<Contribution> {
        ranking
            .shares(values)
            .into_iter()
            .take(NAMED_MAX)
            .filter(|share| share.share >= SHARE_MIN)
            .map(|share| {
                let SourceError { source, deviation } = self.sources[share.input];
                Contribution { source, deviation, share: share.share, grows: share.grows }
            })
            .collect()
    }
}

#[inline]
fn mode(modes: &Modes, kind: ModeKind) -> Option<&Mode> {
    modes.longitudinal.iter().chain(&modes.lateral).find(|mode| mode.kind == kind)
}

#[inline]
fn quantities(aircraft: &SoundAircraft) -> Vec<Quantity> {
    use ModeKind::{DutchRoll, Phugoid, Roll, ShortPeriod, Spiral};
    let mut list = vec![
        Quantity::BalancePoint,
        Quantity::WindowFront,
        Quantity::WindowRear,
        Quantity::StaticMargin,
        Quantity::StallSpeed,
        Quantity::Frequency(ShortPeriod),
        Quantity::Damping(ShortPeriod),
        Quantity::Frequency(Phugoid),
        Quantity::Damping(Phugoid),
        Quantity::Root(Roll),
        Quantity::Frequency(DutchRoll),
        Quantity::Damping(DutchRoll),
        Quantity::Root(Spiral),
    ];
    let controls = super::geometry::control_summaries(aircraft);
    let moves = |roles: &[crate::aircraft::ControlRole]| {
        controls.iter().any(|one| roles.contains(&one.role) && one.throw_max_rad > 0.0)
    };
    let has_aileron = moves(duties(false)[1].1);
    for (duty, roles) in duties(has_aileron) {
        if moves(roles) {
            list.push(Quantity::HighRate(duty));
            list.push(Quantity::LowRate(duty));
        }
    }
    list
}

/// The channel with all its control power multiplied: flaps that do more need
/// less and bear less.
#[inline]
fn with_control_power(mut channel: ChannelInputs, factor: f64) -> ChannelInputs {
    for demand in &mut channel.demands {
        demand.deflection_rad /= factor;
    }
    let scaled = |answer: Answer| Answer { per_rad: answer.per_rad * factor, ..answer };
    for response in &mut channel.responses {
        response.peak_rate = scaled(response.peak_rate);
        response.load_factor = scaled(response.load_factor);
        response.bank_at_1_s = scaled(response.bank_at_1_s);
        response.sideslip = scaled(response.sideslip);
        if let Some(closed) = &mut response.pilot_loop {
            closed.throw_at_margin_rad /= factor;
        }
    }
    channel
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, read_aircraft};
    use crate::throws::advice::{Binding, ThrowAdvice};
    use crate::throws::authority::Need;

    fn example(key: &str) -> SoundAircraft {
        let example = EXAMPLES.iter().find(|example| example.key == key).unwrap();
        read_aircraft(example.text).unwrap().check().unwrap()
    }

    /// The coarse lattice moves the static margin by a fraction of the method's
    /// own spread of 0.015, and throws by less than theirs of some 10 %. The
    /// elevator at the stall is the exception: which strips stall first hangs on
    /// where they lie, and it scatters by 40 % over grids coarse and fine alike.
    #[test]
    fn the_coarse_lattice_is_near_the_usual_one() {
        for case in EXAMPLES {
            let (aircraft, question) = (example(case.key), Question::default());
            let at = |grid| {
                let walk = Walk::new(&aircraft, &question, grid).unwrap();
                let models = walk.models().unwrap();
                let throws: Vec<ThrowAdvice> = channels(&walk, &models, Answers::Flown)
                    .iter()
                    .map(|one| recommend_throws(one, &question.pilot).unwrap())
                    .collect();
                (walk.balance.static_margin, throws)
            };
            let (fine, coarse) = (at(GridOptions::default()), at(SAMPLE_GRID));
            println!("{}: margin {} {}", case.key, fine.0, coarse.0);
            assert!((fine.0 - coarse.0).abs() < 0.010, "{} {} {}", case.key, fine.0, coarse.0);
            for (a, b) in fine.1.iter().zip(&coarse.1) {
                let at_stall = [a, b].iter().any(|advice| {
                    matches!(advice.high_binds, Binding::Need(d) if d.need == Need::StallTrim)
                });
                let allowed = if at_stall { 0.45 } else { 0.08 };
                let (a, b) = (a.high_rate_rad, b.high_rate_rad);
                assert!((a / b - 1.0).abs() < allowed, "{} {a} {b}", case.key);
            }
        }
    }

    #[test]
    fn slices_in_any_order_give_the_same_and_the_answer_lies_inside() {
        let (aircraft, question) = (example("trainer"), Question::default());
        let plan = UncertaintyPlan::new(&aircraft, &question, 32, 7).unwrap();
        let mut parts = plan.run(20..99);
        parts.extend(plan.run(0..20));
        let text = serde_json::to_string(&parts).unwrap();
        let sent: Vec<SampleResult> = serde_json::from_str(&text).unwrap();
        let summary = plan.summarise(&sent);
        assert_eq!(summary, plan.summarise(&plan.run(0..32)));
        assert_eq!(summary.samples, 32);
        let walk = Walk::new(&aircraft, &question, SAMPLE_GRID).unwrap();
        let of = |quantity| summary.quantities.iter().find(|one| one.quantity == quantity).unwrap();
        let margin = of(Quantity::StaticMargin);
        assert!(margin.interval.low < walk.balance.static_margin);
        assert!(margin.interval.high > walk.balance.static_margin);
        assert_eq!(margin.interval.failed, 0);
        // Fewer samples than inputs say nothing of which input it was.
        assert!(margin.contributions.is_empty());
        assert!(of(Quantity::LowRate(Duty::BankByRudder)).interval.low > 0.0);
        // A stopped run is summed up from what there is.
        assert_eq!(plan.summarise(&sent[..8]).samples, 8);
    }

    /// The balance point depends on weights and places alone: no method but
    /// measurements may be named, and their spread follows by hand from the
    /// root of the sum of squares, about 1 mm.
    #[test]
    fn the_balance_point_is_as_sure_as_its_measurements() {
        let (aircraft, question) = (example("trainer"), Question::default());
        let plan = UncertaintyPlan::new(&aircraft, &question, 128, 3).unwrap();
        let summary = plan.summarise(&plan.run(0..128));
        let balance = &summary.quantities[0];
        assert_eq!(balance.quantity, Quantity::BalancePoint);
        let half = 0.5 * (balance.interval.high - balance.interval.low);
        assert!((0.0005..0.003).contains(&half), "{half}");
        assert!(balance.contributions[0].source.is_measurement(), "{balance:?}");
    }
}
