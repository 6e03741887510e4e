//! Trim levers: clicks that move a surface's neutral place in flight, and what
//! they say about the aeroplane once it is down.
//!
//! A click is a share of the advised high rate and stays so whatever throw is
//! switched to, as on a transmitter, whose trims know no rates.

use serde::Serialize;

use super::debrief::StickAxis;
use super::radio::Radio;
use crate::aero::device::EdgeMotion;
use crate::assess::Assessment;
use crate::dynamics::Controls;
use crate::throws::linkage::travel_at_trailing_edge_m;
use crate::throws::sensitivity::Duty;

/// Most clicks either way, and the share of the high rate that all of them are
/// (common practice: a quarter to a third).
pub const CLICKS_MAX: i32 = 12;
const RANGE: f64 = 0.3;

/// Clicks of each lever, positive where the stick is: nose up, right wing down,
/// nose right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Trims {
    /// Clicks in the order of [`StickAxis::ALL`].
    clicks: [i32; 3],
    /// Whether the lever moves anything.
    moves: [bool; 3],
}

/// Deflection of one click of each lever, rad, in the order of
/// [`StickAxis::ALL`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ClickSizes([f64; 3]);

impl Trims {
    /// Levers in the middle for these sizes; one of a channel without throw
    /// does not move.
    pub(super) fn centred(sizes: &ClickSizes) -> Self {
        Self { clicks: [0; 3], moves: sizes.0.map(|size| size > 0.0) }
    }

    /// Clicks of a lever, from -[`CLICKS_MAX`] to [`CLICKS_MAX`].
    pub fn of(&self, axis: StickAxis) -> i32 {
        self.clicks[axis as usize]
    }

    /// Whether the lever moves a surface.
    pub fn moves(&self, axis: StickAxis) -> bool {
        self.moves[axis as usize]
    }

    pub(super) fn click(&mut self, axis: StickAxis, clicks: i32) {
        if self.moves(axis) {
            let own = &mut self.clicks[axis as usize];
            *own = own.saturating_add(clicks).clamp(-CLICKS_MAX, CLICKS_MAX);
        }
    }
}

impl ClickSizes {
    pub(super) fn of(radio: &Radio) -> Self {
        let channels = [&radio.elevator, &radio.aileron, &radio.rudder];
        Self(channels.map(|channel| RANGE * channel.high.throw_rad / f64::from(CLICKS_MAX)))
    }

    /// Deflection that a lever asks for, rad: against the stick's sense, see
    /// [`super::radio`].
    fn deflection_rad(&self, trims: &Trims, axis: StickAxis) -> f64 {
        -f64::from(trims.of(axis)) * self.0[axis as usize]
    }

    /// The command with what the levers add.
    pub(super) fn trimmed(&self, trims: &Trims, command: Controls) -> Controls {
        Controls {
            elevator_rad: command.elevator_rad + self.deflection_rad(trims, StickAxis::Elevator),
            aileron_rad: command.aileron_rad + self.deflection_rad(trims, StickAxis::Aileron),
            rudder_rad: command.rudder_rad + self.deflection_rad(trims, StickAxis::Rudder),
            ..command
        }
    }

    /// What the levers say about the aeroplane.
    pub(super) fn corrections(&self, trims: &Trims, on: &Assessment) -> Vec<TrimCorrection> {
        let corrected = |axis: StickAxis| {
            let clicks = trims.of(axis);
            let advice = on.throws.iter().find(|advice| match axis {
                StickAxis::Elevator => advice.duty == Duty::Pitch,
                StickAxis::Aileron => advice.duty == Duty::Roll,
                StickAxis::Rudder => matches!(advice.duty, Duty::Yaw | Duty::BankByRudder),
            });
            let advice = advice.filter(|_| clicks != 0)?;
            let deflection_rad = self.deflection_rad(trims, axis);
            let chord_m =
                advice.high_travel_m / travel_at_trailing_edge_m(1.0, advice.high_rate_rad);
            Some(TrimCorrection {
                axis,
                clicks,
                deflection_rad,
                travel_m: travel_at_trailing_edge_m(chord_m, deflection_rad.abs()),
                edge: match axis {
                    StickAxis::Elevator => on.edges.elevator,
                    StickAxis::Aileron => EdgeMotion::Down,
                    StickAxis::Rudder => on.edges.rudder,
                }
                .at(deflection_rad),
                balance_shift_m: (axis == StickAxis::Elevator)
                    .then(|| balance_shift_m(deflection_rad, on))
                    .flatten(),
            })
        };
        StickAxis::ALL.into_iter().filter_map(corrected).collect()
    }
}

/// What a lever out of its middle says: how far the surface's neutral place has
/// to move for it to go back.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TrimCorrection {
    /// Which lever.
    pub axis: StickAxis,
    /// Its clicks, positive as in [`Trims`].
    pub clicks: i32,
    /// Deflection that they are, rad, in the surface's own sign.
    pub deflection_rad: f64,
    /// The same at the trailing edge, m, by a ruler.
    pub travel_m: f64,
    /// Where the trailing edge goes; of ailerons the right one's.
    pub edge: EdgeMotion,
    /// Elevator: move of the balance point, m, positive aft, that trims the same
    /// in ordinary flight; `None` where it would leave the advised window.
    pub balance_shift_m: Option<f64>,
}

/// The lift's arm has to give what the elevator gives: `CL dx / c = Cm_e delta`.
fn balance_shift_m(deflection_rad: f64, on: &Assessment) -> Option<f64> {
    let pitching_moment = on.derivatives.by_elevator.pitching_moment * deflection_rad;
    let lift = on.derivatives.at_reference.lift;
    let shift_m = pitching_moment * on.reference.chord_m / lift;
    let window = on.balance.window_front_aft_m..=on.balance.window_rear_aft_m;
    let inside = window.contains(&(on.balance.balance_point_aft_m + shift_m));
    (lift > 0.0 && inside).then_some(shift_m)
}
