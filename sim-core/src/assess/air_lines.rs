//! What a drawing shows of the propellers' air in ordinary flight: where they pull
//! and which way the air behind them goes.

use crate::aircraft::Place;
use crate::analysis::Trim;
use crate::dynamics::Aeroplane;

use super::flight_point;

/// Rings that a tube is told by, evenly from the disc to its end.
const RINGS: usize = 9;
/// How far a thrust line goes on beyond the propeller and the balance point, over
/// the propeller's radius.
const BEYOND: f64 = 0.25;

/// One ring of a slipstream.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WashRing {
    /// Its middle, from the datum.
    pub middle: Place,
    /// Its radius, m.
    pub radius_m: f64,
}

/// The lines of one propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct AirLines {
    /// Ends of a line along which it pulls, past its hub and the balance point, front
    /// first, from the datum.
    pub thrust_line: [Place; 2],
    /// The tube of its slipstream from the disc to the end of the aircraft; empty
    /// where it does not blow.
    pub wash: Vec<WashRing>,
}

/// The lines of all propellers, a mirrored pair as two; `rear_aft_m` is where the
/// aircraft ends.
pub fn air_lines(aeroplane: &Aeroplane, trim: &Trim, rear_aft_m: f64) -> Vec<AirLines> {
    let balance_point = aeroplane.mass().balance_point.to_body_axes();
    let place = |from_balance| Place::from_body_axes(balance_point + from_balance);
    let air = flight_point(trim).air();
    let streams = aeroplane.slipstreams(&air, trim.controls.throttle);
    let lines = aeroplane.engines().iter().zip(streams).map(|(engine, stream)| {
        let (hub, axis) = (engine.mount.hub_body, engine.mount.axis_body);
        let radius_m = engine.power.propeller().radius_m();
        // Along the shaft from the foot of the balance point on it.
        let hub_m = hub.dot(&axis);
        let ends_m = [hub_m.max(0.0) + BEYOND * radius_m, hub_m.min(0.0) - BEYOND * radius_m];
        let behind_m = rear_aft_m - place(hub).aft_m;
        let rings = if stream.blows() && behind_m > 0.0 { RINGS } else { 0 };
        AirLines {
            thrust_line: ends_m.map(|along_m| place(hub + axis * (along_m - hub_m))),
            wash: (0..rings)
                .map(|ring| {
                    let (middle, radius_m) =
                        stream.ring(behind_m * ring as f64 / (RINGS - 1) as f64);
                    WashRing { middle: place(middle), radius_m }
                })
                .collect(),
        }
    });
    lines.collect()
}

#[cfg(test)]
mod tests {
    use crate::aircraft::{Aircraft, EXAMPLES, read_aircraft};
    use crate::assess::{Assessment, Question, begin};

    fn assessed(change: impl Fn(&mut Aircraft)) -> Assessment {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        change(&mut aircraft);
        begin(&aircraft.check().unwrap(), &Question::default()).unwrap().0
    }

    /// A thrust line runs along the shaft through the hub, and past hub and balance
    /// point at both ends.
    #[test]
    fn a_thrust_line_goes_through_its_hub_along_its_shaft() {
        for down_deg in [0.0, 4.0] {
            let assessment = assessed(|aircraft| {
                let unit = &mut aircraft.propulsion[0];
                (unit.down_thrust_deg, unit.right_thrust_deg) = (down_deg, 0.0);
            });
            let hub = read_aircraft(EXAMPLES[0].text).unwrap().propulsion[0].hub;
            let [front, rear] = assessment.air_lines[0].thrust_line;
            let slope = |aft: f64, up: f64| (up - hub.up_m) / (aft - hub.aft_m);
            for end in [front, rear] {
                // Pulling downwards, it is higher behind the hub than ahead of it.
                let expected = f64::to_radians(down_deg).tan();
                assert!((slope(end.aft_m, end.up_m) - expected).abs() < 1e-9);
            }
            assert!(front.aft_m < hub.aft_m);
            assert!(rear.aft_m > assessment.balance.balance_point_aft_m);
        }
    }

    /// The tube begins at the disc, narrows towards the tail and ends there; without
    /// power there is none.
    #[test]
    fn the_wash_runs_from_the_disc_to_the_tail() {
        let trainer = read_aircraft(EXAMPLES[0].text).unwrap();
        let unit = &trainer.propulsion[0];
        let wash = assessed(|_| ()).air_lines[0].wash.clone();
        let (first, last) = (wash[0], wash[wash.len() - 1]);
        let off = first.middle.to_body_axes() - unit.hub.to_body_axes();
        assert!(off.norm() < 1e-12, "{off}");
        assert!((first.radius_m / (unit.propeller.diameter_m / 2.0) - 1.0).abs() < 1e-9);
        assert!(wash.windows(2).all(|pair| pair[1].radius_m < pair[0].radius_m));
        assert!((last.middle.aft_m - trainer.rear_aft_m()).abs() < 0.05);
        let glider = assessed(|aircraft| aircraft.propulsion.clear());
        assert!(glider.air_lines.is_empty());
    }

    /// A pair of propellers has two, each the mirror image of the other.
    #[test]
    fn a_pair_has_the_lines_of_both() {
        let pair = assessed(|aircraft| {
            let unit = &mut aircraft.propulsion[0];
            (unit.hub.right_m, unit.mirrored) = (0.2, true);
        });
        let [one, other] = &pair.air_lines[..] else { panic!("{:?}", pair.air_lines) };
        for (one, other) in one.thrust_line.into_iter().zip(other.thrust_line) {
            let off = one.mirrored().to_body_axes() - other.to_body_axes();
            assert!(off.norm() < 1e-12, "{off}");
        }
        for (one, other) in one.wash.iter().zip(&other.wash) {
            assert!((one.middle.right_m + other.middle.right_m).abs() < 1e-9);
            assert!((one.radius_m - other.radius_m).abs() < 1e-12);
        }
    }
}
