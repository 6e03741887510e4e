//! What the present settings and linkages do, and what to change on them.
//!
//! For each channel with a setting: what full stick does in every condition of
//! flight (flown at that throw), what is more than the pilot bears, and the
//! cut. For each control surface with a linkage: throws at full servo travel,
//! the holes that give the advised throw with the most servo travel, torque,
//! speed and pushrod against the hinge moment in the fastest flight and in the
//! propwash, play and what it does to the trim, and a flutter caution.
//!
//! Hinge moments by thin-aerofoil theory with its factor ([`crate::aero::hinge`])
//! at the local speed that the lattice finds at the surface's strips, propwash
//! included: good to a third. Friction is left out.

use std::f64::consts::PI;

use serde::Serialize;

use super::full_stick::{DURATION_S, Flight};
use super::throws::duties;
use super::walk::Walk;
use crate::aero::hinge::hinge_moment_coefficient;
use crate::aircraft::{ControlLinkage, ControlRole, ControlSurface};
use crate::analysis::{FlightPoint, LinearModel, Trim};
use crate::dynamics::Airframe;
use crate::throws::advice::{
    ChannelInputs, PresentAssessment, PresentThrow, ThrowAdvice, assess_present,
};
use crate::throws::holes::{HolePair, rank_holes};
use crate::throws::linkage::{FourBar, Throws};
use crate::throws::sensitivity::{Condition, Duty, Phase};
use crate::throws::servo::{LoadedLinkage, load_linkage, surface_play_rad};

/// Holes of a usual arm of a 9 g servo, m from the shaft (common practice).
const USUAL_ARM_M: [f64; 5] = [0.006, 0.008, 0.010, 0.012, 0.014];
/// Holes of a usual horn, m above the hinge line (common practice).
const USUAL_HORN_M: [f64; 5] = [0.008, 0.011, 0.014, 0.017, 0.020];
/// Pairs of holes that are reported.
const PAIRS_SHOWN: usize = 3;
/// Play at the surface that is borne up to [`FLUTTER_AIRSPEED_M_S`], rad.
/// Common practice: 1 deg on a slow model.
const FLUTTER_PLAY_RAD: f64 = PI / 180.0;
/// Airspeed up to which that holds, m/s. Estimate, 12 to 20.
const FLUTTER_AIRSPEED_M_S: f64 = 15.0;

/// What is set now on one channel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PresentChannel {
    /// What the channel is used for.
    pub duty: Duty,
    /// The setting on high rate, or the only one.
    pub high: PresentThrow,
    /// What it does and what to cut.
    pub high_assessed: PresentAssessment,
    /// The setting on low rate.
    pub low: Option<PresentThrow>,
    /// What that does.
    pub low_assessed: Option<PresentAssessment>,
}

/// Where a linkage is loaded most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadCase {
    /// Advised low rate in fast flight.
    FastFlight,
    /// Advised high rate at full power in slow flight.
    Propwash,
}

/// A linkage under one load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LinkageLoad {
    /// Where.
    pub case: LoadCase,
    /// Mean air speed at the surface, m/s, propwash included.
    pub local_airspeed_m_s: f64,
    /// Deflection, rad.
    pub deflection_rad: f64,
    /// Moment about the hinge that this servo holds, N m, as a size.
    pub hinge_moment_n_m: f64,
    /// Servo, pushrod and lost throw; `None` where the linkage does not reach
    /// the deflection or no pushrod is given.
    pub loaded: Option<LoadedLinkage>,
}

/// A caution against flutter by slack.
///
/// # Method
/// A light surface that can move by itself takes energy from the air; play is
/// what lets it start. Play of 1 deg is borne up to 15 m/s, beyond that in
/// inverse proportion to the dynamic pressure. Estimate after common practice;
/// neither mass balance nor stiffness of the foam is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FlutterCaution {
    /// Play of the surface, from stop to stop, rad.
    pub play_rad: f64,
    /// Play that is borne, rad.
    pub play_limit_rad: f64,
    /// At this airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Whether there is more than that.
    pub exceeded: bool,
}

/// A linkage looked at.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinkageReport {
    /// Name of the lifting surface.
    pub surface: String,
    /// Name of the control surface.
    pub control: String,
    /// What its channel is used for.
    pub duty: Duty,
    /// Why there is nothing more, in the words of the check.
    pub fault: Option<String>,
    /// Surface angles at full servo travel with the present holes.
    pub full_throws: Option<Throws>,
    /// Difference of both ways over their mean.
    pub asymmetry: Option<f64>,
    /// Surface angle at servo travels of -1, -0.9 to 1 of the whole, rad:
    /// throw against stick without expo.
    pub throw_against_stick_rad: Vec<(f64, f64)>,
    /// The same with the best pair of holes.
    pub best_against_stick_rad: Vec<(f64, f64)>,
    /// Share of the servo's travel to set in the radio for the advised high
    /// rate with the present holes; above 1 it is not reached.
    pub travel_for_high: Option<f64>,
    /// Pairs of holes for the advised high rate, best first.
    pub best_holes: Vec<HolePair>,
    /// Loads.
    pub loads: Vec<LinkageLoad>,
    /// Play at the surface, from stop to stop, rad.
    pub play_rad: Option<f64>,
    /// Change of trimmed airspeed from one end of the elevator's play to the
    /// other, as a share of it.
    pub play_airspeed_share: Option<f64>,
    /// Bank after one second that the play of aileron or rudder can bring, rad.
    pub play_bank_rad: Option<f64>,
    /// Flutter by slack.
    pub flutter: Option<FlutterCaution>,
}

/// The channels that have a setting.
#[inline]
pub(super) fn present(
    walk: &Walk,
    models: &[(Condition, LinearModel)],
    channels: &[ChannelInputs],
    throws: &[ThrowAdvice],
) -> Vec<PresentChannel> {
    let one = |channel: &ChannelInputs| {
        let setting = controls_of(walk, channel.duty).find_map(|(_, control)| control.setting)?;
        let advice = throws.iter().find(|advice| advice.duty == channel.duty)?;
        let assess = |degrees: f64, expo: f64| {
            let present = PresentThrow { throw_rad: degrees.to_radians(), expo };
            let flown = flown_at(walk, models, channel, present.throw_rad);
            let pilot = &walk.question.pilot;
            assess_present(&flown, pilot, advice, &present).ok().map(|found| (present, found))
        };
        let (high, high_assessed) = assess(setting.high_rate_deg, setting.expo)?;
        let low = setting.low_rate_deg.and_then(|degrees| assess(degrees, setting.low_expo));
        let (low, low_assessed) = low.unzip();
        Some(PresentChannel { duty: channel.duty, high, high_assessed, low, low_assessed })
    };
    channels.iter().filter_map(one).collect()
}

/// The channel with its answers flown at a throw in every condition.
#[inline]
fn flown_at(
    walk: &Walk,
    models: &[(Condition, LinearModel)],
    channel: &ChannelInputs,
    throw_rad: f64,
) -> ChannelInputs {
    let flight = Flight {
        aeroplane: &walk.aeroplane,
        duty: channel.duty,
        pilot: &walk.question.pilot,
        hinge_limit_rad: channel.hinge_limit_rad,
    };
    let mut flown = channel.clone();
    for response in &mut flown.responses {
        let from = models
            .iter()
            .zip(walk.conditions.trims())
            .find(|((condition, _), _)| *condition == response.condition);
        if let Some(((_, model), trim)) = from {
            let throw_rad = throw_rad.min(channel.hinge_limit_rad);
            flight.bend_at(response, (trim, model), throw_rad, DURATION_S);
        }
    }
    flown
}

/// Control surfaces that do a duty, with the names of their surfaces.
#[inline]
fn controls_of(walk: &Walk, duty: Duty) -> impl Iterator<Item = ((usize, usize), &ControlSurface)> {
    let roles = duties(walk.conditions.has_aileron)
        .into_iter()
        .find(|(own, _)| *own == duty)
        .map_or(&[] as &[ControlRole], |(_, roles)| roles);
    walk.aircraft.surfaces.iter().enumerate().flat_map(move |(i, surface)| {
        let controls = surface.controls.iter().enumerate();
        controls
            .filter(move |(_, control)| roles.contains(&control.role))
            .map(move |(j, control)| ((i, j), control))
    })
}

/// All linkages that are given, each under the first channel that moves it.
#[inline]
pub(super) fn linkages(
    walk: &Walk,
    channels: &[ChannelInputs],
    throws: &[ThrowAdvice],
) -> Vec<LinkageReport> {
    let mut reports = Vec::new();
    let mut seen = Vec::new();
    for advice in throws {
        let channel = channels.iter().find(|channel| channel.duty == advice.duty);
        for (place, control) in controls_of(walk, advice.duty) {
            if let (Some(linkage), Some(channel)) = (&control.linkage, channel)
                && !seen.contains(&place)
            {
                seen.push(place);
                let look = Look { walk, place, control, linkage, advice, channel };
                reports.push(look.report());
            }
        }
    }
    reports
}

/// One linkage being looked at.
struct Look<'a> {
    walk: &'a Walk,
    place: (usize, usize),
    control: &'a ControlSurface,
    linkage: &'a ControlLinkage,
    advice: &'a ThrowAdvice,
    channel: &'a ChannelInputs,
}

impl Look<'_> {
    #[inline]
    fn report(&self) -> LinkageReport {
        let empty = LinkageReport {
            surface: self.walk.aircraft.surfaces[self.place.0].name.clone(),
            control: self.control.name.clone(),
            duty: self.advice.duty,
            fault: None,
            full_throws: None,
            asymmetry: None,
            throw_against_stick_rad: Vec::new(),
            best_against_stick_rad: Vec::new(),
            travel_for_high: None,
            best_holes: Vec::new(),
            loads: Vec::new(),
            play_rad: None,
            play_airspeed_share: None,
            play_bank_rad: None,
            flutter: None,
        };
        let bar = match self.linkage.geometry.four_bar() {
            Ok(bar) => bar,
            Err(error) => return LinkageReport { fault: Some(error.to_string()), ..empty },
        };
        let travel = self.linkage.servo.travel_deg.to_radians();
        let high = self.advice.high_rate_rad;
        let full = bar.throws(travel);
        let play = surface_play_rad(&bar, &self.linkage.servo, self.linkage.hole_play_m).ok();
        let best_holes = self.best_holes(&bar, travel);
        let share = |angle: f64| bar.servo_angle(angle).map(|servo| servo.abs() / travel);
        LinkageReport {
            fault: full.err().map(|error| error.to_string()),
            full_throws: full.ok(),
            asymmetry: full.ok().map(|throws| throws.asymmetry()),
            throw_against_stick_rad: against_stick(&bar, travel),
            best_against_stick_rad: best_holes
                .first()
                .and_then(|pair| bar.with_holes(pair.servo_arm_m, pair.horn_height_m).ok())
                .map_or_else(Vec::new, |best| against_stick(&best, travel)),
            travel_for_high: match (share(high), share(-high)) {
                (Ok(one), Ok(other)) => Some(one.max(other)),
                _ => None,
            },
            best_holes,
            loads: self.loads(&bar),
            play_rad: play,
            play_airspeed_share: play.and_then(|play| self.airspeed_share(play)),
            play_bank_rad: play.and_then(|play| self.play_bank(play)),
            flutter: play.map(|play| self.flutter(play)),
            ..empty
        }
    }

    #[inline]
    fn best_holes(&self, bar: &FourBar, travel_rad: f64) -> Vec<HolePair> {
        let or_usual = |given: &[f64], usual: &[f64]| {
            if given.is_empty() { usual.to_vec() } else { given.to_vec() }
        };
        let arm = or_usual(&self.linkage.arm_holes_m, &USUAL_ARM_M);
        let mut horn = or_usual(&self.linkage.horn_holes_m, &USUAL_HORN_M);
        // A pushrod that crosses over keeps to its side.
        if self.linkage.geometry.horn_height_m < 0.0 {
            horn.iter_mut().for_each(|height| *height = -*height);
        }
        let mut pairs = rank_holes(bar, &arm, &horn, self.advice.high_rate_rad, travel_rad);
        pairs.truncate(PAIRS_SHOWN);
        pairs
    }

    #[inline]
    fn loads(&self, bar: &FourBar) -> Vec<LinkageLoad> {
        let conditions = &self.walk.conditions;
        let fast = conditions.others.iter().find(|(condition, _)| condition.phase == Phase::Fast);
        let cases = [
            (LoadCase::FastFlight, fast.map(|(_, trim)| trim), None, self.advice.low_rate_rad),
            (LoadCase::Propwash, conditions.slow(true), Some(1.0), self.advice.high_rate_rad),
        ];
        cases
            .into_iter()
            .filter_map(|(case, trim, throttle, deflection_rad)| {
                let (airspeed, hinge_moment_n_m) =
                    self.hinge_moment(trim?, throttle, deflection_rad)?;
                let loaded = self.linkage.pushrod.and_then(|rod| {
                    let servo = &self.linkage.servo;
                    load_linkage(bar, servo, &rod, deflection_rad, -hinge_moment_n_m).ok()
                });
                let local_airspeed_m_s = airspeed;
                Some(LinkageLoad {
                    case,
                    local_airspeed_m_s,
                    deflection_rad,
                    hinge_moment_n_m,
                    loaded,
                })
            })
            .collect()
    }

    /// Mean local airspeed and the moment about the hinge, as a size, summed
    /// over the strips that the surface covers.
    #[inline]
    fn hinge_moment(
        &self,
        trim: &Trim,
        throttle: Option<f64>,
        deflection_rad: f64,
    ) -> Option<(f64, f64)> {
        let aeroplane = &self.walk.aeroplane;
        let point = FlightPoint { ..super::flight_point(trim) };
        let mut controls = point.controls;
        controls.throttle = throttle.unwrap_or(controls.throttle);
        aeroplane.loads(&point.air(), &controls);
        let strips = aeroplane.aero().strip_loads();
        let grid = aeroplane.aero().grid();
        let device = grid
            .devices
            .iter()
            .position(|device| (device.surface, device.control) == self.place)?;
        let (mut moment, mut speed, mut span) = (0.0, 0.0, 0.0);
        for (strip, load) in grid.strips.iter().zip(&strips) {
            for hinged in strip.hinged.iter().filter(|hinged| hinged.device == device) {
                let width = strip.area_m2 / strip.chord_m * hinged.cover;
                let chord = strip.chord_m * hinged.chord_ratio;
                let pressure = 0.5 * point.density_kg_m3 * load.airspeed_m_s.powi(2);
                let coefficient =
                    hinge_moment_coefficient(hinged.chord_ratio, load.alpha_rad, deflection_rad);
                moment += coefficient * pressure * chord * chord * width;
                speed += load.airspeed_m_s * width;
                span += width;
            }
        }
        let surface = &self.walk.aircraft.surfaces[self.place.0];
        let halves =
            if surface.mirrored && drives_both_halves(self.control.role) { 2.0 } else { 1.0 };
        (span > 0.0).then(|| (speed / span, halves * moment.abs()))
    }

    /// Change of trimmed airspeed: the play shifts the trimmed angle of attack
    /// by Cm_de/Cm_alpha, the lift with it, and the airspeed by half as much.
    #[inline]
    fn airspeed_share(&self, play_rad: f64) -> Option<f64> {
        if self.advice.duty != Duty::Pitch {
            return None;
        }
        let d = &self.walk.derivatives;
        let alpha = d.by_elevator.pitching_moment / d.by_alpha.pitching_moment * play_rad;
        let share = 0.5 * d.by_alpha.lift * alpha / d.at_reference.lift;
        share.is_finite().then(|| share.abs())
    }

    #[inline]
    fn play_bank(&self, play_rad: f64) -> Option<f64> {
        if self.advice.duty == Duty::Pitch {
            return None;
        }
        let cruise =
            self.channel.responses.iter().find(|one| one.condition.phase == Phase::Cruise)?;
        Some(cruise.bank_at_1_s.at(play_rad).abs())
    }

    #[inline]
    fn flutter(&self, play_rad: f64) -> FlutterCaution {
        let fastest =
            self.walk.conditions.trims().map(|trim| trim.airspeed_m_s).fold(0.0, f64::max);
        let over = (fastest / FLUTTER_AIRSPEED_M_S).max(1.0);
        let play_limit_rad = FLUTTER_PLAY_RAD / over.powi(2);
        FlutterCaution {
            play_rad,
            play_limit_rad,
            airspeed_m_s: fastest,
            exceeded: play_rad > play_limit_rad,
        }
    }
}

/// Surface angle at servo travels of -1, -0.9 to 1 of the whole.
#[inline]
fn against_stick(bar: &FourBar, travel_rad: f64) -> Vec<(f64, f64)> {
    (-10..=10)
        .filter_map(|tenth| {
            let stick = f64::from(tenth) / 10.0;
            bar.surface_angle(stick * travel_rad).ok().map(|angle| (stick, angle))
        })
        .collect()
}

/// Whether one servo drives both halves of a mirrored surface.
#[inline]
fn drives_both_halves(role: ControlRole) -> bool {
    matches!(role, ControlRole::Elevator | ControlRole::Flap | ControlRole::Rudder)
}
